package prose_test

import (
	"bytes"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// markdowns are seeds of both: what is safe, and what tries not to be.
var markdowns = []string{
	"# T\n\n> **DANGER** x. y\n\n| a |\n|---|\n| b |\n", "> **DANGER**\n", "> **DANGER** ", "![](x)\n[](y.md)\n",
	"<a href=\"javascript:x\">y</a>\n", "[x]( javascript:y)\n", "# <script>\n", "a\n: b\n", "<javascript:alert(1)>\n", "<ftp://example.org/x>",
	"[x](ms-word:ofe|u|http://example.org/a.doc)", "[x](data:image/png;base64,AAAA)", "[x](//example.org/a)", "[x](\\\\\\\\host\\\\a)", "[x](file:///etc/passwd)",
	"[x](&#106;avascript:a)", "[x](&#106;avasdript:a)", "[x](javasdript\\:a)", "[x](a&amp;b.md?c=d&e=f#g&amp;h)", "[x](a&colon;b)", "[x](&#x2f;&#47;host)", "[x](java%73cript:a)", "[x]: javascript:a\n\n[x]", "![a](b.png \"c\")", "![a](<b c.png>)", "[a](b \"onclick=c\")", "{cold} \ue0000\ue001 \ue002",
	"[a]({cold}script:x)", "```html\n<script>\n```\n", "    <script>\n", "<!-- --><svg onload=x>", "<![CDATA[<script>]]>", "</article><script>x</script>", "&lt;script&gt;",
	"| a |\n|:-:|\n| <b onclick=x> |", "- > 1. - a\n", "<x@example.org>", "[t](tel:+123)", "https://example.org", "***a** b*", "\x00<\x00script>", "[a](b\u202e.md)",
}

// allowed are the elements that Markdown gives, and for each the attributes that it may
// have besides those that any may have.
var allowed = map[string][]string{
	"p": nil, "h1": nil, "h2": nil, "h3": nil, "h4": nil, "h5": nil, "h6": nil, "ul": nil, "ol": {"start"}, "li": nil, "dl": nil, "dt": nil, "dd": nil,
	"table": nil, "thead": nil, "tbody": nil, "tr": nil, "th": {"scope"}, "td": nil, "caption": nil, "strong": nil, "em": nil, "code": nil, "pre": nil,
	"blockquote": nil, "hr": nil, "br": nil, "a": {"href", "title"}, "div": {"tabindex", "role", "aria-labelledby"}, "span": {"lang"},
	"svg": {"aria-hidden", "focusable"}, "use": {"href"}, "img": {"src", "alt", "width", "height"},
}

// harmless holds what authors wrote to what a page may have: nothing that runs, that is
// fetched from elsewhere, that styles itself, or that leads to a program of the reader's.
func harmless(t *testing.T, root *html.Node, markdown string, pictures map[string]prose.Picture) {
	t.Helper()
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		own, ok := allowed[n.Data]
		require.True(t, ok, "%q gives a <%s>", markdown, n.Data)
		for _, a := range n.Attr {
			require.True(t, slices.Contains(own, a.Key) || a.Key == "id" || a.Key == "class", "%q gives <%s %s=%q>", markdown, n.Data, a.Key, a.Val)
			switch {
			case n.Data == "use":
				require.Regexp(t, `^#sign-(danger|warning|caution|notice)$`, a.Val)
			case a.Key == "src":
				require.Contains(t, pictures, a.Val, "%q shows %q", markdown, a.Val)
			case a.Key == "href":
				u, err := url.Parse(strings.TrimSpace(a.Val))
				require.NoError(t, err, "%q leads to %q", markdown, a.Val)
				require.Contains(t, []string{"", "http", "https", "mailto", "tel"}, u.Scheme, "%q leads to %q", markdown, a.Val)
				require.True(t, u.Scheme != "" || u.Host == "" && !strings.HasPrefix(a.Val, "/") && !strings.Contains(a.Val, `\`), "%q leads to %q", markdown, a.Val)
			}
		}
	}
}

// around is a page without its title and its article, and those two.
func around(t require.TestingT, page []byte) (outside, title string, article *html.Node) {
	doc, err := html.Parse(bytes.NewReader(page))
	require.NoError(t, err)
	for n := range doc.Descendants() {
		switch {
		case n.Type == html.ElementNode && n.DataAtom == atom.Title && title == "":
			title = n.FirstChild.Data
			n.RemoveChild(n.FirstChild)
		case n.Type == html.ElementNode && n.DataAtom == atom.Article && article == nil:
			article = n
		}
	}
	require.NotNil(t, article)
	article.Parent.RemoveChild(article)
	var b strings.Builder
	require.NoError(t, html.Render(&b, doc))
	return b.String(), title, article
}

// soon is far more than any text within the bounds takes.
const soon = 20 * time.Second

// Whatever a page holds, nothing in it runs, is fetched, or styles itself; what stands
// around it is what stands around an empty page; and it is set in bounded time.
func FuzzGuide(f *testing.F) {
	for _, seed := range markdowns {
		f.Add(seed)
	}
	e := edition(f)
	pictures := map[string]prose.Picture{"b.png": {Width: 4, Height: 3}}
	empty, _, err := prose.Guide(e, prose.Text{Name: "x", Document: "x"})
	require.NoError(f, err)
	without, _, _ := around(f, empty)
	f.Fuzz(func(t *testing.T, markdown string) {
		text := prose.Text{Name: "x", Document: "x", Markdown: []byte(markdown), Pictures: pictures}
		begun := time.Now()
		page, links, err := prose.Guide(e, text)
		require.Less(t, time.Since(begun), soon)
		if err != nil {
			return
		}
		outside, title, article := around(t, page)
		require.Equal(t, without, outside, "%q changes what stands around it", markdown)
		if plain := text.Title(); utf8.ValidString(plain) && !strings.ContainsAny(plain, "\x00\r") {
			want := "F" // a guide that is called as the farm is
			if plain != want {
				want = plain + " · F"
			}
			require.Equal(t, want, title)
		}
		harmless(t, article, markdown, pictures)
		titles := 0
		for n := range article.Descendants() {
			if n.Type == html.ElementNode && n.Data == "h1" {
				titles++
			}
		}
		require.Equal(t, 1, titles, "%q", markdown)
		if utf8.ValidString(markdown) { // no other guide is read from a farm (finding not_utf8)
			var told []string
			for _, l := range text.Links() {
				told = append(told, l.Path)
			}
			require.Equal(t, links, told, "%q", markdown)
		}
		for _, p := range text.Parts().Parts {
			require.NotContains(t, p.ID, " ")
		}
	})
}

// Whatever the prose of a step holds, nothing in it runs, is fetched, or styles itself, with
// links to guides and without; it is as many lines of text; and a link is told to be at
// fault, or leads to a guide or the web.
func FuzzStep(f *testing.F) {
	for _, seed := range markdowns {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, markdown string) {
		_, over := prose.TooMuch([]byte(markdown))
		if _, err := words.Names(markdown); err != nil || over || len(markdown) > 4000 {
			return // refused before it is set
		}
		ready := prose.In(words.English(unit.Metric)) // it keeps what it has set, so each has its own
		begun := time.Now()
		p := ready(markdown)
		require.Less(t, time.Since(begun), soon)
		for _, part := range []string{p.HTML, p.Alone} {
			// As on a page: facts and the number of the step in place of their marks.
			for i := range p.Facts {
				part = strings.ReplaceAll(part, leaf.FactMark(i), "4 °C")
				part = strings.ReplaceAll(part, url.PathEscape(leaf.FactMark(i)), url.PathEscape("4 °C"))
			}
			part = strings.ReplaceAll(part, leaf.StepMark, "3")
			nodes, err := html.ParseFragment(strings.NewReader(part), &html.Node{Type: html.ElementNode, Data: "div", DataAtom: atom.Div})
			require.NoError(t, err)
			root := &html.Node{Type: html.DocumentNode}
			for _, n := range nodes {
				root.AppendChild(n)
			}
			harmless(t, root, markdown, nil)
		}
		for _, line := range p.Lines {
			require.True(t, utf8.ValidString(line) || !utf8.ValidString(markdown))
			require.NotContains(t, line, "\n")
		}
		for _, x := range prose.Faults(markdown, func(string) bool { return true }) {
			require.Contains(t, []string{"prose.link", "prose.caution"}, x.Rule)
		}
	})
}
