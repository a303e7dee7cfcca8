package site_test

import (
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/site"
)

// signalWords are those of ANSI Z535.6 in each language that there are guides in.
var signalWords = map[string]map[string]string{
	"es": {"DANGER": "PELIGRO", "WARNING": "ADVERTENCIA", "CAUTION": "PRECAUCIÓN", "NOTICE": "AVISO"},
}

// A guide in another language has all that the original has: the same headings by
// level, the same safety messages in the same order, the same steps, links and figures.
func TestGuidesInOtherLanguages(t *testing.T) {
	folders, err := fs.Glob(site.Pages, "*/*.md")
	require.NoError(t, err)
	languages := map[string]int{}
	for _, file := range folders {
		languages[path.Dir(file)]++
	}
	originals := pages(t)
	assert.Len(t, languages, len(signalWords))
	for language, words := range signalWords {
		assert.Equal(t, len(originals), languages[language], "%s: a page of ours is not there, or is not ours", language)
		for name, original := range originals {
			data, err := fs.ReadFile(site.Pages, language+"/"+name)
			if !assert.NoError(t, err) {
				continue
			}
			told := string(data)
			if name == "glossary.md" { // a word has the original behind it: "día 0 (day 0)"
				told = regexp.MustCompile(`(?m)^([^:#\n].*) \(.*\)$`).ReplaceAllString(told, "$1")
			}
			for word, theirs := range words {
				assert.NotContains(t, told, "> **"+word+"**", name)
				original = strings.ReplaceAll(original, "> **"+word+"**", "> **"+theirs+"**")
			}
			same := func(what, pattern string, sorted bool) {
				t.Helper()
				find := regexp.MustCompile(pattern)
				a, b := find.FindAllString(original, -1), find.FindAllString(told, -1)
				if sorted {
					slices.Sort(a)
					slices.Sort(b)
				}
				assert.Equal(t, a, b, "%s of %s/%s", what, language, name)
			}
			sorted := name == "glossary.md" // in the order of its own words
			same("headings", `(?m)^#+ `, false)
			same("safety messages", `(?m)^> \*\*\p{Lu}+\*\*`, false)
			same("steps", `(?m)^(?:\d+\.|-) `, false)
			same("links", `\]\([\w-]+\.md`, sorted)
			same("figures", `\d+(?:[.,/]\d+)*`, true)
		}
	}
}
