package leaf

import (
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/unit"
)

// How many batches a chart draws at most, the last ones, and of how many it tells the
// name: more could not be told apart.
const (
	mostDrawn = 40
	mostNamed = 3
)

// batchesDrawn is the chart of a protocol's batches.
func (e Edition) batchesDrawn(g *results.Group) *picture {
	if len(g.Done) < 2 || g.Quantity("batches_counted") == nil {
		return nil
	}
	from := max(0, len(g.Done)-mostDrawn)
	d := draw.Batches{
		Title: e.say("book.results.figure"), From: from + 1,
		Mean: draw.Tick{At: g.Chart.Mean, Label: e.say("book.results.figure.mean", "mean", results.Share(g.Chart.Mean))},
		Say:  func(v float64) string { return e.show(unit.Amount{Kind: unit.ShareOf, Value: v, Digits: 2}) },
	}
	if g.Process != nil {
		at := g.Process.Value("lost_share")
		d.Assumed = &draw.Tick{At: at, Label: e.say("book.results.figure.assumed", "assumed", results.Share(at))}
	}
	var told []string
	for i := from; i < len(g.Done); i++ {
		b, p := g.Done[i], g.Chart.Points[i]
		d.Batches = append(d.Batches, draw.BatchDot{At: b.Share(), Low: p.Low, High: p.High, Hollow: p.CauseFound, Beyond: p.Signal != results.Quiet})
		told = append(told, e.say("book.results.figure.one", "number", strconv.Itoa(i+1), "code", b.Code, "lost", b.Bad, "n", b.Filled))
	}
	for _, i := range furthest(g, from) {
		b := g.Done[i]
		d.Batches[i-from].Label = e.say("book.results.figure.label", "number", strconv.Itoa(i+1), "lost", b.Bad, "n", b.Filled)
	}
	d.Description = e.say("book.results.figure.desc", "k", len(d.Batches), "mean", results.Share(g.Chart.Mean), "told", strings.Join(told, " "))
	how := []string{e.say("book.results.figure.how")}
	if g.Chart.Provisional {
		how = append(how, e.say("book.results.figure.provisional", "k", len(g.Done)-g.Chart.LeftOut, "enough", results.Enough))
	}
	if g.Chart.Small > 0 {
		how = append(how, e.say("book.results.figure.small", "k", g.Chart.Small))
	}
	if from > 0 {
		how = append(how, e.say("book.results.figure.last", "shown", len(d.Batches), "k", len(g.Done)))
	}
	out := &picture{Notice: e.Voice.Say(g.Chart.Notice()), How: strings.Join(how, " ")}
	out.add(d.String())
	return out
}

// furthest are the batches with a signal that are named, those of the highest share
// first taken, in their order.
func furthest(g *results.Group, from int) []int {
	var out []int
	for i := from; i < len(g.Done); i++ {
		if g.Chart.Points[i].Signal != results.Quiet {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		switch x, y := g.Done[a].Share(), g.Done[b].Share(); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	out = out[:min(len(out), mostNamed)]
	slices.Sort(out)
	return out
}

// batchesTable is the chart in figures, with what each batch may stand for.
func (e Edition) batchesTable(g *results.Group, id string) table {
	out := table{ID: "cap-batches-" + id, Caption: e.say("book.results.table", "title", e.groupTitle(g))}
	// Most codes have the day of mixing in them already.
	dated := !slices.ContainsFunc(g.Done, func(b results.Batch) bool { return !b.Mixing.Mixing().Told(b.Code) })
	for _, h := range []string{"batch", "mixed", "lost", "share", "stands", "limits", "is"} {
		if h != "mixed" || !dated {
			out.Head = append(out.Head, e.say("book.results.table."+h))
		}
	}
	share := func(v float64) string { return e.show(results.Share(v)) }
	between := func(low, high float64) string {
		return e.say("book.results.range", "low", share(low), "high", share(high))
	}
	for i, b := range g.Done {
		p := g.Chart.Points[i]
		is := ""
		if p.Signal != results.Quiet {
			is = e.say("book.results.signal." + string(p.Signal))
		}
		row := []string{e.say("book.results.table.number", "number", strconv.Itoa(i+1), "code", b.Code)}
		if !dated {
			row = append(row, b.Mixed)
		}
		out.Rows = append(out.Rows, append(row, e.say("book.results.table.of", "lost", b.Bad, "n", b.Filled),
			share(b.Share()), between(p.Stands.Low, p.Stands.High), between(p.Low, p.High), is))
	}
	return out
}
