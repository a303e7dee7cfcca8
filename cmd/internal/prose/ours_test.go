package prose_test

import (
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/prose"
	"bottlecrop/site"
)

// The program's own guides link to words and headings that are there: the book
// holds links to pages, this holds them to the place in the page.
func TestOurGuidesLinkToPlacesThatExist(t *testing.T) {
	e := edition(t)
	names, err := fs.Glob(site.Pages, "*.md")
	require.NoError(t, err)
	pages, ids := map[string]string{}, map[string]map[string]bool{}
	for _, file := range names {
		data, err := fs.ReadFile(site.Pages, file)
		require.NoError(t, err)
		name := strings.TrimSuffix(file, ".md")
		page, _, err := prose.Guide(e, prose.Text{Name: name, Document: "site/" + file, Markdown: data})
		require.NoError(t, err)
		pages[name+".html"], ids[name+".html"] = string(page), map[string]bool{}
		for _, m := range regexp.MustCompile(` id="([^"]+)"`).FindAllStringSubmatch(string(page), -1) {
			assert.False(t, ids[name+".html"][m[1]], "%s has %s twice", name, m[1])
			ids[name+".html"][m[1]] = true
		}
	}
	places := 0
	for name, page := range pages {
		for _, m := range regexp.MustCompile(`href="([^"#]*)#([^"]+)"`).FindAllStringSubmatch(page, -1) {
			target := m[1]
			if target == "" {
				target = name
			}
			known, ours := ids[path.Base(target)]
			if strings.Contains(target, "/") || !ours {
				continue // a page of the farm's, which the book looks at
			}
			if target != name {
				places++
			}
			assert.True(t, known[m[2]], "%s links to %s#%s", name, target, m[2])
		}
	}
	assert.Greater(t, places, 3)
	assert.True(t, ids["glossary.html"]["critical-limit"], "a page can link to one word")
	assert.Greater(t, len(ids["glossary.html"]), 100)
}
