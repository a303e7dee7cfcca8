package leaf

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

// changes is what the author's page says of what a change would do.
type changes struct {
	When, How, Unpriced string
	Pictures            []picture
}

// Levers that are drawn: as many as a glance takes in, and none that moves next to
// nothing.
const (
	mostLevers = 8
	leastLever = 0.005 // of the longest
)

// effect is what less and more of one input do to a value. A side that is refused
// is NaN.
type effect struct {
	name       string
	less, more float64
}

func (x effect) size() float64 {
	size := 0.0
	for _, v := range []float64{x.less, x.more} {
		if !math.IsNaN(v) {
			size = math.Max(size, math.Abs(v))
		}
	}
	return size
}

// changes are worked out for the largest batch: rounding to the scales blurs it
// least.
func (e Edition) changes(p *process.Process, batches []*batch.Batch) changes {
	if len(batches) == 0 {
		return changes{}
	}
	b := batches[len(batches)-1]
	out := changes{
		When: e.say("book.change.when", "n", b.Vessels, "vessels", b.Process.Vessel.Called(b.Vessels)),
		How:  e.say("book.change.how", "by", unit.Amount{Kind: unit.ShareOf, Value: batch.ChangedBy, Step: 0.01}),
	}
	now := b.Outcome()
	var cost, nitrogen, moisture []effect
	for _, c := range b.Changes() {
		name := e.changed(p, c)
		if c.Input != batch.NitrogenOf { // which is not paid for
			cost = append(cost, effect{name, c.Less.Cost - now.Cost, c.More.Cost - now.Cost})
		}
		nitrogen = append(nitrogen, effect{name, c.Less.Nitrogen - now.Nitrogen, c.More.Nitrogen - now.Nitrogen})
	}
	for _, part := range p.Parts {
		moved := p.Ledger.ValueOf("moisture_moved", part.ID)
		moisture = append(moisture, effect{e.say("book.change.moisture.of", "of", part.Name), -moved, moved})
	}
	if b.Costed() {
		out.Pictures = append(out.Pictures, e.ranked("cost", e.price(unit.PriceOfMass, now.Cost, 3), cost, func(v float64) string {
			_, size := e.per(unit.PriceOfMass)
			return e.Voice.Units().Number(v*size, 0.01)
		})...)
	} else {
		out.Unpriced = e.say("book.change.unpriced")
	}
	share := func(v float64) string {
		return e.show(unit.Amount{Kind: unit.ShareOf, Value: v, Digits: 3})
	}
	out.Pictures = append(out.Pictures, e.ranked("nitrogen", share(now.Nitrogen), nitrogen, func(v float64) string {
		return e.say("book.change.points", "value", unit.Amount{Kind: unit.None, Value: 100 * v, Step: 0.001})
	})...)
	out.Pictures = append(out.Pictures, e.ranked("moisture", share(p.Value("moisture_mixed")), moisture, func(v float64) string {
		return e.say("book.change.points", "value", unit.Amount{Kind: unit.None, Value: 100 * v, Step: 0.01})
	})...)
	return out
}

// changed names what a change is made of.
func (e Edition) changed(p *process.Process, c batch.Change) string {
	id := "book.change." + string(c.Input)
	switch c.Input {
	case batch.NitrogenOf:
		id += ".of"
	}
	if c.Of == "" {
		return e.say(id)
	}
	return e.say(id, "of", p.Names[c.Of])
}

// ranked is the picture of one value, with all effects on it in its table; none
// where nothing moves it.
func (e Edition) ranked(id, now string, effects []effect, told func(float64) string) []picture {
	effects = slices.DeleteFunc(effects, func(x effect) bool {
		return !math.IsNaN(x.less) && !math.IsNaN(x.more) && x.size() == 0
	})
	slices.SortStableFunc(effects, func(a, b effect) int { return cmp.Compare(b.size(), a.size()) })
	if len(effects) == 0 || effects[0].size() == 0 {
		return nil
	}
	signed := func(v float64) string {
		switch {
		case math.IsNaN(v):
			return e.say("book.change.refused")
		case v < 0:
			return e.say("book.change.down", "value", told(-v))
		}
		return e.say("book.change.up", "value", told(v))
	}
	title := e.say("book.change." + id)
	d := draw.Ranked{Title: title, Now: e.say("book.change.now", "name", title, "value", now)}
	t := table{ID: "cap-change-" + id, Caption: d.Now,
		Head: []string{e.say("book.change.head.input"), e.say("book.change.head.less"), e.say("book.change.head.more")}}
	var rows []string
	for i, x := range effects {
		t.Rows = append(t.Rows, []string{e.Voice.Capital(x.name), signed(x.less), signed(x.more)})
		if i >= mostLevers || x.size() < leastLever*effects[0].size() {
			continue
		}
		end := func(v float64) draw.Tick {
			if math.IsNaN(v) {
				return draw.Tick{}
			}
			return draw.Tick{At: v, Label: signed(v)}
		}
		d.Levers = append(d.Levers, draw.Lever{Name: e.Voice.Capital(x.name), Less: end(x.less), More: end(x.more)})
		rows = append(rows, e.say("book.change.desc.row", "name", e.Voice.Capital(x.name), "less", signed(x.less), "more", signed(x.more)))
	}
	d.Description = e.say("book.change.desc", "value", now, "rows", strings.Join(rows, " "))
	out := picture{Notice: e.say("book.change."+id+".notice", "name", effects[0].name), Tables: []table{t}}
	if len(d.Levers) < len(effects) {
		out.How = e.say("book.change.rest")
	}
	out.add(d.String())
	return []picture{out}
}
