package book_test

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Every page of a protocol, with all guides, bound into one document.
func TestBind(t *testing.T) {
	in := demoIn(t, words.English(unit.Metric), asWritten, every)
	const protocol, vessels = "enoki-850", 48
	in.Entries = slices.DeleteFunc(in.Entries, func(e book.Entry) bool { return e.Method.Protocol != protocol })
	twoSizes(&in)
	files, err := book.Render(in)
	require.NoError(t, err)
	assert.True(t, slices.IsSortedFunc(files, func(a, b book.File) int { return strings.Compare(a.Path, b.Path) }))
	documents := book.Documents(files, protocol, vessels)
	kinds := map[string]string{}
	for _, d := range documents {
		assert.NotContains(t, kinds, d.Kind, "two documents of one kind")
		kinds[d.Kind] = d.Path
	}
	assert.Equal(t, protocol+"/sheet-48.html", kinds["sheet"])
	assert.Equal(t, protocol+"/index.html", kinds["protocol"])
	assert.Equal(t, "start-of-shift.html", kinds["start-of-shift"])
	assert.Equal(t, "guides/pressure-vessels.html", kinds["pressure-vessels"])
	for _, d := range documents {
		assert.NotContains(t, d.Path, "-160.html", "another size")
		assert.NotContains(t, d.Path, "search")
	}
	assert.Equal(t, "how-to-use-this-book", documents[0].Kind, "what is read first")
	assert.Less(t, slices.IndexFunc(documents, func(d book.Document) bool { return d.Kind == "sheet" }), slices.IndexFunc(documents, func(d book.Document) bool { return d.Kind == "glossary" }))

	pages := make([]int, len(documents))
	for i := range pages {
		pages[i] = 2 + 3*i
	}
	bound, err := book.Bind([]leaf.Cover{{Edition: in.Edition, Title: "A binder"}}, protocol, "abcd-1234", files, documents, pages)
	require.NoError(t, err)
	doc, err := html.Parse(bytes.NewReader(bound))
	require.NoError(t, err)

	// Each id is there once, and each reference leads to one.
	ids := map[string]bool{}
	everything := all(doc, func(*html.Node) bool { return true })
	for _, n := range everything {
		if id := attr(n, "id"); id != "" {
			assert.False(t, ids[id], "the id %s twice", id)
			ids[id] = true
		}
	}
	references := 0
	for _, n := range everything {
		for _, a := range n.Attr {
			switch a.Key {
			case "href":
				if assert.True(t, strings.HasPrefix(a.Val, "#"), "a link leaves the binder: %s", a.Val) {
					assert.True(t, ids[a.Val[1:]], "nothing is %s", a.Val)
					references++
				}
			case "aria-labelledby", "aria-describedby", "for", "headers":
				for _, id := range strings.Fields(a.Val) {
					assert.True(t, ids[id], "nothing is %s, which %s of a %s names", id, a.Key, n.Data)
					references++
				}
			case "src":
				assert.True(t, strings.HasPrefix(a.Val, "data:image/"), a.Val)
			case "style":
				t.Errorf("a style on an element of a binder")
			}
		}
	}
	assert.Greater(t, references, 200)

	// No word of a page is lost.
	bounds := all(doc, class("bound"))
	require.Len(t, bounds, len(documents))
	for i, d := range documents {
		file := files[slices.IndexFunc(files, func(f book.File) bool { return f.Path == d.Path })]
		single, err := html.Parse(bytes.NewReader(file.Data))
		require.NoError(t, err)
		want := plainText(all(single, tag("main"))[0])
		assert.True(t, strings.HasSuffix(plainText(bounds[i]), want), "%s is not whole", d.Path)
	}

	// The contents have the documents in their order, with the pages that were given.
	var entries []string
	for _, li := range all(doc, tag("li")) {
		if strings.Contains(attr(li.Parent, "class"), "contents") {
			entries = append(entries, plainText(li))
		}
	}
	require.Len(t, entries, len(documents))
	for i, e := range entries {
		assert.True(t, strings.HasSuffix(e, fmt.Sprint(" ", pages[i])), e)
	}

	// Each document keeps its foot, also on the paper that the stylesheet names.
	for i, d := range documents {
		assert.Contains(t, string(bound), fmt.Sprintf("@page d%d{size:", i+1), d.Path)
		assert.Contains(t, string(bound), fmt.Sprintf("@page d%d-record{size:", i+1), d.Path)
	}
	assert.Contains(t, string(bound), `content:"`+protocol+`, 48"`)
	assert.NotContains(t, string(bound), path.Base("book.css")+`"`, "the stylesheet is inside")
}
