package book_test

import (
	"crypto/sha256"
	"encoding/base64"
	"math"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// TestPagesAreAccessible holds every page to what WCAG 2.2 asks of structure
// (1.3.1, 2.4.1, 2.4.2, 2.4.6, 3.1.1), as reference/style.md sums it up.
func TestPagesAreAccessible(t *testing.T) {
	for name, doc := range demoPages(t, unit.Metric) {
		root := all(doc, tag("html"))
		require.Len(t, root, 1)
		assert.Equal(t, "en", attr(root[0], "lang"), name)
		assert.Len(t, all(doc, tag("h1")), 1, "%s: one h1", name)
		for _, landmark := range []string{"header", "main", "footer"} {
			assert.Len(t, all(doc, tag(landmark)), 1, "%s: %s", name, landmark)
		}
		// Every page has the book's own links, and some a list of their own
		// places; a reader who only hears the page tells them by their names.
		called := map[string]bool{}
		for _, nav := range all(doc, tag("nav")) {
			label := attr(nav, "aria-label")
			assert.NotEmpty(t, label, "%s: a nav without a name", name)
			assert.False(t, called[label], "%s: two navs called %s", name, label)
			called[label] = true
		}
		assert.True(t, called["Book"], name)
		title := all(all(doc, tag("head"))[0], tag("title"))
		require.Len(t, title, 1, name)
		assert.Contains(t, text(title[0]), "Willow Fork", name)
		links := all(doc, tag("a"))
		assert.Equal(t, "#main", attr(links[0], "href"), "%s: the skip link is first", name)

		level := 0
		for _, h := range all(doc, tag("h1", "h2", "h3", "h4", "h5", "h6")) {
			n := int(h.Data[1] - '0')
			assert.LessOrEqual(t, n, level+1, "%s: %q skips a level", name, text(h))
			assert.NotEmpty(t, text(h), name)
			level = n
		}
		for _, table := range all(doc, tag("table")) {
			caption := all(table, tag("caption"))
			if assert.Len(t, caption, 1, "%s: a table without a caption", name) {
				assert.NotEmpty(t, text(caption[0]), name)
				assert.Equal(t, attr(caption[0], "id"), attr(table.Parent, "aria-labelledby"), "%s: a table that does not scroll alone", name)
			}
			for _, th := range all(table, tag("th")) {
				assert.Contains(t, []string{"col", "row", "rowgroup"}, attr(th, "scope"), "%s: %q", name, text(th))
			}
			for _, tr := range all(table, tag("tr")) {
				assert.NotEmpty(t, all(tr, tag("th")), "%s: a row without a heading", name)
			}
		}
		for _, box := range all(doc, tag("input")) {
			label := box.Parent
			if id := attr(box, "id"); id != "" {
				found := all(doc, func(n *html.Node) bool { return n.Data == "label" && attr(n, "for") == id })
				require.Len(t, found, 1, "%s: a field without a label", name)
				label = found[0]
			}
			require.Equal(t, "label", label.Data, name)
			assert.NotEmpty(t, text(label), "%s: a box without a label", name)
		}
	}
}

// TestIDsAreUnique and every reference by id finds its element.
func TestIDsAreUnique(t *testing.T) {
	for name, doc := range demoPages(t, unit.Metric) {
		seen := map[string]bool{}
		for _, n := range all(doc, func(n *html.Node) bool { return attr(n, "id") != "" }) {
			id := attr(n, "id")
			assert.False(t, seen[id], "%s: id %s stands twice", name, id)
			seen[id] = true
		}
		for _, key := range []string{"aria-labelledby", "aria-describedby", "for"} {
			for _, n := range all(doc, func(n *html.Node) bool { return attr(n, key) != "" }) {
				assert.True(t, seen[attr(n, key)], "%s: %s=%q finds nothing", name, key, attr(n, key))
			}
		}
	}
}

// TestLinksResolve follows every link that stays in the book, fragments too.
func TestLinksResolve(t *testing.T) {
	files := render(t, unit.Metric)
	docs := demoPages(t, unit.Metric)
	ids := map[string]map[string]*html.Node{}
	for name, doc := range docs {
		ids[name] = idsOf(doc)
	}
	for name, doc := range docs {
		for _, n := range all(doc, tag("a", "link", "use")) {
			href := attr(n, "href")
			u, err := url.Parse(href)
			require.NoError(t, err, name)
			if u.Scheme != "" {
				assert.Equal(t, "https", u.Scheme, "%s: %s", name, href)
				assert.Equal(t, "a", n.Data, "%s: %s leaves the book", name, href)
				continue
			}
			require.NotEmpty(t, href, name)
			require.False(t, strings.HasPrefix(href, "/"), "%s: %s", name, href)
			target := name
			if u.Path != "" {
				assert.NotEmpty(t, path.Ext(u.Path), "%s: %s: a file name is spelled out", name, href)
				target = path.Join(path.Dir(name), u.Path)
			}
			// Plainly: assert.Contains goes through all of a map, for each of many links.
			if files[target] == nil {
				t.Errorf("%s: %s: the book has no such file", name, href)
			} else if u.Fragment != "" && ids[target][u.Fragment] == nil {
				t.Errorf("%s: %s: nothing on that page has this id", name, href)
			}
		}
	}
}

// searches are the pages with the field to search by.
var searches = map[string]bool{leaf.HomePath: true, leaf.SearchPath: true}

// pageRule is all that a page's own style may be: its paper and what stands in the
// margins of it; on a record a place for the batch code; on sheets of labels where
// each of them lies.
var pageRule = regexp.MustCompile(`^@page\{size:letter;[^@{}]*(@bottom-(left|center|right)\{[^{}]*\}){3}(@top-right\{[^{}]*\})?\}` +
	`(@media print\{(\.of-(cards|bottle_labels)[^{}]*\{((width|height|left|top):[0-9.]+mm;?){2,3}\})+\})?$`)

// fetching are the elements that fetch, run or send something, and asking the attributes
// that do.
var (
	fetching = []string{"script", "iframe", "object", "embed", "img", "form", "base", "audio", "video"}
	asking   = []string{"src", "srcset", "action", "data", "ping"}
)

// TestNothingIsFetchedOrRun looks for whatever could leave the book, run, or
// style past the policy. The search page alone runs something: two files of the
// book.
func TestNothingIsFetchedOrRun(t *testing.T) {
	for name, doc := range demoPages(t, unit.Metric) {
		var scripts []string
		for _, n := range all(doc, func(*html.Node) bool { return true }) {
			switch {
			case n.Data == "script" && name == leaf.SearchPath:
				assert.Empty(t, text(n), "a script that stands in the page")
				scripts = append(scripts, attr(n, "src"))
				continue
			case n.Data == "form" && searches[name]:
				assert.Equal(t, leaf.SearchPath, attr(n, "action"), name)
				assert.Equal(t, "get", attr(n, "method"), name)
				continue
			}
			if slices.Contains(fetching, n.Data) {
				t.Errorf("%s: %s", name, n.Data)
			}
			for _, a := range n.Attr {
				if a.Key == "style" || strings.HasPrefix(a.Key, "on") || slices.Contains(asking, a.Key) {
					t.Errorf("%s: %s: %s", name, n.Data, a.Key)
				}
			}
		}
		if name == leaf.SearchPath {
			assert.Equal(t, []string{leaf.SearchIndexPath, "look/search.js"}, scripts)
		}
		styles := all(doc, tag("style"))
		require.Len(t, styles, 1, name)
		rule := text(styles[0])
		assert.Regexp(t, pageRule, rule, name)
		assert.NotContains(t, rule, "url", name)
		var policy string
		for _, m := range all(doc, tag("meta")) {
			if attr(m, "http-equiv") == "Content-Security-Policy" {
				policy = attr(m, "content")
			}
		}
		more, forms := "", "'none'"
		switch {
		case name == leaf.SearchPath:
			more = "script-src 'self' file:; "
		case strings.HasPrefix(name, "guides/"):
			more = "img-src 'self' file:; "
		}
		if searches[name] {
			forms = "'self' file:"
		}
		sum := sha256.Sum256([]byte(rule))
		assert.Equal(t, "default-src 'none'; style-src 'self' file: 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+
			"'; font-src 'self' file:; "+more+"base-uri 'none'; form-action "+forms, policy, name)
	}
}

var cssURL = regexp.MustCompile(`url\(\s*"?([^")]+)"?\s*\)`)

// TestStylesheetStaysInside finds every file that the stylesheet asks for.
func TestStylesheetStaysInside(t *testing.T) {
	files := render(t, unit.Metric)
	css := string(files["look/book.css"])
	require.NotEmpty(t, css)
	assert.NotContains(t, css, "@import")
	found := cssURL.FindAllStringSubmatch(css, -1)
	require.NotEmpty(t, found)
	for _, u := range found {
		assert.Contains(t, files, path.Join("look", u[1]))
	}
	assert.Contains(t, files, "look/fonts/OFL.txt", "the font's licence lies beside it")
}

var customProperty = regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`)

// TestContrast computes the contrast of every ink on its ground, for light and
// dark, by the formula of WCAG 2.2 (relative luminance, contrast ratio): at
// least 4.5 for text (1.4.3) and 3 for what must be seen (1.4.11).
func TestContrast(t *testing.T) {
	// Black on white is 21 by definition, and the gray that is known to just
	// pass on white, #767676, is 4.54.
	assert.InDelta(t, 21, contrast("#000000", "#ffffff"), 1e-9)
	assert.InDelta(t, 4.54, contrast("#767676", "#ffffff"), 0.005)

	css := string(render(t, unit.Metric)["look/book.css"])
	light, dark, found := strings.Cut(css, "@media screen and (prefers-color-scheme: dark)")
	require.True(t, found)
	light = light[strings.Index(light, ":root"):]
	dark = dark[:strings.Index(dark, ":root {\n  color-scheme")]
	for theme, block := range map[string]string{"light": light, "dark": dark} {
		ink := map[string]string{}
		for _, m := range customProperty.FindAllStringSubmatch(block, -1) {
			ink[m[1]] = m[2]
		}
		require.Len(t, ink, 15, theme)
		for _, pair := range [][2]string{
			{"ink", "paper"}, {"quiet", "paper"}, {"accent", "paper"}, {"ink", "ground"},
			{"danger-ink", "danger-ground"}, {"warning-ink", "warning-ground"},
			{"caution-ink", "caution-ground"}, {"notice-ink", "notice-ground"},
		} {
			assert.GreaterOrEqual(t, contrast(ink[pair[0]], ink[pair[1]]), 4.5, "%s: %s", theme, pair)
		}
		assert.GreaterOrEqual(t, contrast(ink["control"], ink["paper"]), 3.0, theme)
	}
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func luminance(color string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, _ := strconv.ParseUint(color[1+2*i:3+2*i], 16, 8)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}
