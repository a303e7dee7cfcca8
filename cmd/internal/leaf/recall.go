package leaf

import (
	"bottlecrop/cmd/internal/trace"
)

// recallPage is a mock recall: what hangs on one thing, with room for a pen.
type recallPage struct {
	frame
	Lead      string
	About     []string
	Do        []string
	In        []kindOfNodes
	Batches   []recalledBatch
	Maybe     []recalledMaybe
	Lots      []recalledLot
	Total     *recalledLot // nil for one lot alone
	Means     []string
	Customers []recalledDelivery
	Balances  []recalledBalance
}

// recalledBatch is a batch that is touched.
type recalledBatch struct{ Code, Mixed, How, State string }

// recalledMaybe are batches that may be touched, for one reason.
type recalledMaybe struct {
	Codes []string
	Why   string
}

// recalledLot is a lot of a harvest on the scale.
type recalledLot struct{ Code, Of, Picked, Sent, Unsold, Gap string }

// recalledDelivery is what somebody got.
type recalledDelivery struct{ To, For, Lot, Day, Mass string }

// recalledBalance is a batch on the scale.
type recalledBalance struct {
	Code string
	Said []string
}

// Recall sets the mock recall of one thing as a page that stands on its own.
func Recall(e Edition, w *trace.Web, r *trace.Recall) ([]byte, error) {
	style, err := e.loneStyle()
	if err != nil {
		return nil, err
	}
	what := e.Voice.Say(w.Said(r.Start))
	page := recallPage{
		frame: e.frame(TracePath, "recall", e.say("book.recall.title", "what", what), e.say("book.recall.id", "code", r.Start.Code), ""),
		Lead:  e.Voice.Say(r.Head()), In: e.nodes(w, r.Back),
	}
	page.Lone, page.Style, page.Tongues = true, style, nil
	page.Policy = "default-src 'none'; style-src " + hashOf(style) + " " + hashOf(page.PageRule) + "; font-src data:; base-uri 'none'; form-action 'none'"
	if r.Start.Kind != trace.Batch { // a batch's way stands in its row
		for _, m := range w.About(r.Start) {
			page.About = append(page.About, e.Voice.Say(m))
		}
	}
	if r.Bought != nil {
		page.About = append(page.About, e.Voice.Say(r.Bought.Said()))
	}
	for _, m := range w.Do(r) {
		page.Do = append(page.Do, e.Voice.Say(m))
	}
	state := func(emptied string) string {
		if emptied == "" {
			return e.say("book.recall.growing")
		}
		return emptied
	}
	for _, t := range r.Batches {
		page.Batches = append(page.Batches, recalledBatch{t.Code, t.Mixed, e.Voice.Say(w.Reached(t, r.Start)), state(t.Emptied)})
		b := recalledBalance{Code: t.Code}
		for _, m := range t.Balance.Said() {
			b.Said = append(b.Said, e.Voice.Say(m))
		}
		page.Balances = append(page.Balances, b)
	}
	// A record with a blank is mostly one of many: those of one reason share a row.
	for i, p := range r.Maybe {
		if last := len(page.Maybe) - 1; i > 0 && r.Maybe[i-1].Open == p.Open && r.Maybe[i-1].By == p.By {
			page.Maybe[last].Codes = append(page.Maybe[last].Codes, p.Code)
			continue
		}
		page.Maybe = append(page.Maybe, recalledMaybe{[]string{p.Code}, e.Voice.Say(w.Open(p))})
	}
	for _, l := range r.Lots {
		page.Lots = append(page.Lots, e.recalledLot(l))
	}
	if len(r.Lots) > 1 {
		total := e.recalledLot(r.Total)
		total.Code = e.say("book.recall.total")
		page.Total = &total
	}
	if len(r.Lots) > 0 {
		for _, m := range r.Means() {
			page.Means = append(page.Means, e.Voice.Say(m))
		}
	}
	for _, l := range r.Lots {
		if len(l.Others) > 0 {
			page.Means = append(page.Means, e.Voice.Say(l.Shares()))
		}
	}
	for _, d := range r.Sent {
		page.Customers = append(page.Customers, recalledDelivery{d.To, d.For, d.Lot, d.On, e.show(trace.Mass(float64(d.Mass)))})
	}
	return e.html("recall", page)
}

func (e Edition) recalledLot(l trace.HarvestLot) recalledLot {
	mass := func(kg float64) string { return e.show(trace.Mass(kg)) }
	return recalledLot{l.Code, e.Voice.List(l.Batches), mass(l.Picked), mass(l.Sent), mass(l.Unsold), mass(l.Gap)}
}
