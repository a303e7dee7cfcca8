package book_test

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// pseudo is the demo farm's input in the pseudo-language, and all that authors wrote in
// its brackets too: what stands outside of them is said by nobody.
func pseudo(t *testing.T, sys unit.System) book.Input {
	t.Helper()
	in := demoIn(t, words.Pseudo(sys), bracketed, some)
	for i, g := range in.Guides {
		in.Guides[i].Markdown = heading.ReplaceAll(g.Markdown, []byte("${1}"+words.PseudoOpen+"${2}"+words.PseudoClose))
	}
	return in
}

// pseudoPages are the pages of that book, set and parsed once: nobody may change them.
func pseudoPages(t *testing.T) map[string]*html.Node {
	t.Helper()
	if disguised == nil {
		disguised = pages(t, rendered(t, pseudo(t, unit.Metric)))
	}
	return disguised
}

var disguised map[string]*html.Node

// heading is a heading of a guide, which other pages name, or a word that it defines.
var heading = regexp.MustCompile(`(?m)^(#+ |)([^\n]+)$(?:\n:|)`)

// bracketed puts brackets around an author's text, and around each line of a longer
// one, which may be a list.
func bracketed(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if body := strings.TrimLeft(line, " -*#>|0123456789."); body != "" {
			lines[i] = line[:len(line)-len(body)] + words.PseudoOpen + body + words.PseudoClose
		}
	}
	return strings.Join(lines, "\n")
}

// unsaid are the elements with letters that are no language's, or the original's in all
// of them.
var unsaid = []struct {
	is  func(*html.Node) bool
	why string
}{
	{func(n *html.Node) bool { return attr(n, "lang") == "en" || attr(n, "lang") == "la" }, "a source, in the language of our own texts, or a scientific name: it says so to who hears the page"},
	{class("document-id"), "the id of a document, an entry or a limit"},
	{class("place"), "a place in a file"},
	{class("symbol"), "a symbol of a formula"},
	{class("fingerprint"), "a fingerprint"},
	{class("fingerprint-full"), "a fingerprint"},
	{class("lot-code"), "a lot, as its boxes are marked"},
	{tag("code", "pre"), "a key, a command, lines for a file"},
}

// measures are the units and the farm's money.
func measures(in book.Input) map[string]bool {
	out := map[string]bool{in.Edition.Farm.Currency: true}
	for k := unit.None; k <= unit.SpeedOf; k++ { // the last of them
		for _, name := range unit.Names(k) {
			for _, w := range strings.Fields(printed.Replace(name)) {
				out[w] = true
			}
		}
	}
	return out
}

// printed are the signs of units that a file may write without.
var printed = strings.NewReplacer("2", "²", "3", "³", "*", "·")

// isMeasure reports whether a word is a unit, or the farm's money for one.
func (r *listener) isMeasure(w string) bool {
	money, of, _ := strings.Cut(w, "/")
	return r.known[w] || r.known[money] && r.known[of]
}

// code is a code of a batch, of a week, of a protocol: letters and figures without a blank.
var code = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)+-?$|^\d{4}-W\d\d$`)

// TestNothingIsSaidOutsideOfTheCatalogs looks at every text of every page in the
// pseudo-language, also where it is only heard: what is in no brackets is in no catalog,
// and a book in another language would have it in English.
func TestNothingIsSaidOutsideOfTheCatalogs(t *testing.T) {
	look := func(known map[string]bool, docs map[string]*html.Node) {
		for name, doc := range docs {
			r := listener{known: known, path: name}
			r.read(doc)
			assert.Zero(t, r.depth, "%s: a text is cut off", name)
			for _, found := range slices.Sorted(maps.Keys(r.outside)) {
				t.Errorf("%s: in no catalog: %s", name, found)
			}
		}
	}
	look(measures(pseudo(t, unit.Metric)), pseudoPages(t))
	if checks.Whole() { // the units of the US are said by the same messages
		in := pseudo(t, unit.US)
		look(measures(in), pages(t, rendered(t, in)))
	}
}

// listener goes through a page, and remembers how deep in brackets it is: a text may be
// set in several elements.
type listener struct {
	known   map[string]bool
	path    string
	depth   int
	outside map[string]bool
}

func (r *listener) read(n *html.Node) {
	for _, u := range unsaid {
		if n.Type == html.ElementNode && u.is(n) {
			return
		}
	}
	switch {
	case n.Type == html.TextNode:
		r.text(n.Data, n.Parent)
	case n.Type != html.ElementNode:
	case n.Data == "style", n.Data == "script":
		return
	case n.Data == "main" && strings.HasPrefix(r.path, "guides/"): // is written in one language
		return
	case r.path == leaf.IndexPath && (hasClass(n, "letters") || n.Data == "h2" || n.Data == "dt"): // words of texts, one by one, and their letters
		return
	default:
		for _, key := range []string{"aria-label", "alt", "title", "placeholder", "data-name", "value"} {
			if rest, found := words.Undisguised(attr(n, key)); found {
				r.found(n, key+"="+rest)
			}
		}
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		r.read(c)
	}
}

func (r *listener) text(s string, in *html.Node) {
	var out strings.Builder
	for _, c := range s {
		switch string(c) {
		case words.PseudoOpen:
			r.depth++
			out.WriteByte(' ')
		case words.PseudoClose:
			r.depth--
			out.WriteByte(' ')
		default:
			if r.depth == 0 {
				out.WriteRune(c)
			}
		}
	}
	for _, w := range strings.Fields(out.String()) {
		if strings.ContainsFunc(w, unicode.IsLetter) && !r.isMeasure(w) && !code.MatchString(w) {
			r.found(in, strings.Join(strings.Fields(out.String()), " "))
			return
		}
	}
}

func (r *listener) found(n *html.Node, what string) {
	if r.outside == nil {
		r.outside = map[string]bool{}
	}
	r.outside[fmt.Sprintf("%s: %s", way(n), what)] = true
}

// way is an element with those around it, as a selector.
func way(n *html.Node) string {
	var out []string
	for ; n != nil && n.Type == html.ElementNode && n.Data != "main" && n.Data != "body" && len(out) < 4; n = n.Parent {
		s := n.Data
		if c := attr(n, "class"); c != "" {
			s += "." + strings.ReplaceAll(c, " ", ".")
		}
		out = append([]string{s}, out...)
	}
	return strings.Join(out, " ")
}

// apart are elements in whose line texts stand beside each other that are no sentence
// together, each with the reason. They are named by the end of their way.
var apart = []struct{ element, why string }{
	{"p.document-id", "the name of a document, and its fingerprint"},
	{"p.label-foot.on-paper", "the name of a document, and its fingerprint"},
	{"p.label-small", "fields of a label: species, protocol, fingerprint"},
	{"div.label-code", "a field of a label with its name, and how the code is written"},
	{"p.label-which", "fields of a label: which crate, and how many it holds"},
	{"p.label-line", "fields of a label with their names"},
	{"dt", "the number and the name of a step, how a code is written, and the words for a critical limit, which is a sign of its own"},
	{"div.margin-note", "time, role and ticks, one below the other"},
	{"li.wall-step div h3", "a step, and how long it takes"},
	{"li.wall-step.is-critical div h3", "a step, and how long it takes"},
	{"div p.wall-limit", "the words for a critical limit, which are a sign of their own"},
	{"tr.station-line th", "a station, and who works there"},
	{"ul.answers li", "an answer, and the letter to choose it by"},
	{"table.key tbody tr td", "an answer, and the letter to choose it by"},
	{"table.week-work tbody tr td", "the work, its steps and the notes, in lines of their own"},
	{"table.week-work tbody tr.delivered td", "the work and the notes, in lines of their own"},
	{"table.deliveries tbody tr td", "the verdict and the reasons, in lines of their own"},
	{"table.log tbody tr th", "the day and the work, in lines of their own"},
	{"table.standings tbody tr th", "a protocol and which of its figures, in lines of their own"},
	{"table.standings tbody tr td", "a figure, and the word for its finding"},
	{"section.sheets ul.plain-list li", "a sheet, its code, and the command that makes it"},
	{"ul.plain-list li", "a page, and below its name when it is needed"},
	{"ul.plain-list.today li", "a page, and below its name when it is needed"},
	{"ul.hold-these li", "three columns: a limit, its value, its step"},
	{"dl.ready div dd", "an amount, and below it what it is made of"},
	{"dl.facts.told div dd", "a species by its two names"},
	{"dl.facts div dd", "what one of a vessel is called, and what many are"},
	{"div.worked dd.formula", "that a figure is one of a file's, and what the file says of it"},
	{"dl.index-words div dd", "a page, and what kind of page it is"},
	{"div.told p", "an author's text over several lines"},
	{"section h3", "a test of a room, and its day, which stands apart"},
}

// TestNoSentenceIsGlued looks for two messages in one line with no more between them
// than a blank or a sign: in another language they may not stand in that order, or with
// that sign. Whole sentences may follow each other, a label its value, and the links of
// a list each other.
func TestNoSentenceIsGlued(t *testing.T) {
	used, told := map[string]bool{}, map[string]bool{}
	for name, doc := range pseudoPages(t) {
		for _, line := range linesOf(doc, strings.HasPrefix(name, "guides/")) {
			at := glued(line)
			if at == "" {
				continue
			}
			excused := false
			for _, a := range apart {
				if strings.HasSuffix(" "+line.way, " "+a.element) {
					excused, used[a.element] = true, true
				}
			}
			if !excused && !told[line.way] {
				told[line.way] = true
				t.Errorf("%s: %s: two messages stand in one line: %s", name, line.way, at)
			}
		}
	}
	for _, a := range apart {
		assert.True(t, used[a.element], "%s stands in the list, and nothing is apart there", a.element)
	}
}

// line is the text of one line of a page as far as its structure goes: what stands
// between two elements that begin a line. A text may be set in several lines, so it
// knows how deep in brackets it begins.
type line struct {
	way, text string
	depth     int
}

// begins are the elements that begin a line of their own.
var begins = regexp.MustCompile(`^(p|li|t[dhr]|d[tdl]|div|ul|ol|h[1-6]|caption|summary|fig(caption|ure)|section|text|tspan|title|desc|svg|option|legend|label|table|main|header|footer|nav|article|aside|details|body|head|html|pre|noscript)$`)

// linked stands for the beginning and the end of a link.
const linked = '\x01'

func linesOf(doc *html.Node, guide bool) (out []line) {
	var b strings.Builder
	depth := 0
	end := func(n *html.Node) {
		if text := b.String(); strings.Contains(text, words.PseudoClose) {
			out = append(out, line{way(n), text, depth})
			depth += strings.Count(text, words.PseudoOpen) - strings.Count(text, words.PseudoClose)
		} else {
			depth += strings.Count(text, words.PseudoOpen)
		}
		b.Reset()
	}
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		switch {
		case n.Type == html.TextNode:
			b.WriteString(n.Data)
			return
		case n.Data == "style", n.Data == "script", guide && n.Data == "main":
			return
		}
		own := begins.MatchString(n.Data)
		if own {
			end(n.Parent)
		}
		if n.Data == "a" {
			b.WriteRune(linked)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
		if n.Data == "a" {
			b.WriteRune(linked)
		}
		if own {
			end(n)
		}
	}
	walk(doc)
	return out
}

// betweenLinks is what stands between two links of a list.
var betweenLinks = regexp.MustCompile(`^\s*` + string(linked) + `,?\s*` + string(linked) + `\s*$`)

// glued is where a message stands behind another that ends no sentence and is no label.
func glued(l line) string {
	depth, closed := l.depth, -1
	text := []rune(l.text)
	behind := func(to int) string {
		if closed < 0 || betweenLinks.MatchString(string(text[closed+1:to])) {
			return ""
		}
		return strings.Join(strings.Fields(string(text[max(0, closed-30):min(len(text), to+30)])), " ")
	}
	for i, r := range text {
		switch {
		case string(r) == words.PseudoOpen:
			if at := behind(i); depth == 0 && at != "" {
				return at
			}
			depth++
		case string(r) == words.PseudoClose:
			depth--
			closed = i
			if before := strings.TrimRight(string(text[:i]), words.PseudoClose); before != "" && strings.ContainsAny(before[len(before)-1:], ".:?!") {
				closed = -1
			}
		case depth > 0:
		case unicode.IsLetter(r):
			if at := behind(i); at != "" {
				return at
			}
		case unicode.IsDigit(r), r == '·', r == '=':
			closed = -1
		}
	}
	return ""
}
