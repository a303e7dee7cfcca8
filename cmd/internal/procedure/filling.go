package procedure

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// Cautions for whoever handles the dry goods.
var dryGoods = append([]line{{"lime", caustic}, {"dust", dusty}}, allergenCautions...)

var mixing = []draft{
	{
		id:      work.Weigh,
		when:    []line{{"when.staged", staged}},
		amounts: weighed,
		safety:  append([]line{{"lift", not(heavyCrate)}, {"crate", heavyCrate}}, dryGoods...),
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", both(severalMixes, not(staged))}, {"do.4.staged", staged},
			{"do.5", staged}, {"do.6", inParts}, {"do.7", soaking}, {"do.8", nil}, {"do.9", nil},
		},
	},
	{
		id:      work.MixSubstrate,
		when:    []line{{"when.staged", staged}},
		amounts: goingIn,
		safety:  append([]line{{"machine", nil}, {"wet-electrics", nil}, {"noise", loud(work.Mixing)}}, dryGoods...),
		do: []line{
			{"do.0", severalMixes},
			{"do.1.soak", soaking}, {"do.2.soak", both(soaking, watered)}, {"do.3.soak", soaking},
			{"do.4.soak", drySide}, {"do.5.soak", drySide}, {"do.6.soak", both(soaking, watered)},
			{"do.1.dry", not(soaking)}, {"do.2.dry", not(soaking)}, {"do.3.dry", both(not(soaking), watered)},
			{"do.7", nil}, {"do.8", nil}, {"do.9", nil}, {"do.10", nil}, {"do.11", severalMixes}, {"do.12", nil},
		},
	},
	{
		id:      work.CheckMoisture,
		amounts: dried,
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}, {"do.7", nil}, {"do.8", nil},
			{"do.9", nil}, {"do.10", nil}, {"do.11", severalMixes},
		},
		wrong: []line{{"wrong.hole", both(reusable, bored)}},
	},
}

var filling = []draft{
	{
		id:      work.FillVessels,
		when:    []line{{"when.staged", staged}},
		amounts: filled,
		safety:  []line{{"noise", loud(work.Filling)}, {"glass", glass}},
		do: []line{
			{"do.0", nil}, {"do.1", nil}, {"do.2", nil}, {"do.3", removed}, {"do.4", reusable}, {"do.5.bag", bag}, {"do.6.bag", bag},
			{"do.8.bag", bag}, {"do.7", not(staged)}, {"do.7.staged", staged},
		},
	},
	{
		id: work.TapDown,
		do: []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}},
	},
	{
		id:     work.BoreHoles,
		safety: []line{{"machine", nil}, {"drill", removed}, {"noise", loud(work.Filling)}},
		do: []line{
			{"do.1.pressed", pressed}, {"do.2.pressed", pressed}, {"do.3.pressed", pressed}, {"do.4.pressed", pressed},
			{"do.1.removed", removed}, {"do.2.removed", removed}, {"do.3.removed", removed}, {"do.4.removed", removed},
		},
	},
	{
		id:     work.Cap,
		safety: []line{{"machine", nil}, {"sealed", nil}, {"noise", loud(work.Filling)}},
		do:     []line{{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}},
		wrong:  []line{{"wrong.hole", bored}},
	},
}

// dried are the sample for the oven with what it weighs dry when the mix is
// right, and the water that a mix wants for each point that it is too dry.
func dried(t *teller) []Amount {
	return []Amount{
		{t.say("step.check-moisture.wet"), t.facts["sample_wet"].(unit.Amount), t.say("step.check-moisture.weighed")},
		{t.say("step.check-moisture.dry"), t.facts["sample_dry"].(unit.Amount), t.say("step.check-moisture.band")},
		{t.say("step.check-moisture.point"), t.facts["point_water"].(unit.Amount), t.say("step.check-moisture.missing")},
	}
}

// weighed are the rows of one mix, each with the scale that weighs it.
func weighed(t *teller) []Amount {
	var out []Amount
	for _, r := range t.batch.Mix.Rows {
		if r.ID == batch.Water && r.Mass == 0 {
			continue
		}
		id, args := "step.weigh.on", []any{"scale", r.Scale.Name}
		if r.ID == batch.Water {
			id = "step.weigh.water.on"
			args = append(args, "volume", unit.Amount{Kind: unit.VolumeOf, Value: r.Volume, Digits: 3})
		}
		if len(r.Parts) > 1 {
			id += ".parts"
			args = append(args, "parts", len(r.Parts))
		}
		out = append(out, Amount{t.called(r), r.Scale.Amount(r.Mass), t.say(id, args...)})
	}
	return out
}

// called is what a row of the mix is called.
func (t *teller) called(r batch.Weighing) protocol.Message {
	if r.ID == batch.Water {
		return t.say("step.weigh.water")
	}
	return t.say("step.weigh.row", "name", r.Name)
}

// goingIn are the rows in the order in which they go into the mixer: what must
// soak, then the water, then the rest; where nothing must soak, water is last.
func goingIn(t *teller) []Amount {
	soaks := map[string]bool{}
	for _, p := range t.process.Parts {
		soaks[p.ID] = p.Hydrate
	}
	type group struct {
		remark string
		has    func(batch.Weighing) bool
	}
	water := func(r batch.Weighing) bool { return r.ID == batch.Water }
	rest := func(r batch.Weighing) bool { return !water(r) && !soaks[r.ID] }
	order := []group{
		{"step.mix.first", func(r batch.Weighing) bool { return soaks[r.ID] }},
		{"step.mix.water", water},
		{"step.mix.then", rest},
	}
	if !soaking(t) {
		order = []group{{"step.mix.dry", rest}, {"step.mix.water.last", water}}
	}
	var out []Amount
	for _, g := range order {
		for _, r := range t.batch.Mix.Rows {
			if g.has(r) && r.Mass > 0 {
				out = append(out, Amount{t.called(r), r.Scale.Amount(r.Mass), t.say(g.remark)})
			}
		}
	}
	return out
}

// filled are the mass in one vessel and the number of vessels, with the
// controls counted in the open.
func filled(t *teller) []Amount {
	out := []Amount{{t.say("step.fill.each"), t.facts["fill"].(unit.Amount), t.say("step.fill.band")}}
	remark := "step.fill.all"
	if controls(t) {
		remark = "step.fill.with-controls"
	}
	return append(out, Amount{t.say("step.fill.count"), number(t.batch.Filled), t.say(remark)})
}

// number is a count as an amount.
func number(n int) unit.Amount {
	return unit.Amount{Kind: unit.CountOf, Value: float64(n), Step: 1}
}
