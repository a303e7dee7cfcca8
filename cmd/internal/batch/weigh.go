package batch

import (
	"errors"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Mix is what is weighed for each of the equal mixes. Printed rows add up
// exactly to the printed totals, scale by scale.
type Mix struct {
	Rows   []Weighing // ingredients in the order of the process, water last
	Totals []Total    // one for each scale that is used
}

// Weighing is one row of a mix.
type Weighing struct {
	ID     string // ingredient, or Water
	Name   string
	Scale  Scale
	Exact  float64   // kg in one mix before rounding
	Mass   float64   // kg in one mix, a multiple of the scale's step
	Parts  []float64 // the weighings that make it up, each within the scale's capacity
	All    float64   // kg in all mixes
	Volume float64   // m³ in one mix, for water

	Portions []Portion // by lot, where the batch is made from stock
}

// Total is what one scale weighs.
type Total struct {
	Scale Scale
	Mass  float64 // kg in one mix
	All   float64 // kg in all mixes
}

// Scale is a balance of the farm as it is used on a page: its step in the
// units of the page.
type Scale struct {
	ID   string
	Name string
	Step float64      // kg
	Unit string       // unit of print; "" lets the size of the mass decide
	Most float64      // kg, capacity
	law  *working.Law // how Step came from what the scale reads; nil where it is that
}

// Amount is a mass (kg) as that scale reads it.
func (s Scale) Amount(mass float64) unit.Amount {
	return unit.Amount{Kind: unit.MassOf, Value: mass, Step: s.Step, Unit: s.Unit}
}

// Beside is a mass of all mixes in the unit of the same row's mass in each mix (both
// kg): a scale that reads 0.1 g is not read in kilograms with four decimals.
func (s Scale) Beside(all, each float64, sys unit.System) unit.Amount {
	a := s.Amount(all)
	if a.Unit == "" {
		a.Unit = unit.UnitFor(a.Kind, each, sys)
	}
	return a
}

// Water is the ID of the row that is not an ingredient.
const Water = "water"

// mostWeighings is how many weighings of one ingredient are listed. A limit
// refuses more; without this stop a mistyped capacity would ask for millions.
const mostWeighings = 100

// metricMass are the spellings of metric mass units: a scale that reads in one
// of them is used as it is on a metric page.
var metricMass = map[string]bool{"g": true, "kg": true, "mg": true, "t": true}

// Steps of a scale on a page in the other system of units: the smallest 1, 2
// or 5 times a power of ten of that unit that the scale can read.
var (
	poundStep = steps("lb")
	ounceStep = steps("oz")
	gramStep  = steps("g")
)

func steps(name string) *working.Law {
	function := map[string]string{"lb": "pound_step", "oz": "ounce_step", "g": "gram_step"}[name]
	return working.NewLaw(function+"(r)", "the smallest 1, 2 or 5 times a power of ten of the unit that is no finer than the scale reads",
		map[string]working.Function{function: func(a ...float64) (float64, error) {
			if len(a) != 1 || a[0] <= 0 {
				return 0, errors.New("takes one step above zero")
			}
			return unit.NiceStep(unit.MassOf, a[0], name), nil
		}})
}

// Scales lists the farm's balances for a system of units. A scale that reads
// in grams is used in steps of a round number of pounds or ounces on a page
// in US units, never finer than it reads. Every scale keeps one US unit, so
// that its rows add up as printed.
func Scales(f protocol.Farm, sys unit.System) []Scale {
	out := make([]Scale, len(f.Scales))
	for i, s := range f.Scales {
		x := Scale{ID: s.ID, Name: s.Name, Step: s.Step.Size, Most: float64(s.Capacity)}
		switch {
		case !sys.IsUS() && !metricMass[s.Step.Unit]:
			x.law = gramStep
			x.Step = unit.NiceStep(unit.MassOf, s.Step.Size, "g")
		case sys.IsUS():
			x.Unit = "oz"
			if x.Most >= 10*unit.SizeOf(unit.MassOf, "lb") {
				x.Unit = "lb"
			}
			if metricMass[s.Step.Unit] {
				x.law = map[string]*working.Law{"lb": poundStep, "oz": ounceStep}[x.Unit]
				x.Step = unit.NiceStep(unit.MassOf, s.Step.Size, x.Unit)
			}
		}
		out[i] = x
	}
	return out
}

// weigh rounds each row of a mix to the scale that weighs it. Water is rounded
// like the rest and not worked out again from the rounded solids: that would
// keep the moisture to the last digit, but move the total by more than half a
// step a row. Limits refuse a mix whose moisture or composition rounding moved.
// It reports whether every row could be weighed.
func (b *Batch) weigh() bool {
	l := b.Ledger
	scales := Scales(b.Process.Input.Farm, b.Process.Input.Units)
	var solids []*working.Quantity
	for _, part := range b.Process.Parts {
		q := b.round(part.ID, part.Name, l.Of("received", part.ID), scales)
		if q == nil {
			return false
		}
		solids = append(solids, q)
	}
	water := b.round(Water, "", l.Get("water_to_add"), scales)
	if water == nil {
		return false
	}
	mix := l.Sum("mix_weighed", unit.MassOf, append(solids[:len(solids):len(solids)], water)...)
	l.Derive("mix_of_mixer", unit.ShareOf, substrate.MixOfMixer, working.Bind("T", mix), working.Bind("cap", l.Get("mixer_capacity")))
	b.check(solids, water)
	b.correct()
	b.totals(scales)
	b.portions()
	return true
}

// round picks the scale for one row, rounds to its step and enters the row.
// It returns nil, with a finding, where no scale of the farm can weigh it.
func (b *Batch) round(id, called string, total *working.Quantity, scales []Scale) *working.Quantity {
	l, k := b.Ledger, b.Ledger.Get("mixes")
	exact := l.DeriveOf("in_mix", id, unit.MassOf, substrate.InEachMix, working.Bind("Q", total), working.Bind("k", k))
	pick := make([]substrate.Scale, len(scales))
	for i, s := range scales {
		pick[i] = substrate.Scale{Step: s.Step, Capacity: s.Most}
	}
	i, err := substrate.PickScale(exact.Value, pick)
	var small substrate.TooSmall
	if errors.As(err, &small) && id == Water {
		// A splash of water need not be weighed to a few percent of itself:
		// what counts is the mix, and the finest scale is good enough for that.
		i, err = finest(scales), nil
	} else if errors.As(err, &small) {
		b.Own = append(b.Own, protocol.Finding{
			Severity: protocol.Error,
			Rule:     "weighing.too_small",
			Origin:   l.Of("share", id).Origins()[0],
			What: protocol.Message{ID: "weighing.too_small", Args: map[string]any{
				"ingredient": called,
				"found":      unit.Amount{Kind: unit.MassOf, Value: small.Mass, Digits: 3},
				"allowed":    unit.Amount{Kind: unit.MassOf, Value: small.Least, Digits: 3},
			}},
			Why:     protocol.Message{ID: "weighing.too_small.why"},
			Hint:    protocol.Message{ID: "weighing.too_small.hint"},
			Source:  "common practice, no source",
			Subject: b.Process.Input.Protocol.Name,
		})
		return nil
	}
	if err != nil {
		return nil // no scale with a step: a limit on the farm's scales has refused it
	}
	s := scales[i]
	step := l.Of("scale_reads", s.ID)
	if s.law != nil {
		step = l.DeriveOf("step_for", id, unit.MassOf, s.law, working.Bind("r", step))
	}
	q := l.DeriveOf("weighed", id, unit.MassOf, substrate.Rounded, working.Bind("Q", exact), working.Bind("r", step))
	q.Step = s.Step
	all := l.DeriveOf("weighed_all", id, unit.MassOf, substrate.InAllMixes, working.Bind("q", q), working.Bind("k", k))
	all.Step = s.Step
	times := l.DeriveOf("weighings", id, unit.CountOf, substrate.WeighingsOf,
		working.Bind("q", q), working.Bind("cap", l.Of("scale_capacity", s.ID)))
	w := Weighing{ID: id, Name: called, Scale: s, Exact: exact.Value, Mass: q.Value, All: all.Value}
	if times.Value <= mostWeighings {
		w.Parts = substrate.Weighings(q.Value, s.Step, s.Most)
	}
	if id == Water {
		v := l.Derive("water_volume", unit.VolumeOf, substrate.WaterVolume, working.Bind("W", q))
		w.Volume = v.Value
	}
	b.Mix.Rows = append(b.Mix.Rows, w)
	return q
}

func finest(scales []Scale) int {
	at := 0
	for i, s := range scales {
		if s.Step < scales[at].Step {
			at = i
		}
	}
	return at
}

// check works out how far rounding moves the mix; limits judge it.
func (b *Batch) check(solids []*working.Quantity, water *working.Quantity) {
	l := b.Ledger
	var dry, moistures, nitrogen []*working.Quantity
	for i, part := range b.Process.Parts {
		m := l.Of("moisture_received", part.ID)
		moistures = append(moistures, m)
		nitrogen = append(nitrogen, l.Of("nitrogen_of", part.ID))
		dry = append(dry, l.DeriveOf("dry_weighed", part.ID, unit.MassOf, substrate.DryTotal,
			working.Bind("T", solids[i]), working.Bind("m", m)))
	}
	d := l.Sum("dry_in_mix", unit.MassOf, dry...)
	in := l.Dot("water_in_mix_received", unit.MassOf, solids, moistures)
	total := l.Sum("water_in_mix", unit.MassOf, in, water)
	m := l.Derive("moisture_weighed", unit.ShareOf, substrate.MoistureOf, working.Bind("W", total), working.Bind("D", d))
	point := l.GivenOf("one_point", "", unit.ShareOf, substrate.OnePoint, working.Origin{}, "definition")
	l.Derive("water_for_point", unit.MassOf, substrate.WaterForPoint,
		working.Bind("D", d), working.Bind("m", l.Get("moisture_mixed")), working.Bind("p", point))
	l.Derive("rounding_moisture", unit.ShareOf, substrate.Off, working.Bind("a", m), working.Bind("b", l.Get("moisture_mixed")))
	mass := l.Dot("nitrogen_in_mix", unit.MassOf, dry, nitrogen)
	n := l.Derive("nitrogen_weighed", unit.ShareOf, substrate.ShareOfDry, working.Bind("d", mass), working.Bind("D", d))
	l.Derive("rounding_nitrogen", unit.ShareOf, substrate.Off, working.Bind("a", n), working.Bind("b", l.Get("nitrogen")))
	for i, part := range b.Process.Parts {
		x := l.DeriveOf("share_weighed", part.ID, unit.ShareOf, substrate.ShareOfDry, working.Bind("d", dry[i]), working.Bind("D", d))
		name := "rounding_share"
		if part.Role == protocol.RoleMineral {
			name = "rounding_mineral"
		}
		l.DeriveOf(name, part.ID, unit.ShareOf, substrate.OffRelative,
			working.Bind("a", x), working.Bind("b", l.Of("share_used", part.ID)))
	}
}

// totals adds up the rows scale by scale, in the order of the farm's scales.
func (b *Batch) totals(scales []Scale) {
	for _, s := range scales {
		t := Total{Scale: s}
		used := false
		for _, r := range b.Mix.Rows {
			if r.Scale.ID == s.ID {
				used = true
				t.Mass += r.Mass
				t.All += r.All
			}
		}
		if used {
			b.Mix.Totals = append(b.Mix.Totals, t)
		}
	}
}
