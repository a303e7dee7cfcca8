package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/templates"
)

// onPaper prints a page of a book: the PDF, and the text of each of its pages, in
// the order of the text ("-raw") or as it lies on the paper ("-layout").
func onPaper(t *testing.T, ctx context.Context, page, order string) (pdf []byte, pages []string) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("file://"+page)), page)
	return asPrinted(t, ctx, page, order)
}

// asPrinted prints the page that is open.
func asPrinted(t *testing.T, ctx context.Context, page, order string) (pdf []byte, pages []string) {
	t.Helper()
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFOutlineAndTagged()))
	require.NoError(t, err, page)
	file := filepath.Join(t.TempDir(), "page.pdf")
	require.NoError(t, os.WriteFile(file, pdf, 0o644))
	text, err := exec.Command("pdftotext", order, file, "-").Output()
	require.NoError(t, err, page)
	return pdf, strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

// loosePage is the path of a page in a folder below one that has the book's stylesheet,
// as pages of a book lie. Nothing is there yet.
func loosePage(t *testing.T) string {
	t.Helper()
	out := t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(out, filepath.Dir(leaf.StylePath)), templates.Files))
	page := filepath.Join(out, "loose", "page.html")
	require.NoError(t, os.Mkdir(filepath.Dir(page), 0o755))
	return page
}

// printed writes a page and prints it.
func printed(t *testing.T, ctx context.Context, page string, html []byte) (pages []string) {
	t.Helper()
	require.NoError(t, os.WriteFile(page, html, 0o644))
	_, pages = onPaper(t, ctx, page, "-raw")
	return pages
}

// onePage is the text of a page that has to be one page on paper.
func onePage(t *testing.T, ctx context.Context, page string, html []byte, what string) string {
	t.Helper()
	pages := printed(t, ctx, page, html)
	require.Len(t, pages, 1, "%s: more than one page", what)
	return flat(pages[0])
}

// papers are both in CI, and the lower one elsewhere.
var papers = checks.Every(2, []string{"letter", "A4"})

// onBothPapers has a page of the demo farm's book printed on each of the papers.
func onBothPapers(t *testing.T, page string, look func(paper string)) {
	t.Helper()
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	defer func() { require.NoError(t, os.WriteFile(page, html, 0o644)) }() // the book is everybody's
	for _, paper := range papers {
		sized := strings.Replace(string(html), "size:letter", "size:"+paper, 1)
		require.Contains(t, sized, "size:"+paper, "%s: the demo farm prints on another paper", page)
		require.NoError(t, os.WriteFile(page, []byte(sized), 0o644))
		look(paper)
	}
}

// flat is a text with its blanks in a row as one.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

// lastLine is what a page ends with, above its margin; empty where there is nothing.
func lastLine(page string, inMargin func(line string) bool) string {
	lines := strings.Split(page, "\n")
	for i := len(lines) - 1; i >= 0; i-- {
		if strings.TrimSpace(lines[i]) != "" && !inMargin(lines[i]) {
			return lines[i]
		}
	}
	return ""
}

// Paper: the first page serves a worker who reads nothing else, every page
// says what it belongs to, and no page is empty.
func TestSheetOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	out := demoBook(t)
	sheets, err := filepath.Glob(filepath.Join(out, "*", "sheet-12.html"))
	require.NoError(t, err)
	require.Len(t, sheets, 7)
	for _, sheet := range some(sheets) {
		name := filepath.Base(filepath.Dir(sheet))
		for _, n := range checks.Every(2, []string{"12", "400"}) {
			page := filepath.Join(out, name, "sheet-"+n+".html")
			pdf, pages := onPaper(t, ctx, page, "-layout")
			assert.Greater(t, len(pages), 3, name)
			for _, wanted := range []string{"DANGER", "WARNING", "Water", "Floor scale", "Grain spawn", "Steam 1", "Gauge and hold", "Picked crop"} {
				assert.Contains(t, strings.ToLower(pages[0]), strings.ToLower(wanted), "%s for %s: first page", name, n)
			}
			fingerprint := regexp.MustCompile(`[0-9a-f]{4}-[0-9a-f]{4}`).FindString(pages[0])
			require.NotEmpty(t, fingerprint)
			for i, p := range pages {
				assert.Contains(t, p, fingerprint, "%s for %s: page %d has no fingerprint", name, n, i+1)
				assert.Contains(t, p, name, "%s for %s: page %d does not name the protocol", name, n, i+1)
				assert.Greater(t, len(strings.Fields(p)), 30, "%s for %s: page %d is nearly empty", name, n, i+1)
			}
			assert.Contains(t, string(pdf), "/StructTreeRoot", "the PDF is not tagged")
		}
	}
}
