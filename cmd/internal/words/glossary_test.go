package words

import (
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/protocols"
	"bottlecrop/site"
)

// glossaryTerms are the words that the glossary explains.
func glossaryTerms(t *testing.T) []string {
	t.Helper()
	data, err := fs.ReadFile(site.Pages, "glossary.md")
	require.NoError(t, err)
	var out []string
	for _, m := range regexp.MustCompile(`(?m)^([^#\n].*)\n: `).FindAllStringSubmatch(string(data), -1) {
		out = append(out, m[1])
	}
	require.NotEmpty(t, out)
	return out
}

// A glossary of this book: each word that it explains is used in it, in a
// message, in the library or on a guide.
func TestGlossaryExplainsWordsOfTheBook(t *testing.T) {
	var b strings.Builder
	for _, pieces := range english() {
		for _, p := range pieces {
			b.WriteString(p.text + " " + strings.Join(slices.Collect(maps.Values(p.words)), " ") + " ")
		}
	}
	for _, files := range []fs.FS{protocols.Library, site.Pages} {
		require.NoError(t, fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || name == "glossary.md" {
				return err
			}
			data, err := fs.ReadFile(files, name)
			b.Write(data)
			return err
		}))
	}
	book := strings.ToLower(b.String())
	for _, term := range glossaryTerms(t) {
		for _, word := range strings.Split(strings.ToLower(term), ", ") {
			assert.True(t, begins(book, word), "%s: the book does not use the word %q", term, word)
		}
	}
}

// begins reports whether a word of a text begins so. Written out, for the text is long and
// the words are many.
func begins(text, so string) bool {
	for at := 0; ; {
		i := strings.Index(text[at:], so)
		if i < 0 {
			return false
		}
		at += i
		if before, _ := utf8.DecodeLastRuneInString(text[:at]); at == 0 || !unicode.IsLetter(before) {
			return true
		}
		at += len(so)
	}
}

func TestBegins(t *testing.T) {
	for text, want := range map[string]bool{"rime": true, "a prime, rims": true, "prime": false, "": false, "érim": false, "brim\nrim": true} {
		assert.Equal(t, want, begins(text, "rim"), text)
	}
}

// The words that a new hire meets on a sheet and would have to ask for.
func TestGlossaryHasTheWordsOfTheSheets(t *testing.T) {
	terms := map[string]bool{}
	for _, term := range glossaryTerms(t) {
		for _, word := range strings.Split(term, ", ") {
			terms[word] = true
		}
	}
	for _, word := range strings.Fields(`substrate moisture tare batch band bore rim headspace lid filter load vent hold
		core control spawn inoculate incubation ripening mycelium scrape fleece pinning pins collar fruiting crop trim
		lot record fingerprint ppm pH mite spore sterile sterilizer vessel strain yield`) {
		assert.True(t, terms[word], "%s is not explained", word)
	}
	for _, phrase := range []string{"critical limit", "gauge pressure", "rated pressure", "relief valve", "batch code", "waste allowance", "in force", "spore strip", "safety data sheet", "clean bench", "dry matter", "wet basis"} {
		assert.True(t, terms[phrase], "%s is not explained", phrase)
	}
}
