package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
)

// A page that somebody signs is one page: nobody signs the back of a release
// that lies elsewhere, and what to do when a tool is off stands below its tick.
func TestSignedPagesOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	out := demoBook(t)
	releases, err := filepath.Glob(filepath.Join(out, "*", "release.html"))
	require.NoError(t, err)
	require.Len(t, releases, 7)
	signed := map[string][]string{filepath.Join(out, leaf.ShiftPath): {"Tick each line, and sign.", "If off", "Start no batch."}}
	for _, page := range some(releases) {
		signed[page] = []string{"Lot number", "Allergens", "Released.", "Held.", "Signature"}
	}
	for page, parts := range signed {
		onBothPapers(t, page, func(paper string) {
			_, pages := onPaper(t, ctx, page, "-raw")
			require.Len(t, pages, 1, "%s on %s is more than one page", page, paper)
			for _, part := range parts {
				assert.Contains(t, flat(pages[0]), part, "%s on %s", page, paper)
			}
		})
	}
}

// No guide ends with a line or two on a page of its own, in either language: what it
// ends with goes on together.
func TestGuidesEndOnAPage(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	out := demoBook(t)
	for _, folder := range []string{"", "es"} {
		guides, err := filepath.Glob(filepath.Join(out, folder, "guides", "*.html"))
		require.NoError(t, err)
		require.Greater(t, len(guides), 10)
		for _, guide := range checks.Every(17, guides) {
			onBothPapers(t, guide, func(paper string) {
				_, pages := onPaper(t, ctx, guide, "-raw")
				assert.Greater(t, len(strings.Fields(pages[len(pages)-1])), 80, "%s on %s: the last page", guide, paper)
			})
		}
	}
}
