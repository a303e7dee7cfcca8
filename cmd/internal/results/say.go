package results

import (
	"strconv"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// A batch that is so rare by chance alone that it is told: as often as an interval
// misses, and as often as a lot of spawn is blamed.
const (
	seldom     = 1 - Confidence
	veryRarely = rarely
)

// smallBatch is what a clean batch proves almost nothing with: up to so many the
// share of bad ones may be 5 % or more.
const smallBatch = 58

// Share is a share as pages and terminals say it: two figures, which is more than the
// record knows.
func Share(v float64) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: v, Digits: 2} }

// Times is a ratio to two figures.
func Times(v float64) unit.Amount { return unit.Amount{Kind: unit.None, Value: v, Digits: 2} }

// each is a mass of one vessel.
func each(v float64) unit.Amount { return unit.Amount{Kind: unit.MassOf, Value: v, Digits: 3} }

// OneIn says how often something happens.
func OneIn(p float64) protocol.Message {
	const rarest = 1_000_000
	switch {
	case p > 0.5:
		return words.Message("results.one_in.many")
	case p < 1.0/rarest:
		return words.Message("results.one_in.least", "n", Grouped(rarest))
	}
	n := 1 / p
	for _, most := range []float64{100, 1000, 10_000, 100_000, rarest} {
		if n < most || most == rarest {
			step := most / 100 // two figures
			return words.Message("results.one_in", "n", Grouped(int(unit.Nearest(n/step)*step)))
		}
	}
	panic("results: unreachable")
}

// Grouped is a whole number with its thousands apart.
func Grouped(n int) string { return unit.Grouped(strconv.Itoa(n)) }

// Said is what the record of a group shows, and what it does not, in plain words.
func (g *Group) Said() []protocol.Message {
	var out []protocol.Message
	say := func(id string, pairs ...any) { out = append(out, words.Message("results.say."+id, pairs...)) }
	if len(g.Done) == 0 {
		say("none")
		g.sayOpen(say)
		return out
	}
	g.sayLost(say)
	g.sayBatches(say)
	g.sayYield(say)
	for _, d := range g.Days {
		id := d.ID
		switch {
		case !d.Known:
			id += ".unknown"
		case d.Least == d.Most:
			id += ".same"
		case d.Least < d.Shortest || d.Most > d.Longest:
			id += ".outside"
		}
		args := []any{"mean", int(unit.Nearest(d.Mean)), "k", d.Batches}
		if !d.Known || d.Least < d.Most {
			args = append(args, "least", d.Least, "most", d.Most)
		}
		if d.Known {
			args = append(args, "usual", d.Usual, "shortest", d.Shortest, "longest", d.Longest)
		}
		say(id, args...)
	}
	if n := len(g.Hours); n > 0 {
		h := g.Hours[n-1]
		args := []any{"times", Times(float64(h.Worked / h.Assumed)), "k", h.Batches}
		if Times(h.Least).Show(unit.Metric) == Times(h.Most).Show(unit.Metric) {
			say("hours.same", args...)
		} else {
			say("hours", append(args, "least", Times(h.Least), "most", Times(h.Most))...)
		}
	}
	if g.Other > 0 {
		say("other", "k", g.Other)
	}
	g.sayOpen(say)
	return out
}

func (g *Group) sayOpen(say func(string, ...any)) {
	if n := len(g.Open); n > 0 {
		say("open", "k", n)
	}
}

// sayLost tells what was lost in all.
func (g *Group) sayLost(say func(string, ...any)) {
	k := g.Quantity("batches_counted")
	if k == nil {
		say("all_left_out", "k", len(g.Done))
		return
	}
	n, low, high := int(k.Value), g.Quantity("lost_at_least").Value, g.Quantity("lost_at_most").Value
	args := []any{"k", n, "lost", int(g.Quantity("lost_in_all").Value), "n", Grouped(int(g.Quantity("filled_in_all").Value)),
		"share", Share(g.Quantity("lost_achieved").Value), "low", Share(low), "high", Share(high)}
	id := "lost.unknown"
	if p := g.Process; p != nil {
		assumed := p.Value("lost_share")
		args = append(args, "assumed", Share(assumed))
		switch {
		case assumed > high:
			id = "lost.under"
		case assumed < low:
			id = "lost.over"
		default:
			id = "lost.within"
		}
	}
	say(id, args...)
	if n < Fewest {
		say("few", "k", n, "fewest", Fewest)
	}
	if f := g.Quantity("batches_apart"); f != nil && f.Value >= 1.5 {
		say("apart", "times", Times(f.Value), "n", Grouped(int(g.Quantity("filled_in_all").Value)), "worth", Grouped(int(g.Quantity("filled_worth").Value)))
	}
	if g.Chart.LeftOut > 0 {
		say("left_out", "k", g.Chart.LeftOut, "share", Share(float64(g.Lost)/float64(g.Filled)))
	}
}

// sayBatches tells what the smallest clean batch and the least likely one show.
func (g *Group) sayBatches(say func(string, ...any)) {
	var clean, worst *Batch
	for i := range g.Done {
		b := &g.Done[i]
		if b.Bad == 0 && (clean == nil || b.Filled < clean.Filled) {
			clean = b
		}
		if b.Bad > 0 && b.Share() > g.assumedShare() && (worst == nil || b.Alone < worst.Alone) {
			worst = b
		}
	}
	if clean != nil {
		id := "clean"
		if clean.Filled <= smallBatch {
			id = "clean.small"
		}
		say(id, "code", clean.Code, "n", clean.Filled, "most", Share(clean.AtMost))
	}
	if worst == nil {
		return
	}
	args := []any{"code", worst.Code, "lost", worst.Bad, "n", worst.Filled, "assumed", Share(g.assumedShare()), "alone", OneIn(worst.Alone)}
	switch {
	case worst.Alone >= seldom:
		say("worst.luck", args...)
	case worst.Clustered >= veryRarely:
		say("worst.cluster", append(args, "clustered", OneIn(worst.Clustered))...)
	case worst.Cause != "":
		say("worst.found", append(args, "clustered", OneIn(worst.Clustered), "cause", worst.Cause)...)
	default:
		say("worst.cause", append(args, "clustered", OneIn(worst.Clustered))...)
	}
}

// assumedShare is what the protocol assumes to be lost; above any share where there is
// no protocol.
func (g *Group) assumedShare() float64 {
	if g.Process == nil {
		return 1
	}
	return g.Process.Value("lost_share")
}

// sayYield tells what a good vessel gave.
func (g *Group) sayYield(say func(string, ...any)) {
	m := g.Quantity("sold_achieved")
	if m == nil {
		return
	}
	args := []any{"sold", each(m.Value), "k", int(g.Quantity("batches_weighed").Value)}
	low, high := g.Quantity("sold_at_least"), g.Quantity("sold_at_most")
	if g.Process == nil {
		say("yield.unknown", args...)
		return
	}
	assumed := g.Quantity("sold_assumed_usual").Value
	args = append(args, "assumed", each(assumed))
	switch {
	case low == nil:
		say("yield.few", args...)
	case assumed < low.Value:
		say("yield.over", append(args, "low", each(low.Value), "high", each(high.Value))...)
	case assumed > high.Value:
		say("yield.under", append(args, "low", each(low.Value), "high", each(high.Value))...)
	default:
		say("yield.within", append(args, "low", each(low.Value), "high", each(high.Value))...)
	}
	if m.Value > g.Process.Value("fill_mass") {
		say("yield.impossible", "fill", each(g.Process.Value("fill_mass")))
	}
	say("efficiency", "efficiency", Share(g.Quantity("efficiency_achieved").Value), "trim", Share(g.Process.Value("trim_share")))
}

// Said is what a pattern points to.
func (h Hint) Said() protocol.Message {
	args := []any{"n", h.Count, "of", h.Of}
	if h.ID == "lot" {
		args = append(args, "code", h.Code, "lot", h.Lot, "vessels", h.Vessels, "filled", h.Filled, "often", OneIn(h.Chance))
	}
	return words.Message("results.hint."+h.ID, args...)
}

// Said is what is offered and from what, and whether there is need.
func (o Offer) Said() protocol.Message {
	id := "results.offer." + o.ID
	if o.Differs {
		id += ".needed"
	}
	args := []any{"k", o.Batches, "n", Grouped(o.Vessels)}
	if o.ID == "days" {
		args = append(args, "was", int(o.Was), "now", int(o.Now), "low", int(o.Low), "high", int(o.High))
	} else {
		args = append(args, "was", Share(o.Was), "now", Share(o.Now), "low", Share(o.Low), "high", Share(o.High))
	}
	return words.Message(id, args...)
}

// Notice is what to notice in a chart; the batches are numbered from 1.
func (c Chart) Notice() protocol.Message {
	of := map[Signal][]int{}
	for i, p := range c.Points {
		if p.Signal != Quiet {
			of[p.Signal] = append(of[p.Signal], i+1)
		}
	}
	for _, s := range []Signal{TooMany, OneSide, Rising, TooFew} {
		list := of[s]
		if len(list) == 0 {
			continue
		}
		last, id := strconv.Itoa(list[len(list)-1]), "results.notice."+string(s)
		switch {
		case s == OneSide:
			return words.Message(id, "last", last, "run", onOneSide)
		case s == Rising:
			return words.Message(id, "last", last, "run", rising)
		case len(list) == 1:
			return words.Message(id+".one", "last", last)
		}
		return words.Message(id, "n", len(list), "last", last)
	}
	return words.Message("results.notice.quiet")
}
