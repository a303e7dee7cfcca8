package leaf

import (
	"fmt"

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
type kindOfNodes struct{ Name, Nodes string }

// nodes are things by their kind.
func (e Edition) nodes(w *trace.Web, list []trace.Node) []kindOfNodes {
	var out []kindOfNodes
	for _, k := range trace.Kinds {
		var names []string
		for _, n := range trace.Of(k, list) {
			names = append(names, e.Voice.Say(w.Said(n)))
		}
		if len(names) > 0 {
			out = append(out, kindOfNodes{e.say("trace.kind." + string(k)), e.Voice.Phrases(names)})
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
		if w.Traceable(w.Results.Batches[i].Code) {
			page.Batches = append(page.Batches, e.tracedBatch(w, i))
		} else {
			rest++
		}
	}
	page.Lead = e.say("book.trace.lead", "n", len(page.Batches), "rest", rest)
	page.Shared, page.Law = e.shared(w), e.Voice.Say(trace.AirSaid())
	return e.html("trace", page)
}

// tracedBatch tells of one batch. Codes may differ in signs that no anchor has, so that
// the anchor is the place in the results' file.
func (e Edition) tracedBatch(w *trace.Web, i int) tracedBatch {
	n := trace.Node{Kind: trace.Batch, Code: w.Results.Batches[i].Code}
	r := w.Recall(n)
	out := tracedBatch{ID: fmt.Sprintf("batch-%d", i+1), Code: n.Code, When: w.Title(w.Result(n.Code).Protocol), In: e.nodes(w, r.Back)}
	for _, m := range w.About(n) {
		out.Way = append(out.Way, e.Voice.Say(m))
	}
	out.Gone = e.gone(r)
	out.Gone.ID, out.Gone.Caption = "cap-gone-"+out.ID, e.say("book.trace.caption.out", "code", n.Code)
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
		out.Rows = append(out.Rows, []string{e.Voice.Say(w.Said(n)), e.Voice.List(codes)})
	}
	return out
}
