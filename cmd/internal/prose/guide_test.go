package prose_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// edition is that of a farm of which guides say nothing.
func edition(t testing.TB) leaf.Edition {
	t.Helper()
	farm := protocol.Farm{Name: "F", Paper: "A4", Altitude: new(unit.Length)}
	e, err := leaf.Edition{Farm: farm, Voice: words.English(unit.Metric)}.Ready()
	require.NoError(t, err)
	return e
}

// article is what a guide's Markdown becomes.
func article(t *testing.T, markdown string) string {
	t.Helper()
	e := edition(t)
	page, _, err := prose.Guide(e, prose.Text{Name: "a-page", Document: "site/a-page.md", Markdown: []byte(markdown)})
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(page), `<article class="prose">`)
	require.True(t, ok)
	inside, _, _ := strings.Cut(rest, "</article>")
	return inside
}

func TestGuideTitle(t *testing.T) {
	got := article(t, "# Boiling & *steam*\n\nText.\n")
	assert.Contains(t, got, "<h1>Boiling &amp; steam</h1>")
	assert.Equal(t, 1, strings.Count(got, "Boiling"), "the title stands once")
	assert.Contains(t, article(t, "No title.\n"), "<h1>a-page</h1>")
	assert.Contains(t, article(t, ""), "<h1>a-page</h1>")
}

func TestGuideHeadingsGoDownOneByOne(t *testing.T) {
	got := article(t, "# T\n\n#### Deep\n\n# Again\n\n### Below\n")
	assert.Contains(t, got, `<h2 id="deep">Deep</h2>`)
	assert.Contains(t, got, `<h2 id="again">Again</h2>`)
	assert.Contains(t, got, `<h3 id="below">Below</h3>`)
	assert.Equal(t, 1, strings.Count(got, "<h1>"))
}

func TestGuideSafetyMessages(t *testing.T) {
	for _, c := range []struct{ markdown, level string }{
		{"> **DANGER** Steam kills. Stay away.\n", "danger"},
		{"> **WARNING:** Steam kills. Stay away.\n", "warning"},
		{"> **CAUTION**\n> Steam kills. Stay away.\n", "caution"},
		{"> **NOTICE** Steam kills. Stay away.\n>\n> More.\n", "notice"},
	} {
		got := article(t, c.markdown)
		assert.Contains(t, got, `<div class="safety `+c.level+`">`, c.markdown)
		assert.Contains(t, got, `<use href="#sign-`+c.level+`"/>`)
		assert.Contains(t, got, `<span class="signal-word">`+strings.ToUpper(c.level)+`</span>`)
		assert.Equal(t, 1, strings.Count(got, strings.ToUpper(c.level)), "the signal word stands once")
		assert.Contains(t, got, "<strong>Steam kills.</strong> Stay away.")
		assert.NotContains(t, got, "<blockquote>")
	}
	for _, plain := range []string{"> **Danger** x\n", "> DANGER x\n", "> *DANGER* x\n", "> x\n"} {
		assert.Contains(t, article(t, plain), "<blockquote>", plain)
	}
}

func TestGuideTables(t *testing.T) {
	got := article(t, "## Gauges\n\n| It says | kPa |\n|---|--:|\n| Nothing | 0 |\n")
	assert.Contains(t, got, `<div class="wide" tabindex="0" role="region" aria-labelledby="table.1"><table><caption class="unseen" id="table.1">Gauges</caption>`)
	assert.Contains(t, got, `<th scope="col">It says</th>`)
	assert.Contains(t, got, `<th scope="col" class="number">kPa</th>`)
	assert.Contains(t, got, `<th scope="row">Nothing</th>`)
	assert.Contains(t, got, `<td class="number">0</td>`)
	assert.NotContains(t, got, "style=")
	two := article(t, "| a | b |\n|---|---|\n| 1 | 2 |\n\n| c | d |\n|---|---|\n")
	assert.Contains(t, two, `id="table.1">Table 1<`)
	assert.Contains(t, two, `id="table.2">Table 2<`)
	assert.Equal(t, strings.Count(two, "<tbody>"), strings.Count(two, "</tbody>"), "a table without rows closes what it opens")
}

// Nothing that a page holds may run, be fetched, or lead out unseen.
func TestGuideIsHarmless(t *testing.T) {
	for _, c := range []struct{ markdown, never string }{
		{"<script>alert(1)</script>\n", "<script"},
		{"a <b onclick=x>b</b>\n", "onclick"},
		{"<javascript:alert(1)>\n", "<a "},
		{"<ms-word:ofe|u|http://example.org/a>\n", "<a "},
		{"![the wall](https://example.com/x.png)\n", "<img"},
		{"![the wall](wall.png)\n", "wall.png"},
		{"<https://example.com>\n\n<iframe src=x>\n", "<iframe"},
		{"<img src=x onerror=y>\n", "<img"},
		{"see https://example.com there\n", "<a "},
	} {
		assert.NotContains(t, article(t, c.markdown), c.never, c.markdown)
	}
	assert.Contains(t, article(t, "![the *north* wall](wall.png)\n"), "the north wall")
	for _, to := range []string{"javascript:alert(1)", "vbscript:alert(1)", "data:text/html,y", "data:image/png;base64,AAAA", "file:///etc/passwd", "ms-word:a", "//example.org/a", "//example.org@/a", "https:a"} {
		text := prose.Text{Name: "x", Document: "site/x.md", Markdown: []byte("[x](" + to + ")\n")}
		_, _, err := prose.Guide(edition(t), text)
		assert.ErrorContains(t, err, "leads neither to a page nor to the web", to)
		assert.Equal(t, []prose.Link{{Written: to}}, text.Links(), "and so it is told where the farm's files are judged")
	}
}

func TestGuideLinks(t *testing.T) {
	e := edition(t)
	page, links, err := prose.Guide(e, prose.Text{Name: "x", Document: "site/x.md", Markdown: []byte(
		"[a](other.md#part) [b](../index.html) [c](#here) [d](https://example.com/x.md) [e](mailto:a@example.com)\n\n" +
			"<f@example.com> <//x%o`P?l@ft> <g?bcc=h@example.com>\n\n# Here\n")})
	require.NoError(t, err)
	assert.Contains(t, string(page), `<a href="mailto:f@example.com">f@example.com</a> //x%o`+"`P?l@ft g?bcc=h@example.com", "no more than one mailbox opens")
	assert.Equal(t, []string{"guides/other.html", "index.html"}, links)
	assert.Contains(t, string(page), `href="other.html#part"`)
	assert.Contains(t, string(page), `href="https://example.com/x.md"`)
	_, _, err = prose.Guide(e, prose.Text{Name: "x", Document: "site/x.md", Markdown: []byte("[a](/etc/x)\n")})
	require.ErrorContains(t, err, `site/x.md: the link "/etc/x" starts with a slash`)
	for _, bad := range []string{"[a](%zz)\n", "[a](http://e\"x.org/)\n"} {
		_, _, err = prose.Guide(e, prose.Text{Name: "x", Document: "site/x.md", Markdown: []byte(bad)})
		require.ErrorContains(t, err, "is no address", bad)
	}
}

// Ids of headings are the same in every run, and different in one page.
func TestGuideIDsAreStable(t *testing.T) {
	text := "## One\n\n## One\n\n## Zwei Öfen\n\n## !!!\n"
	first := article(t, text)
	assert.Equal(t, first, article(t, text))
	assert.Contains(t, first, `id="one"`)
	assert.Contains(t, first, `id="one-1"`)
	assert.Contains(t, article(t, "## Main\n"), `id="main-1"`, "main is the page's own")
}

// A page can link to one word of a glossary; a heading's id stays what it was.
func TestGuideTermsHaveIDs(t *testing.T) {
	got := article(t, "core\n: The middle.\n\nC:N ratio\n: Carbon to *nitrogen*.\n\n## Core\n\nMain\n: Ours.\n")
	assert.Contains(t, got, `<dt id="core-1">core</dt>`)
	assert.Contains(t, got, `<h2 id="core">Core</h2>`)
	assert.Contains(t, got, `<dt id="cn-ratio">C:N ratio</dt>`)
	assert.Contains(t, got, `<dt id="main-1">Main</dt>`, "main is the page's own")
}
