package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/press"
)

// printedTo prints documents of the demo farm for 48 enoki, and returns the PDF with
// what was said of it.
func printedTo(t *testing.T, file, languages, only string) (pdf []byte, said string) {
	t.Helper()
	var out, wrong bytes.Buffer
	c := command(&terminal{out: &out, err: &wrong})
	c.SetArgs([]string{"print", "enoki-850", "--bottles", "48", "--farm", "../..", "--to", file, "--language", languages, "--only", only})
	require.NoError(t, c.ExecuteContext(t.Context()), wrong.String())
	pdf, err := os.ReadFile(file)
	require.NoError(t, err)
	checked, err := exec.Command("qpdf", "--check", file).CombinedOutput()
	require.NoError(t, err, string(checked))
	return pdf, out.String()
}

// A binder in Spanish: its language, its title, its bookmarks, its contents and the
// margins of its pages are.
func TestPrintInSpanish(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	need(t, "chromium")
	need(t, "pdftotext")
	need(t, "qpdf")
	file := filepath.Join(t.TempDir(), "carpeta.pdf")
	pdf, said := printedTo(t, file, "es", "start-of-shift,card-mixing,labels")
	assert.Regexp(t, `^3 documents on `, said, "the terminal speaks the farm's first language")
	assert.Regexp(t, `/Lang \(es\)`, catalogOf(t, pdf))
	info, err := exec.Command("pdfinfo", file).Output()
	require.NoError(t, err)
	assert.Contains(t, string(info), "Enoki en la botella de 850 mL, para 48 botellas")
	outline, err := exec.Command("qpdf", "--json", "--json-key=outlines", file).Output()
	require.NoError(t, err)
	assert.Contains(t, string(outline), "Mezclado")
	assert.Contains(t, string(outline), "Inicio del turno")
	assert.NotContains(t, string(outline), "Start of the shift")
	first := pdfText(t, file, 1)
	assert.Contains(t, first, "Qué hay aquí")
	assert.Regexp(t, `Página 1 de \d+`, first)
	all := pdfText(t, file, 0)
	assert.NotRegexp(t, `Page \d+ of`, all)
	assert.NotContains(t, all, "Printed copies")
}

// catalogOf is the object of a PDF that says its language.
func catalogOf(t *testing.T, pdf []byte) string {
	t.Helper()
	at := bytes.Index(pdf, []byte("/Type /Catalog"))
	require.GreaterOrEqual(t, at, 0)
	end := bytes.Index(pdf[at:], []byte("endobj"))
	return string(pdf[at : at+end])
}

// A binder in two languages: each wall card is one page, the first language on the face
// of a leaf, the other on its back; the contents lead to them; each part says its
// language; and the same farm gives the same bytes again.
func TestPrintInTwoLanguages(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	need(t, "chromium")
	need(t, "pdftotext")
	need(t, "qpdf")
	dir := t.TempDir()
	const only = "start-of-shift,card-mixing,card-filling,release"
	pdf, said := printedTo(t, filepath.Join(dir, "one.pdf"), "en,es", only)
	assert.Regexp(t, `^8 documents on `, said)
	assert.Contains(t, catalogOf(t, pdf), "/Lang (en)")
	assert.Contains(t, string(pdf), "/Lang (es)", "the parts in Spanish say so")
	_, places, err := press.Places(pdf)
	require.NoError(t, err)
	file := filepath.Join(dir, "one.pdf")
	cards := []string{"Mixing", "Mezclado", "Filling", "Llenado"}
	contents := pdfText(t, file, 1)
	for i, title := range cards {
		page := places[leaf.BoundID(2+i)]
		assert.Equal(t, i%2 == 0, page%2 == 1, "%s is on page %d", title, page)
		assert.Equal(t, places[leaf.BoundID(2)]+i, page, "%s: a card is one page", title)
		assert.Contains(t, pdfText(t, file, page), title)
		assert.Regexp(t, fmt.Sprintf(`%s .*\b%d\n`, title, page), contents)
	}
	outline, err := exec.Command("qpdf", "--json", "--json-key=outlines", file).Output()
	require.NoError(t, err)
	for _, title := range cards {
		assert.Contains(t, string(outline), title)
	}
	if checks.Whole() {
		again, _ := printedTo(t, filepath.Join(dir, "two.pdf"), "en,es", only)
		assert.True(t, bytes.Equal(pdf, again), "other bytes")
	}
}

// twoBooks are pages of the demo farm's book in its languages for a paper, with some
// protocols and their first size: those with a part in their path.
func twoBooks(t *testing.T, paper, part string) []book.File {
	t.Helper()
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	f.folder.Farm.Paper, f.written.Farm.Paper = paper, paper
	bound := func(f *farm) (book.Input, error) {
		in := book.Input{Edition: f.edition(), Guides: f.guides, Library: f.folder.Library}
		for _, e := range some(f.entries) {
			e.Batches = e.Batches[:1]
			in.Entries = append(in.Entries, e)
		}
		return in, nil
	}
	in, err := bound(f)
	require.NoError(t, err)
	others, err := f.others(nil)()
	require.NoError(t, err)
	for i, o := range others {
		other, err := bound(o)
		require.NoError(t, err)
		other.Edition.Folder = f.languages()[i+1]
		in.Others = append(in.Others, other)
	}
	pages, err := book.Pages(in)
	require.NoError(t, err)
	var files []book.File
	for _, p := range pages {
		if strings.Contains(p.Path, part) {
			data, err := p.Set()
			require.NoError(t, err)
			files = append(files, book.File{Path: p.Path, Data: data})
		}
	}
	return files
}

// facingStep is what a step in two languages begins and ends with, and the first of its
// actions in each.
type facingStep struct {
	titles, cautions, firsts, ends []string
	actions                        int // in both together
}

// facingSteps reads the steps of a sheet in two languages.
func facingSteps(t *testing.T, page []byte) []facingStep {
	t.Helper()
	doc, err := html.Parse(bytes.NewReader(page))
	require.NoError(t, err)
	var out []facingStep
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if n.Data == "li" && classOf(n) == "step" {
			out = append(out, facingStep{})
		}
		if len(out) == 0 {
			continue
		}
		s := &out[len(out)-1]
		switch class := classOf(n); {
		case n.Data == "span" && strings.Contains(classOf(n.Parent), "step-title") && class != "unseen":
			s.titles = append(s.titles, textOf(n))
		case class == "hazard" && classOf(n.Parent) == "safety-text":
			s.cautions = append(s.cautions, textOf(n))
		case n.Data == "li" && classOf(n.Parent) == "do":
			s.actions++
			if n.Parent.FirstChild == n {
				s.firsts = append(s.firsts, textOf(n))
			}
		case n.Data == "dl" && class == "check":
			s.ends = append(s.ends, textOf(n.LastChild.LastChild))
		}
	}
	return out
}

func classOf(n *html.Node) string {
	for _, a := range n.Attr {
		if a.Key == "class" {
			return a.Val
		}
	}
	return ""
}

// textOf is the text of an element, its first 60 letters: what comes on paper between
// words is another thing than on a page, and a beginning finds it.
func textOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	text, _, _ := strings.Cut(flat(b.String()), "CO2") // its 2 stands lower
	r := []rune(text)
	return string(r[:min(len(r), 60)])
}

// mostOnAPage is how many actions a step may have to stay on one page with all its
// cautions in both languages. One of more goes on overleaf, between two actions.
const mostOnAPage = 9

// inTwoOnPaper has each document in two languages of one kind, by a part of its path,
// on both papers, with the text of its pages.
func inTwoOnPaper(t *testing.T, part string, look func(file book.File, paper string, pages []string)) {
	t.Helper()
	need(t, "pdftotext")
	ctx := browser(t)
	page := loosePage(t)
	looked := 0
	for _, paper := range papers {
		for _, file := range twoBooks(t, paper, part) {
			look(file, paper, printed(t, ctx, page, file.Data))
			looked++
		}
	}
	assert.GreaterOrEqual(t, looked, len(papers))
}

// On paper, a step in two languages begins on one page with all its cautions, and ends
// there but for the longest: nobody reads a caution on the page before, or one language
// without the other.
func TestFacingOnPaper(t *testing.T) {
	inTwoOnPaper(t, "/facing-es-", func(file book.File, paper string, pages []string) {
		steps := facingSteps(t, file.Data)
		require.Greater(t, len(steps), 20, file.Path)
		for i := range pages {
			pages[i] = flat(pages[i])
		}
		for _, s := range steps {
			require.Len(t, s.titles, 2, file.Path)
			parts := slices.Concat(s.titles, s.cautions, s.firsts)
			if s.actions <= 2*mostOnAPage {
				parts = append(parts, s.ends...)
			}
			whole := slices.ContainsFunc(pages, func(text string) bool {
				return !slices.ContainsFunc(parts, func(part string) bool { return !strings.Contains(text, part) })
			})
			assert.True(t, whole, "%s on %s: step %q is on no one page with its cautions and its end", file.Path, paper, s.titles[0])
		}
	})
}

// On paper, the wall cards of two languages are a page each, the languages by turns.
func TestFacingCardsOnPaper(t *testing.T) {
	inTwoOnPaper(t, "/wall-cards-es-", func(file book.File, paper string, pages []string) {
		cards := bytes.Count(file.Data, []byte("<article "))
		require.Len(t, pages, cards, "%s on %s", file.Path, paper)
		for i, text := range pages {
			foot := []string{`Page %d of %d`, `Página %d de %d`}[i%2]
			assert.Contains(t, text, fmt.Sprintf(foot, i+1, cards), "%s on %s", file.Path, paper)
			call := []string{"Emergency", "Emergencia"}[i%2]
			assert.Contains(t, text, call, "%s on %s: page %d", file.Path, paper, i+1)
		}
	})
}
