package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/checks"
)

// englishWords are the hundred words that are most common in English (Oxford English
// Corpus, as lists of it are quoted; from memory), without those that are Spanish words
// too: a, as, come, he, me, no, so, use; and without I, which is a symbol.
var englishWords = func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(`the be to of and in that have it for not on with you do at this but his by from they we say her she
or an will my one all would there their what up out if about who get which go when make can like time just him know take people into year
your good some could them see other than then now look only its over think also back after two how our work first well way even new want
because any these give day most us`) {
		out[w] = true
	}
	return out
}()

// isElsewhere reports elements whose letters and figures are no language's: what is typed,
// ids, formulas with their symbols, places in files, versions, addresses.
func isElsewhere(n *html.Node) bool {
	if n.Data == "code" || n.Data == "pre" || n.Data == "script" || n.Data == "style" {
		return true
	}
	for _, a := range n.Attr {
		switch {
		case a.Key == "lang" && !strings.HasPrefix(a.Val, "es"):
			return true
		case a.Key == "class":
			for _, class := range strings.Fields(a.Val) {
				switch class {
				case "document-id", "formula", "symbol", "place", "book-at", "fingerprint", "review-id":
					return true
				}
			}
		}
	}
	return false
}

// inLanguage lists the texts of a page that are in its language, those too that are only heard.
func inLanguage(n *html.Node, visit func(text string)) {
	if n.Type == html.ElementNode {
		if n.Data == "html" {
			for c := n.FirstChild; c != nil; c = c.NextSibling {
				inLanguage(c, visit)
			}
			return
		}
		if isElsewhere(n) {
			return
		}
		for _, a := range n.Attr {
			switch a.Key {
			case "alt", "title", "aria-label", "placeholder":
				visit(a.Val)
			}
		}
	}
	if n.Type == html.TextNode {
		visit(n.Data)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		inLanguage(c, visit)
	}
}

var (
	// cited are titles and names of bodies in citations: words with capitals, and the small
	// ones between them.
	cited = regexp.MustCompile(`“[^”]*”|\p{Lu}[\pL.’'-]*(?:(?:,| &)? (?:(?:and|of|the|for|in|to|on|at|with|a) )*\p{Lu}[\pL.’'-]*)+`)
	// bracketed is the original behind a word of the glossary, as other pages list it.
	// So are keys of a file there, and the arguments of a message on the page of safety texts.
	inBrackets = regexp.MustCompile(`\([a-z][a-z0-9 :-]*\)|\ben do\.$|\(people en \[shift\]\)|\{[^}]*\}|\d in\b`) // and inches
	aWord      = regexp.MustCompile(`[\pL_’'-]+`)
	// noNumber are figures that are no numbers: of codes of law and standards, sections,
	// versions, identifiers of articles.
	noNumber = regexp.MustCompile(`ISO [\d:]+, [\d.]+|, \d{3}\.\d{3} y \d{3}\.\d{3}|(?:CFR|Code|sección|secciones|bottlecrop|doi|versión) \S+|\pL[\pL\d]*\d[\d.]*|\d+(?:\.\d+){2,}|\d-\d{3}\.\d+(?:, \d-\d{3}\.\d+)*(?: y \d-\d{3}\.\d+)?|\S*://\S*|\S+\.html|[\w-]+\.example\S*|\d{3}\.\d{2,4}(?:\([a-z]\))?`)
	pointed  = regexp.MustCompile(`\d\.\d`)
)

// The demo farm's book in Spanish, page by page: no English word is left in what is said
// in Spanish, no original is shown for want of a translation, and no number has the
// decimal point of English.
func TestSpanishPages(t *testing.T) {
	out := demoBook(t)
	if checks.Whole() {
		out = t.TempDir()
		code, _, says := runIn("book", "--farm", "../..", "--out", out, "--spread")
		require.Zero(t, code, says)
	}
	pages := 0
	texts := map[string]string{} // text to a page that has it
	require.NoError(t, filepath.WalkDir(filepath.Join(out, "es"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".html" {
			return err
		}
		pages++
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		if strings.Contains(string(data), `class="signal-word"`) {
			assert.Contains(t, string(data), `class="unreviewed"`, "%s has safety texts, and does not say that nobody has looked them over", path)
		}
		doc, err := html.ParseWithOptions(strings.NewReader(string(data)), html.ParseOptionEnableScripting(false))
		require.NoError(t, err)
		inLanguage(doc, func(text string) {
			if text = strings.Join(strings.Fields(text), " "); text != "" {
				texts[text] = path
			}
		})
		return nil
	}))
	require.Greater(t, pages, checks.Rounds(200, 500))
	require.Greater(t, len(texts), 5000)
	for text, path := range texts {
		path, err := filepath.Rel(out, path)
		require.NoError(t, err)
		assert.NotContains(t, text, "[en]", path)
		for _, w := range aWord.FindAllString(inBrackets.ReplaceAllString(cited.ReplaceAllString(text, ""), ""), -1) {
			assert.False(t, englishWords[w], "%s: the English word %q in %q", path, w, text)
		}
		assert.NotRegexp(t, pointed, noNumber.ReplaceAllString(text, ""), "%s: a decimal point in %q", path, text)
	}
}

// What the test above looks for, it finds.
func TestSpanishPagesFindsEnglish(t *testing.T) {
	doc, err := html.Parse(strings.NewReader(`<html lang="es"><body><p>Cierre the lid. <span lang="en">of the</span> <code>of</code> 1.5 kg, 21 CFR 211.100</p>
<p title="of it">Guideline for Disinfection and Sterilization</p></body></html>`))
	require.NoError(t, err)
	var found []string
	points := 0
	inLanguage(doc, func(text string) {
		for _, w := range aWord.FindAllString(cited.ReplaceAllString(text, ""), -1) {
			if englishWords[w] {
				found = append(found, w)
			}
		}
		if pointed.MatchString(noNumber.ReplaceAllString(text, "")) {
			points++
		}
	})
	assert.Equal(t, []string{"the", "of", "it"}, found)
	assert.Equal(t, 1, points)
}
