package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// A guide may lead to every page of the book in its language, whatever the page comes
// from: rooms, results, a plan of the season. What check takes for a page is what the
// book has.
func TestGuidesMayLeadToEveryPage(t *testing.T) {
	farm, made := t.TempDir(), demoBook(t)
	copyDemoFarm(t, farm)
	var guide strings.Builder
	guide.WriteString("# All pages\n\n")
	pages := 0
	require.NoError(t, filepath.WalkDir(made, func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".html" {
			return err
		}
		at, err := filepath.Rel(made, path)
		// Pages in two languages stand in the first book alone, and this guide in both.
		if at = filepath.ToSlash(at); err == nil && !strings.HasPrefix(at, "es/") && !strings.Contains(at, "-es-") {
			fmt.Fprintf(&guide, "[%d](../%s)\n", pages, at)
			pages++
		}
		return err
	}))
	require.Greater(t, pages, checks.Rounds(200, 500))
	require.NoError(t, os.WriteFile(filepath.Join(farm, "site", "all-pages.md"), []byte(guide.String()+"[none](../none.html)\n"), 0o644))
	f, err := openFarm(&settings{farm: farm})
	require.NoError(t, err)
	defer f.close()
	var lost []string
	for _, x := range f.findings {
		if x.Rule == "page.link" {
			lost = append(lost, x.Place.Text)
		}
	}
	assert.Equal(t, []string{"[none](../none.html)"}, lost)
}
