package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A farm's safety texts in Spanish from the first day on: unreviewed, signed, changed,
// signed for a language that it has not.
func TestReviewOfSafetyTexts(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	farm, out := filepath.Join(t.TempDir(), "farm"), t.TempDir()
	code, _, says := runIn("start", farm)
	require.Zero(t, code, says)
	edit := func(name, old, new string) {
		t.Helper()
		path := filepath.Join(farm, "protocols", name)
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Contains(t, string(text), old)
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), old, new, 1)), 0o600))
	}
	check := func() string {
		t.Helper()
		code, _, says := runIn("check", "--farm", farm)
		require.Zero(t, code, says)
		return says
	}
	sheet := func() (english, spanish string) {
		t.Helper()
		code, _, says := runIn("book", "--farm", farm, "--out", out)
		require.Zero(t, code, says)
		names, err := filepath.Glob(filepath.Join(out, "*", "sheet-*.html"))
		require.NoError(t, err)
		require.NotEmpty(t, names)
		one, err := filepath.Rel(out, names[0])
		require.NoError(t, err)
		read := func(name string) string {
			page, err := os.ReadFile(filepath.Join(out, name))
			require.NoError(t, err)
			return string(page)
		}
		return read(one), read(filepath.Join("es", one))
	}
	const (
		banner = `class="unreviewed"`
		margin = "@top-left{content:\"TRADUCCI"
	)

	assert.NotContains(t, check(), "safety texts", "a book in English alone has nothing to look over")
	edit("farm.toml", "# languages =", "languages =")
	warned := check()
	assert.Equal(t, 1, strings.Count(warned, "no native reader has looked over the safety texts in Español, and pages say so"), warned)
	assert.Contains(t, warned, "have a native reader look over es/review.html of the book")
	texts := regexp.MustCompile(`texts = "([0-9a-f]{4}-[0-9a-f]{4})"`).FindStringSubmatch(warned)
	require.NotNil(t, texts, warned)

	english, spanish := sheet()
	assert.NotContains(t, english, banner)
	assert.NotContains(t, english, "@top-left")
	assert.Contains(t, spanish, banner)
	assert.Contains(t, spanish, margin)
	assert.Contains(t, spanish, "vale el original")
	page, err := os.ReadFile(filepath.Join(out, "es", "review.html"))
	require.NoError(t, err)
	for _, want := range []string{
		texts[1], "safety.opening", "A door that opens under pressure can kill", "Una puerta que se abre con presión puede matar", "limit.gauge.rated.why", "{rated}",
		`href="guides/pressure-vessels.html"`, `href="../guides/pressure-vessels.html"`,
	} {
		assert.Contains(t, string(page), want)
	}
	assert.NoFileExists(t, filepath.Join(out, "review.html"), "the original is not looked over")

	signed := "[[reviewed]]\nlanguage = \"es\"\nby = \"B. Reader\"\non = \"2027-01-08\"\ntexts = \"" + texts[1] + "\"\n\n"
	edit("farm.toml", "[waste]", signed+"[waste]")
	assert.NotContains(t, check(), "safety texts")
	_, spanish = sheet()
	assert.NotContains(t, spanish, banner)
	assert.NotContains(t, spanish, "@top-left")
	page, err = os.ReadFile(filepath.Join(out, "es", "review.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "B. Reader los revisó el")

	// A caution of the farm's own is one more text.
	edit("farm.toml", "[waste]", "[[call]]\nwho = \"Person in charge\"\ntelephone = \"555 0100\"\n\n[waste]")
	assert.Contains(t, check(), "a safety text in Español has changed since B. Reader looked them over on 2027-01-08")
	_, spanish = sheet()
	assert.Contains(t, spanish, banner)

	edit("farm.toml", "[[reviewed]]\nlanguage = \"es\"", "[[reviewed]]\nlanguage = \"en\"")
	assert.Contains(t, check(), "en is none of the farm's languages, or is the one that all safety texts are written in")
}
