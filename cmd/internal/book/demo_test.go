package book_test

import (
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
	"bottlecrop/site"
)

// How many of the batch sizes of a protocol are in a book outside CI: the smallest and
// the largest of four, for most pages are those of a size; or every one, for who speaks of
// another.
const some, every = 3, 1

// demo is the book's input for the demo farm, which is this repository.
func demo(t *testing.T, sys unit.System) book.Input {
	t.Helper()
	return demoIn(t, words.English(sys), asWritten, some)
}

// twoSizes leaves the sizes 48 and 160 outside CI: the one that is bound and another.
func twoSizes(in *book.Input) {
	if checks.Whole() {
		return
	}
	for i, e := range in.Entries {
		in.Entries[i].Batches = slices.DeleteFunc(slices.Clone(e.Batches), func(b *batch.Batch) bool { return b.Vessels != 48 && b.Vessels != 160 })
	}
}

// asWritten is what an author wrote.
func asWritten(text string) string { return text }

// demoIn is anew, worked out once for each voice. A test may change the lists of entries,
// batches and guides, and what the input has itself; what they point to it copies first.
func demoIn(t *testing.T, v *words.Voice, say func(text string) string, sizes int) book.Input {
	t.Helper()
	once := fmt.Sprint(v.Tag(), v.Units(), sizes)
	if _, is := worked[once]; !is {
		worked[once] = anew(t, v, say, sizes)
	}
	in := worked[once]
	in.Entries, in.Guides = slices.Clone(in.Entries), slices.Clone(in.Guides)
	for i, e := range in.Entries {
		in.Entries[i].Batches = slices.Clone(e.Batches)
	}
	return in
}

var worked = map[string]book.Input{}

// anew is the demo farm's input in a voice, with what say makes of all that authors
// wrote, and every so many of the batch sizes.
func anew(t *testing.T, v *words.Voice, say func(text string) string, sizes int) book.Input {
	t.Helper()
	folder, found := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	require.NotEqual(t, protocol.Error, protocol.Worst(found), found)
	retold := func(text string, _ bool) string { return say(text) }
	folder = folder.Retold(retold, retold)
	sys := v.Units()
	in := book.Input{Edition: leaf.Edition{Farm: folder.Farm, Voice: v, Version: "1.2.3", Place: folder.Place, Prose: prose.In(v)}, Library: folder.Library}
	for _, p := range folder.Protocols {
		p.BatchSizes = checks.Every(sizes, p.BatchSizes)
		plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p, Units: sys})
		require.NoError(t, err)
		e := book.Entry{
			Process:  plan,
			Method:   leaf.Method{Protocol: p.Name, Short: folder.ShortFingerprint(p.Name), Full: folder.Fingerprint(p.Name)},
			Findings: placed(folder, plan.Findings),
		}
		for _, n := range p.BatchSizes {
			b, err := batch.Compute(plan, n)
			require.NoError(t, err)
			e.Batches = append(e.Batches, b)
			e.Findings = append(e.Findings, placed(folder, b.Own)...)
		}
		in.Entries = append(in.Entries, e)
	}
	require.NotEmpty(t, in.Entries)
	shared := climate.NewSite(folder.Farm, folder.Library)
	shared.Call = leaf.StandingName(v)
	var grown []*process.Process
	for _, e := range in.Entries {
		grown = append(grown, e.Process)
	}
	in.Climate = &leaf.Climate{Site: shared, Rooms: climate.Rooms(shared, grown), Processes: grown}
	processes, methods := map[string]*process.Process{}, map[string]string{}
	for _, e := range in.Entries {
		processes[e.Method.Protocol], methods[e.Method.Protocol] = e.Process, e.Method.Short
	}
	record, err := results.Of(results.Input{Farm: folder.Farm, Results: folder.Results, Processes: processes, Methods: methods})
	require.NoError(t, err)
	in.Results = record
	fingerprints, names := map[string]trace.Fingerprint{}, map[string]string{}
	for _, e := range in.Entries {
		fingerprints[e.Method.Protocol] = trace.Fingerprint{Short: e.Method.Short, Full: e.Method.Full}
		names[e.Method.Protocol] = e.Process.Input.Protocol.Title
	}
	for id, i := range folder.Library.Ingredients {
		names[id] = i.Name
	}
	in.Trace = trace.New(trace.Input{Results: folder.Results, Stock: folder.Stock, Orders: folder.Orders, Processes: processes, Methods: fingerprints, Names: names})
	week, err := calendar.NewWorkdays(folder.Farm.Week.Works, folder.Farm.Week.Holidays)
	require.NoError(t, err)
	// It takes longer than all else, and nobody changes one.
	once := fmt.Sprint(v.Tag(), sys, folder.Farm.Name)
	planned := seasons[once]
	if planned == nil {
		planned, err = season.Plan(season.Input{Farm: folder.Farm, Processes: processes, Orders: folder.Orders, Results: folder.Results, Workdays: week})
		require.NoError(t, err)
		seasons[once] = planned
	}
	in.Season = &leaf.Season{Season: planned, Orders: folder.Orders.Orders, Workdays: week, Vessels: folder.Library.Vessels}
	guides, err := fs.Glob(site.Pages, "*.md")
	require.NoError(t, err)
	for _, g := range guides {
		text, err := fs.ReadFile(site.Pages, g)
		require.NoError(t, err)
		in.Guides = append(in.Guides, book.Guide{Name: strings.TrimSuffix(g, ".md"), Markdown: text, Document: "site/" + g})
	}
	withPast(&in, say)
	withNews(t, &in, once)
	return in
}

// seasons and news are those of the demo by its voice and its name: a pretended language
// has names of its own.
var (
	seasons = map[string]*season.Season{}
	news    = map[string]*change.Report{}
)

func placed(folder *farmfile.Folder, list []protocol.Finding) []protocol.Finding {
	var out []protocol.Finding
	for _, f := range list {
		f.Place = folder.Place(f.Origin)
		out = append(out, f)
	}
	return out
}

// systems are both systems of units in CI, and the metric one elsewhere.
var systems = checks.Every(2, []unit.System{unit.Metric, unit.US})

// render is the demo book by path. It is made once for each system of units, and
// a test must not change it.
func render(t *testing.T, sys unit.System) map[string][]byte {
	t.Helper()
	if made[sys] == nil {
		made[sys] = rendered(t, demo(t, sys))
	}
	return made[sys]
}

var made = map[unit.System]map[string][]byte{}

func rendered(t *testing.T, in book.Input) map[string][]byte {
	t.Helper()
	files, err := book.Render(in)
	require.NoError(t, err)
	out := map[string][]byte{}
	for _, f := range files {
		out[f.Path] = f.Data
	}
	return out
}

// renderedOnly is rendered with some pages alone: the others are there and are not set.
func renderedOnly(t *testing.T, in book.Input, wanted func(path string) bool) map[string][]byte {
	t.Helper()
	all, err := book.Pages(in)
	require.NoError(t, err)
	all = slices.DeleteFunc(all, func(p book.Page) bool { return !wanted(p.Path) })
	out := map[string][]byte{}
	var several sync.Mutex // pages are set at a time
	require.NoError(t, book.Set(t.Context(), all, func(_ int, f book.File) error {
		several.Lock()
		defer several.Unlock()
		out[f.Path] = f.Data
		return nil
	}))
	return out
}

// paths are those of all pages of a book, without setting one.
func paths(t *testing.T, in book.Input) map[string]bool {
	t.Helper()
	all, err := book.Pages(in)
	require.NoError(t, err)
	out := map[string]bool{}
	for _, p := range all {
		out[p.Path] = true
	}
	return out
}

// at wants pages by their paths.
func at(paths ...string) func(string) bool {
	return func(path string) bool { return slices.Contains(paths, path) }
}

// unsized wants all pages but those of one batch size.
func unsized(path string) bool { return !sized.MatchString(path) }

var sized = regexp.MustCompile(`-[0-9]+\.html$`)

// demoPages are the pages of the demo's book, parsed once: nobody may change them.
func demoPages(t *testing.T, sys unit.System) map[string]*html.Node {
	t.Helper()
	if readOnce[sys] == nil {
		readOnce[sys] = pages(t, render(t, sys))
	}
	return readOnce[sys]
}

var readOnce = map[unit.System]map[string]*html.Node{}

// onePage parses one page of a book.
func onePage(t *testing.T, files map[string][]byte, name string) *html.Node {
	t.Helper()
	return pages(t, map[string][]byte{name: files[name]})[name]
}

// pages parses the book's HTML.
func pages(t *testing.T, files map[string][]byte) map[string]*html.Node {
	t.Helper()
	out := map[string]*html.Node{}
	for name, data := range files {
		if strings.HasSuffix(name, ".html") {
			// As a browser without scripts reads it: what stands in noscript is seen then.
			doc, err := html.ParseWithOptions(strings.NewReader(string(data)), html.ParseOptionEnableScripting(false))
			require.NoError(t, err)
			out[name] = doc
		}
	}
	require.NotEmpty(t, out)
	return out
}

// The ways about a parsed page.

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key && a.Namespace == "" {
			return a.Val
		}
	}
	return ""
}

func hasClass(n *html.Node, class string) bool {
	for _, c := range strings.Fields(attr(n, "class")) {
		if c == class {
			return true
		}
	}
	return false
}

// all lists the elements under n that are wanted, in document order.
func all(n *html.Node, wanted func(*html.Node) bool) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && wanted(d) {
			out = append(out, d)
		}
	}
	return out
}

func tag(names ...string) func(*html.Node) bool {
	return func(n *html.Node) bool {
		for _, name := range names {
			if n.Data == name {
				return true
			}
		}
		return false
	}
}

func class(name string) func(*html.Node) bool {
	return func(n *html.Node) bool { return hasClass(n, name) }
}

func byID(n *html.Node, id string) *html.Node {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && attr(d, "id") == id {
			return d
		}
	}
	return nil
}

// idsOf are the elements of a page by their ids, for whoever looks up many.
func idsOf(n *html.Node) map[string]*html.Node {
	out := map[string]*html.Node{}
	for d := range n.Descendants() {
		if id := attr(d, "id"); d.Type == html.ElementNode && id != "" && out[id] == nil {
			out[id] = d
		}
	}
	return out
}

// words of an element; blanks in a row are one.
func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Trim(b.String(), " \n\t")
}
