package book_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// searchData is what the search looks through, as its script reads it.
type searchData struct {
	Kinds []struct {
		Name string
	}
	Pages []struct {
		Title, Words string
	}
	Entries []struct {
		Kind               int
		Title, Text, Words string
		Places             [][2]any
	}
}

func readSearch(t *testing.T, files map[string][]byte) searchData {
	t.Helper()
	text, ok := strings.CutPrefix(string(files[leaf.SearchIndexPath]), "\"use strict\";\nconst searchIndex = ")
	require.True(t, ok)
	text, ok = strings.CutSuffix(text, ";\n")
	require.True(t, ok)
	var data searchData
	require.NoError(t, json.Unmarshal([]byte(text), &data))
	return data
}

// Every result leads to a page of the book and to something on it, on a page of
// the title that is said; every kind of thing can be found, and a step once for
// each protocol, not for each sheet.
func TestSearchLeadsSomewhere(t *testing.T) {
	files := render(t, unit.Metric)
	docs := demoPages(t, unit.Metric)
	ids, said := map[string]map[string]*html.Node{}, map[string]string{}
	for page, doc := range docs {
		ids[page], said[page] = idsOf(doc), text(doc)
	}
	data := readSearch(t, files)
	kinds, sheets, steps := map[string]int{}, map[string]bool{}, 0
	for _, x := range data.Entries {
		kind := data.Kinds[x.Kind].Name
		kinds[kind]++
		assert.NotEmpty(t, x.Title, kind)
		assert.Equal(t, strings.ToLower(x.Words), x.Words)
		require.NotEmpty(t, x.Places, x.Title)
		for _, place := range x.Places {
			href := place[1].(string)
			page, fragment, _ := strings.Cut(href, "#")
			require.NotNil(t, docs[page], "%s: %s", x.Title, href)
			if fragment != "" {
				require.NotNil(t, ids[page][fragment], "%s: %s", x.Title, href)
			}
			if kind == "Step" {
				steps++
				sheets[page] = true
				assert.Contains(t, text(ids[page][fragment]), x.Title, href)
			}
			assert.Contains(t, said[page], data.Pages[int(place[0].(float64))].Title, "%s: its page has another title", href)
		}
	}
	for _, k := range data.Kinds {
		assert.Positive(t, kinds[k.Name], "nothing of the kind %s can be found", k.Name)
	}
	assert.Equal(t, 7, kinds["Protocol"])
	assert.Len(t, sheets, 7, "a step is found on one sheet of each protocol")
	all7 := 0
	for page := range sheets {
		all7 += len(all(docs[page], func(n *html.Node) bool { return strings.HasPrefix(attr(n, "id"), "step-") }))
	}
	assert.Equal(t, all7, steps, "every step can be found")
	// What seven protocols say alike is one entry: the search grows with what a
	// farm does, not with how many protocols it has.
	assert.Less(t, kinds["Step"], steps*2/3, "%d steps", steps)
}

// The printed index has the same entries, each under every word of its title
// that somebody may look for; its words are sorted, and the plural stands with
// the singular. That its links resolve is held by TestLinksResolve.
func TestIndexOfWords(t *testing.T) {
	files := render(t, unit.Metric)
	doc := demoPages(t, unit.Metric)[leaf.IndexPath]
	words := map[string]string{}
	var order, letters []string
	for _, letter := range all(doc, class("letter")) {
		letters = append(letters, text(all(letter, tag("h2"))[0]))
		for _, dt := range all(letter, tag("dt")) {
			w := text(dt)
			order = append(order, strings.ToLower(w))
			words[w] = text(dt.Parent)
			assert.True(t, strings.EqualFold(w[:1], letters[len(letters)-1]), "%s stands under %s", w, letters[len(letters)-1])
		}
	}
	assert.True(t, slices.IsSorted(letters), letters)
	assert.True(t, slices.IsSorted(order), "the words are not in their order")
	assert.Equal(t, len(order), len(words), "a word stands twice")
	for _, small := range []string{"the", "of", "mL", "850", "for", "highest"} {
		assert.NotContains(t, words, small)
	}
	assert.Contains(t, words["bran"], "Rice bran, full-fat")
	assert.Contains(t, words["bran"], "Wheat bran")
	assert.NotContains(t, words, "bottles")
	assert.Contains(t, words["bottle"], "Enoki in the 850 mL bottle")
	assert.Contains(t, words["bottle"], "Fill the bottles")
	assert.Contains(t, words["enoki"], "Protocol")

	hrefs := map[string]bool{}
	for _, a := range all(doc, tag("a")) {
		hrefs[attr(a, "href")] = true
	}
	data := readSearch(t, files)
	for _, x := range data.Entries {
		for _, place := range x.Places {
			if hrefs[place[1].(string)] {
				continue
			}
			// A heading such as "While you work" has no word to look it up by, and of
			// one that many pages have, not all are named.
			for _, w := range strings.Fields(strings.ToLower(x.Title)) {
				said, ok := words[w]
				assert.True(t, !ok || strings.Contains(said, "more"), "%s (%s) can be searched and is not in the index under %s", x.Title, place[1], w)
			}
		}
	}
}

// With JavaScript off, the search page leads to the index.
func TestSearchWithoutScript(t *testing.T) {
	page := string(render(t, unit.Metric)[leaf.SearchPath])
	_, after, found := strings.Cut(page, "<noscript>")
	require.True(t, found)
	inside, _, found := strings.Cut(after, "</noscript>")
	require.True(t, found)
	assert.Contains(t, inside, `href="`+leaf.IndexPath+`"`)
}
