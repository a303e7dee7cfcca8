package procedure

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// What is done before anything is weighed: goods are taken in on the day when
// they come, and the tools are checked on each day that they are used.
var receiving = []draft{
	{
		id:      work.Receive,
		amounts: onRecord,
		safety:  append([]line{{"lift", not(heavyCrate)}, {"crate", heavyCrate}, {"noise", loud(work.Receiving)}}, dryGoods...),
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil},
			{"do.wet", wetGoods}, {"do.lime", caustic}, {"do.6", nil}, {"do.7", nil}, {"do.8", nil},
		},
		limit: []line{{"limit.wet", wetGoods}},
	},
	{
		id: work.StartShift, critical: true,
		amounts: ticked,
		safety:  []line{{"vessel", nil}},
		do: []line{
			{"do.1", nil}, {"do.2", nil}, {"do.3", nil}, {"do.4", nil}, {"do.5", nil}, {"do.6", nil}, {"do.7", nil}, {"do.8", nil},
			{"do.9", reusable}, {"do.9.bag", bag}, {"do.10", nil}, {"do.11", nil}, {"do.12", nil}, {"do.13", nil}, {"do.14", nil},
		},
	},
}

// onRecord is the moisture of each ingredient that the sheet counts on. Minerals
// have none to speak of: what an oven drives out of gypsum is crystal water.
func onRecord(t *teller) []Amount {
	var out []Amount
	for _, p := range t.process.Parts {
		if p.Role == protocol.RoleMineral {
			continue
		}
		out = append(out, Amount{t.say("step.receive.row", "name", p.Name), t.recorded(p.ID), t.say("step.receive.record")})
	}
	return out
}

func (t *teller) recorded(ingredient string) unit.Amount {
	return unit.Amount{Kind: unit.ShareOf, Value: t.batch.Ledger.ValueOf("moisture_received", ingredient), Digits: 3}
}

// ticked is what each tool must show before a batch is started.
func ticked(t *teller) []Amount {
	var out []Amount
	scales := batch.Scales(t.process.Input.Farm, t.process.Input.Units)
	// Their order in the file carries no meaning, so it must not reach a sheet.
	slices.SortFunc(scales, func(a, b batch.Scale) int { return cmp.Or(cmp.Compare(a.Most, b.Most), cmp.Compare(a.ID, b.ID)) })
	for _, s := range scales {
		weight := checkWeight(s, t.process.Input.Units)
		low, high := shown(s, weight.Value-checkSteps*s.Step), shown(s, weight.Value+checkSteps*s.Step)
		out = append(out, Amount{
			t.say("step.start-of-shift.scale", "scale", s.Name), weight,
			t.say("step.start-of-shift.band", "check_low", low, "check_high", high),
		})
	}
	return append(out,
		Amount{t.say("step.start-of-shift.gauge"), t.facts["gauge_zero"].(unit.Amount), t.say("step.start-of-shift.cold")},
		Amount{t.say("step.start-of-shift.thermometer"), t.facts["ice"].(unit.Amount), t.say("step.start-of-shift.give")},
	)
}

// checkWeight is the heaviest usual weight that a scale carries and a person
// may lift; where it carries none of them, the lightest.
func checkWeight(s batch.Scale, units unit.System) unit.Amount {
	list := checkWeights[units.IsUS()]
	best := list[0]
	for _, w := range list[1:] {
		if w.Value <= s.Most {
			best = w
		}
	}
	return best
}

// shown is a mass as the display of a scale shows it: a scale that reads parts
// of a gram shows grams, whatever lies on it.
func shown(s batch.Scale, mass float64) unit.Amount {
	a := s.Amount(mass)
	if a.Unit == "" && s.Step < 1e-3 {
		a.Unit = "g"
	}
	return a
}
