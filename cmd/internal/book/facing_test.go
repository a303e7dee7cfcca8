package book_test

import (
	"bytes"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// spanish is the demo farm's input in Spanish, for the folder es of a book. What its
// authors wrote stays in English: the texts are another test's.
func spanish(t *testing.T) book.Input {
	t.Helper()
	v, err := words.In("es", unit.Metric)
	require.NoError(t, err)
	in := demoIn(t, v, asWritten, every)
	in.Edition.Folder = "es"
	return in
}

// inTwo is the demo farm's input in two languages, with some of its protocols.
func inTwo(t *testing.T, protocols ...string) book.Input {
	t.Helper()
	in, other := demoIn(t, words.English(unit.Metric), asWritten, every), spanish(t)
	some := func(e book.Entry) bool { return !slices.Contains(protocols, e.Method.Protocol) }
	in.Entries, other.Entries = slices.DeleteFunc(in.Entries, some), slices.DeleteFunc(other.Entries, some)
	in.Season, other.Season, in.Results, other.Results, in.Climate, other.Climate = nil, nil, nil, nil, nil, nil
	in.Others = []book.Input{other}
	return in
}

var figureIn = regexp.MustCompile(`\d+(?:[.,]\d+)?`)

// figuresOf are the figures of a text, with a decimal point, sorted.
func figuresOf(s string) []string {
	out := figureIn.FindAllString(strings.ReplaceAll(s, ",", "."), -1)
	slices.Sort(out)
	return out
}

// in lists the elements of a class under n that are in a language.
func in(n *html.Node, name, language string) []*html.Node {
	return all(n, func(n *html.Node) bool { return hasClass(n, name) && attr(n, "lang") == language })
}

// told is the text of elements, blanks in a row as one.
func told(list []*html.Node) string {
	var out []string
	for _, n := range list {
		out = append(out, plainText(n))
	}
	return strings.Join(strings.Fields(strings.Join(out, " ")), " ")
}

var facingOrSheet = regexp.MustCompile(`/(facing-es|sheet)-(12|400)\.html$`)

// A sheet in two languages tells each step once: one number, one heading, one box. What
// stands on each side is what the sheet of that language says, word for word, and both
// sides have the same cautions and figures.
func TestFacingHalves(t *testing.T) {
	in2 := inTwo(t, "enoki-850", "maitake-quart")
	files := renderedOnly(t, in2, func(path string) bool { return facingOrSheet.MatchString(path) })
	there := paths(t, in2)
	for _, name := range []string{"enoki-850", "maitake-quart"} {
		for _, size := range []string{"12", "400"} {
			at := name + "/facing-es-" + size + ".html"
			page := onePage(t, files, at)
			sheets := map[string]*html.Node{"en": onePage(t, files, name+"/sheet-"+size+".html"), "es": onePage(t, files, "es/"+name+"/sheet-"+size+".html")}
			steps := all(page, class("step"))
			require.Len(t, steps, len(all(sheets["en"], class("step"))), at)
			require.Len(t, all(page, tag("h1")), 1, at)
			assert.Len(t, all(page, tag("h2")), len(all(page, class("station")))+2, "%s: a heading for each station, the hazards and what to have ready", at)
			for _, s := range steps {
				id := attr(s, "id")
				heads := all(s, tag("h3"))
				require.Len(t, heads, 1, "%s %s", at, id)
				assert.Len(t, all(s, tag("input")), 1, "%s %s: boxes", at, id)
				assert.Len(t, all(s, class("step-number")), 1, "%s %s", at, id)
				var cautions, sides []string
				for _, language := range []string{"en", "es"} {
					alone := byID(sheets[language], id)
					require.NotNil(t, alone, id)
					title := all(heads[0], func(n *html.Node) bool { return attr(n, "lang") == language })
					require.Len(t, title, 1, "%s %s", at, id)
					assert.Equal(t, told(all(alone, class("step-title"))), told(title), "%s %s", at, id)
					halves := in(s, "half", language)
					assert.Equal(t, told(all(alone, class("safety"))), told(under(halves, "safety")), "%s %s in %s: cautions", at, id, language)
					assert.Equal(t, told(all(alone, class("do"))), told(under(halves, "do")), "%s %s in %s: actions", at, id, language)
					assert.Equal(t, told(all(alone, class("check"))), told(under(halves, "check")), "%s %s in %s: checks", at, id, language)
					kinds := ""
					for _, c := range under(halves, "safety") {
						kinds += attr(c, "class") + " "
					}
					cautions = append(cautions, kinds)
					sides = append(sides, told(under(halves, "do"))+told(under(halves, "limit-value")))
				}
				assert.Equal(t, cautions[0], cautions[1], "%s %s: signal words", at, id)
				assert.Equal(t, figuresOf(sides[0]), figuresOf(sides[1]), "%s %s: figures", at, id)
				// A caution stands before the heading, and the heading before the actions.
				body := plainText(all(s, class("step-body"))[0])
				if c := all(s, class("cautions")); len(c) > 0 {
					assert.True(t, strings.HasPrefix(body, plainText(c[0])), "%s %s: the cautions come first", at, id)
				}
			}
			// The two sides of all else are in their languages too.
			for _, h := range all(page, class("half")) {
				assert.Contains(t, []string{"en", "es"}, attr(h, "lang"), at)
			}
			assert.Len(t, in(page, "half", "es"), len(in(page, "half", "en")), at)
			whole(t, there, at, page)
		}
	}
}

// under are the elements of a class in others.
func under(list []*html.Node, name string) []*html.Node {
	var out []*html.Node
	for _, n := range list {
		out = append(out, all(n, class(name))...)
	}
	return out
}

// whole holds a page to having each id once, and references and links that lead
// somewhere.
func whole(t *testing.T, files map[string]bool, at string, page *html.Node) {
	t.Helper()
	ids := map[string]bool{}
	everything := all(page, func(*html.Node) bool { return true })
	for _, n := range everything {
		if id := attr(n, "id"); id != "" {
			assert.False(t, ids[id], "%s: the id %s twice", at, id)
			ids[id] = true
		}
	}
	for _, n := range everything {
		for _, key := range []string{"aria-labelledby", "aria-describedby", "for", "headers"} {
			for _, id := range strings.Fields(attr(n, key)) {
				assert.True(t, ids[id], "%s: nothing is %s, which %s names", at, id, key)
			}
		}
		href := attr(n, "href")
		to, fragment, _ := strings.Cut(href, "#")
		switch {
		case href == "" || strings.Contains(to, ":"):
		case to == "":
			assert.True(t, ids[fragment], "%s: nothing is #%s", at, fragment)
		default:
			assert.True(t, files[path.Join(path.Dir(at), to)], "%s: %s leads nowhere", at, href)
		}
	}
}

// Wall cards in two languages stand one behind the other, the first of a station on the
// face of a leaf, and say what each says alone.
func TestFacingCards(t *testing.T) {
	in := inTwo(t, "enoki-850")
	files := renderedOnly(t, in, func(path string) bool { return cardOfSize.MatchString(path) })
	const at = "enoki-850/wall-cards-es-48.html"
	page := onePage(t, files, at)
	cards := all(page, class("wall-card"))
	stations := all(onePage(t, files, "enoki-850/wall-cards-48.html"), func(n *html.Node) bool {
		return n.Data == "a" && n.Parent.Data == "th"
	})
	require.Len(t, cards, 2*len(stations))
	for i, c := range cards {
		language := []string{"en", "es"}[i%2]
		assert.Equal(t, language, attr(c, "lang"), "card %d", i)
		assert.Equal(t, i%2 == 0, hasClass(c, "front"), "card %d", i)
		alone := attr(stations[i/2], "href")
		folder := map[string]string{"en": "", "es": "es/"}[language]
		single := onePage(t, files, folder+"enoki-850/"+alone)
		assert.Equal(t, told(all(single, class("of-station"))), told(all(c, class("of-station"))), alone)
		for _, foot := range all(all(single, class("running-foot"))[0], tag("p"))[1:] { // the first is its number
			assert.Contains(t, told(all(c, class("running-foot"))), plainText(foot), alone)
		}
	}
	whole(t, paths(t, in), at, page)
}

var cardOfSize = regexp.MustCompile(`/(wall-cards|card-).*-48\.html$`)

// A book in one language has no page in two, and no links between languages; the same
// input in two gives the same bytes again.
func TestLanguagesOfABook(t *testing.T) {
	in := inTwo(t, "enoki-850")
	// Outside CI what differs by the language: two sizes of the protocol.
	some := func(path string) bool {
		return checks.Whole() || strings.Contains(path, "enoki-850/") && !strings.HasSuffix(path, "-12.html") && !strings.HasSuffix(path, "-160.html")
	}
	first, again := renderedOnly(t, in, some), renderedOnly(t, in, some)
	require.Len(t, again, len(first))
	for name, data := range first {
		assert.True(t, bytes.Equal(data, again[name]), "%s: other bytes", name)
	}
	assert.Contains(t, first, leaf.FacingPath("enoki-850", "es", 48))
	assert.Contains(t, string(first["enoki-850/sheet-48.html"]), `href="facing-es-48.html"`)
	assert.Contains(t, string(first["es/enoki-850/sheet-48.html"]), `href="../../enoki-850/facing-es-48.html"`)
	assert.Contains(t, string(first["enoki-850/sheet-48.html"]), `<a href="../es/enoki-850/sheet-48.html" lang="es" hreflang="es" rel="alternate">Español</a>`)
	in.Others = nil
	for name := range paths(t, in) {
		assert.NotContains(t, name, "facing")
	}
	for name, data := range renderedOnly(t, in, some) {
		assert.NotContains(t, string(data), "facing-es", name)
		assert.NotContains(t, string(data), `class="tongues"`, name)
	}
}

// The binder of a crew of two languages: the sheet once, wall cards by turns with the
// first on the face of a leaf, all else in the one and then in the other; a cover with
// both, and each document in its language.
func TestBinderInTwo(t *testing.T) {
	in := inTwo(t, "enoki-850")
	twoSizes(&in)
	twoSizes(&in.Others[0])
	files, err := book.Render(in)
	require.NoError(t, err)
	var first []book.Document
	for _, d := range book.Documents(files, "enoki-850", 48) {
		if d.First {
			first = append(first, d)
		}
	}
	documents := book.InTwo(files, first, "es", "enoki-850", 48)
	var paths []string
	for _, d := range documents {
		paths = append(paths, d.Path)
	}
	assert.NotContains(t, paths, "enoki-850/sheet-48.html")
	assert.Contains(t, paths, "enoki-850/facing-es-48.html")
	i := slices.Index(paths, "enoki-850/card-mixing-48.html")
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, "es/enoki-850/card-mixing-48.html", paths[i+1])
	assert.True(t, documents[i].Front)
	assert.False(t, documents[i+1].Front)
	assert.Equal(t, 2*len(first)-1, len(documents), "one of the sheets, all else twice")

	covers := []leaf.Cover{{Edition: in.Edition, Title: "A binder"}, {Edition: in.Others[0].Edition, Title: "Una carpeta"}}
	bound, err := book.Bind(covers, "enoki-850", "abcd-1234", files, documents, nil)
	require.NoError(t, err)
	doc, err := html.Parse(bytes.NewReader(bound))
	require.NoError(t, err)
	assert.Equal(t, "en", attr(all(doc, tag("html"))[0], "lang"))
	cover := all(doc, class("title-block"))[0]
	assert.Equal(t, "A binder / Una carpeta", plainText(all(cover, tag("h1"))[0]))
	assert.Contains(t, plainText(cover), "Printed on / Impreso el")
	bounds := all(doc, class("bound"))
	require.Len(t, bounds, len(documents))
	entries := all(all(doc, class("contents"))[0], tag("li"))
	for i, b := range bounds {
		want := "en"
		if strings.HasPrefix(documents[i].Path, "es/") {
			want = "es"
		}
		assert.Equal(t, want, attr(b, "lang"), documents[i].Path)
		assert.Equal(t, want, attr(entries[i], "lang"), documents[i].Path)
		assert.Equal(t, documents[i].Front, hasClass(b, "front"), documents[i].Path)
	}
	assert.Contains(t, string(bound), `content:"Page " counter(page)`)
	assert.Contains(t, string(bound), `content:"P\e1 gina " counter(page)`)
	whole(t, nil, "binder", doc)
}
