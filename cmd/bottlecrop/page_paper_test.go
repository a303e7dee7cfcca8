package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
)

// A page that somebody signs is one page: nobody signs the back of a release
// that lies elsewhere, and what to do when a tool is off stands below its tick.
func TestSignedPagesOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	out := demoBook(t)
	printed := func(page string) []string {
		_, pages := onPaper(t, ctx, page, "-raw")
		for i, p := range pages {
			pages[i] = strings.Join(strings.Fields(p), " ")
		}
		return pages
	}

	releases, err := filepath.Glob(filepath.Join(out, "*", "release.html"))
	require.NoError(t, err)
	require.Len(t, releases, 7)
	signed := map[string][]string{filepath.Join(out, leaf.ShiftPath): {"Tick each line, and sign.", "If off", "Start no batch."}}
	for _, page := range some(releases) {
		signed[page] = []string{"Lot number", "Allergens", "Released.", "Held.", "Signature"}
	}
	for page, parts := range signed {
		html, err := os.ReadFile(page)
		require.NoError(t, err)
		for _, paper := range []string{"letter", "A4"} {
			sized := strings.Replace(string(html), "size:letter", "size:"+paper, 1)
			require.Contains(t, sized, "size:"+paper, "%s: the demo farm prints on another paper", page)
			require.NoError(t, os.WriteFile(page, []byte(sized), 0o644))
			pages := printed(page)
			require.Len(t, pages, 1, "%s on %s is more than one page", page, paper)
			for _, part := range parts {
				assert.Contains(t, pages[0], part, "%s on %s", page, paper)
			}
		}
	}
}
