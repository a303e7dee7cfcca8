package book_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/unit"
)

// Lost knows every page that Render sets, and finds the links that Render
// would refuse.
func TestLostLinks(t *testing.T) {
	in := demo(t, unit.Metric)
	lostIn := func(in book.Input) []book.Astray {
		out, err := in.Lost()
		require.NoError(t, err)
		return out
	}
	assert.Empty(t, lostIn(in), "the guides of the demo farm")
	var links strings.Builder
	pages := 0
	there, err := book.Pages(in)
	require.NoError(t, err)
	for _, page := range there {
		if strings.HasSuffix(page.Path, ".html") {
			links.WriteString("[x](../" + page.Path + ")\n")
			pages++
		}
	}
	require.Greater(t, pages, 60)
	guide := book.Guide{Name: "zz", Document: "site/zz.md", Markdown: []byte(links.String())}
	clean := in
	clean.Guides = append(in.Guides[:len(in.Guides):len(in.Guides)], guide)
	assert.Empty(t, lostIn(clean))

	guide.Markdown = []byte("# Z\n\n[a](nowhere.md) [b](/abs) [c](../look/) [d](https://example.com) [e](#z) [f](pressure-vessels.md?x#y)\n")
	lost := in
	lost.Guides = append(in.Guides[:len(in.Guides):len(in.Guides)], guide)
	assert.Equal(t, []book.Astray{
		{Document: "site/zz.md", Written: "nowhere.md", Path: "guides/nowhere.html"},
		{Document: "site/zz.md", Written: "/abs"},
		{Document: "site/zz.md", Written: "../look/", Path: "look"},
	}, lostIn(lost))
}
