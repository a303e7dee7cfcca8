package leaf

import (
	"strings"

	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/words"
)

// TracePath is the page on where lots went.
const TracePath = "trace.html"

// tracePage tells of each batch what went in, and who got its crop.
type tracePage struct {
	frame
	Lead    string
	Results string // the page on what became of the batches, "" for none
	Shared  table
	Batches []tracedBatch
	Law     string // of what goes into the air
}

// tracedBatch is one batch from what went in to who got it.
type tracedBatch struct {
	ID, Code, When string
	In             []kindOfNodes
	Way            []string
	Gone           table
	Means          []string
	Balance        []string
}

// kindOfNodes are things of one kind.
type kindOfNodes struct {
	Name  string
	Nodes []string
}

// nodes are things by their kind.
func (e Edition) nodes(w *trace.Web, list []trace.Node) []kindOfNodes {
	var out []kindOfNodes
	for _, k := range trace.Kinds {
		x := kindOfNodes{Name: e.say("trace.kind." + string(k))}
		for _, n := range trace.Of(k, list) {
			x.Nodes = append(x.Nodes, e.Voice.Say(w.Said(n)))
		}
		if len(x.Nodes) > 0 {
			out = append(out, x)
		}
	}
	return out
}

// TraceFarmPage is how the home page and the search list it.
func TraceFarmPage(e Edition) FarmPage {
	return FarmPage{Path: TracePath, Title: e.say("book.trace"), For: words.Message("book.trace.for"), Known: e.say("book.trace.known")}
}

// Trace sets the page on where lots went. The batch written down last stands first:
// whoever looks for one mostly looks for that.
func Trace(e Edition, w *trace.Web) ([]byte, error) {
	page := tracePage{frame: e.frame(TracePath, "trace-of-batches", e.say("book.trace"), e.say("book.trace.id"), "")}
	if len(w.Results.Batches) > 0 {
		page.Results = ResultsPath
	}
	rest := 0
	for i := len(w.Results.Batches) - 1; i >= 0; i-- {
		if n := (trace.Node{Kind: trace.Batch, Code: w.Results.Batches[i].Code}); w.Traceable(n.Code) {
			page.Batches = append(page.Batches, e.tracedBatch(w, n))
		} else {
			rest++
		}
	}
	page.Lead = e.say("book.trace.lead", "n", len(page.Batches), "rest", rest)
	page.Shared, page.Law = e.shared(w), e.Voice.Say(trace.AirSaid())
	return e.html("trace", page)
}

// TraceAnchor is where the page tells of a batch.
func TraceAnchor(code string) string { return "of-" + slugOf(code) }

// slugOf is a code as an anchor: letters and digits stay.
func slugOf(code string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, code)
}

func (e Edition) tracedBatch(w *trace.Web, n trace.Node) tracedBatch {
	r := w.Recall(n)
	out := tracedBatch{ID: TraceAnchor(n.Code), Code: n.Code, When: w.Title(w.Result(n.Code).Protocol), In: e.nodes(w, r.Back)}
	for _, m := range w.About(n) {
		out.Way = append(out.Way, e.Voice.Say(m))
	}
	out.Gone = e.gone(r)
	out.Gone.ID, out.Gone.Caption = "cap-gone-"+slugOf(n.Code), e.say("book.trace.caption.out", "code", n.Code)
	if len(r.Lots) > 0 {
		for _, m := range r.Means() {
			out.Means = append(out.Means, e.Voice.Say(m))
		}
	}
	for _, t := range r.Batches {
		for _, m := range t.Balance.Said() {
			out.Balance = append(out.Balance, e.Voice.Say(m))
		}
	}
	return out
}

// gone is what became of the lots of a harvest, the last deliveries first.
func (e Edition) gone(r *trace.Recall) table {
	var out table
	for _, h := range []string{"lot", "day", "customer", "mass"} {
		out.Head = append(out.Head, e.say("book.recall."+h))
	}
	for _, d := range r.Sent {
		out.Rows = append(out.Rows, []string{d.Lot, d.On, d.To, e.show(trace.Mass(float64(d.Mass)))})
	}
	return out
}

// shared are things that went into more than one batch.
func (e Edition) shared(w *trace.Web) table {
	out := table{ID: "cap-shared", Caption: e.say("book.trace.shared.caption"), Head: []string{e.say("book.trace.what"), e.say("book.trace.in")}}
	for _, n := range w.Nodes() {
		in := trace.Of(trace.Batch, w.Forward(n))
		if n.Kind == trace.Batch || len(in) < 2 {
			continue
		}
		var codes []string
		for _, b := range in {
			codes = append(codes, b.Code)
		}
		out.Rows = append(out.Rows, []string{e.Voice.Say(w.Said(n)), strings.Join(codes, ", ")})
	}
	return out
}
