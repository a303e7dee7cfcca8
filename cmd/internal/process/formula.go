package process

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// formula works out the composition of the dry matter and what one kilogram of
// it brings along as water, before any is added.
func (p *Process) formula() {
	l, pr := p.Ledger, p.Input.Protocol
	var shares, carbon, nitrogen, ash, minerals []*working.Quantity
	for _, part := range p.Parts {
		x := l.GivenOf("share", part.ID, unit.ShareOf, float64(part.Share), p.shareOrigin(part.ID, "share_dm"), "")
		shares = append(shares, x)
		carbon = append(carbon, p.ingredient("carbon_of", part, float64(part.Carbon), "c_dm"))
		nitrogen = append(nitrogen, p.ingredient("nitrogen_of", part, float64(part.Nitrogen), "n_dm"))
		ash = append(ash, p.ingredient("ash_of", part, float64(part.Ash), "ash_dm"))
		l.DeriveOf("carbon_and_ash", part.ID, unit.ShareOf, substrate.CarbonAndAsh,
			working.Bind("C", l.Of("carbon_of", part.ID)), working.Bind("ash", l.Of("ash_of", part.ID)))
		p.ingredient("share_usual_most", part, float64(part.UsualMost), "usual_most_dm")
		p.ingredient("share_never_above", part, float64(part.NeverAbove), "never_above_dm")
		if part.Role == protocol.RoleMineral {
			minerals = append(minerals, x)
		}
	}
	p.moistures()
	total := l.Sum("shares_total", unit.ShareOf, shares...)
	l.Sum("minerals_total", unit.ShareOf, minerals...)
	// Shares that miss 100 % by a hair are scaled to it; a limit says so, and
	// refuses more than a hair.
	for i, part := range p.Parts {
		shares[i] = l.DeriveOf("share_used", part.ID, unit.ShareOf, substrate.ShareOfDry,
			working.Bind("d", shares[i]), working.Bind("D", total))
	}
	c := l.Dot("carbon", unit.ShareOf, shares, carbon)
	n := l.Dot("nitrogen", unit.ShareOf, shares, nitrogen)
	l.Dot("ash", unit.ShareOf, shares, ash)
	l.Derive("carbon_to_nitrogen", unit.None, substrate.CarbonToNitrogen,
		working.Bind("C", c), working.Bind("N", n))

	change := p.given("mass_change", unit.ShareOf, float64(pr.Substrate.ChangeInSterilizer), "substrate.mass_change_in_sterilizer")
	target := l.Get("moisture_target")
	l.Derive("moisture_mixed", unit.ShareOf, substrate.MoistureBeforeSterilizer,
		working.Bind("m", target), working.Bind("lam", change))
	l.Derive("dry_in_vessel", unit.MassOf, substrate.DryTotal,
		working.Bind("T", l.Get("fill_mass")), working.Bind("m", target))
	p.oven()
	p.tooWet(shares)
	p.moistureSpread()
}

// oven works out what a sample of the mix weighs when it is dried, and the band
// in which that shows the right moisture.
func (p *Process) oven() {
	l, m := p.Ledger, p.Ledger.Get("moisture_mixed")
	constant := func(name string, k unit.Kind, v float64, source string) *working.Quantity {
		return l.GivenOf(name, "", k, v, working.Origin{}, source)
	}
	usual := constant("sample_usual", unit.MassOf, substrate.LeastSample(p.Input.Units), "design choice, no source")
	steps := constant("sample_steps", unit.CountOf, substrate.SampleOfSteps, "design choice, no source")
	give := constant("moisture_give", unit.ShareOf, substrate.MoistureGive, "common practice, no source")
	scale := slices.MinFunc(p.Input.Farm.Scales, func(a, b protocol.Scale) int {
		return cmp.Or(cmp.Compare(carries(b, usual.Value), carries(a, usual.Value)), cmp.Compare(a.Step.Size, b.Step.Size))
	})
	wet := l.Derive("sample_wet", unit.MassOf, substrate.Sample, working.Bind("usual", usual),
		working.Bind("s", steps), working.Bind("r", l.Of("scale_reads", scale.ID)))
	l.Derive("sample_dry", unit.MassOf, substrate.DryTotal, working.Bind("T", wet), working.Bind("m", m))
	l.Derive("sample_dry_least", unit.MassOf, substrate.DriedAtLeast, working.Bind("T", wet), working.Bind("m", m), working.Bind("p", give))
	l.Derive("sample_dry_most", unit.MassOf, substrate.DriedAtMost, working.Bind("T", wet), working.Bind("m", m), working.Bind("p", give))
	p.readings(m, give)
}

// carries is 1 where a scale carries a mass (kg), and 0 where not.
func carries(s protocol.Scale, mass float64) int {
	if float64(s.Capacity) >= mass {
		return 1
	}
	return 0
}

// moistures enters each ingredient's moisture as received: that of the lots it
// is taken from, or the day's, else the farm's own, else the library's.
func (p *Process) moistures() {
	for _, part := range p.Parts {
		if !p.moistureOfLots(part) {
			m, at, source := p.Input.moistureOf(part.ID)
			p.Ledger.GivenOf("moisture_received", part.ID, unit.ShareOf, float64(m), at, source)
		}
		p.spreadOf(part)
		p.ingredient("moisture_usual", part, float64(part.Moisture), "moisture_wb")
		p.Ledger.DeriveOf("moisture_off", part.ID, unit.ShareOf, substrate.MoistureOff,
			working.Bind("m_in", p.Ledger.Of("moisture_received", part.ID)),
			working.Bind("m_usual", p.Ledger.Of("moisture_usual", part.ID)))
	}
}

// moistureOf is the moisture of an ingredient as received with the place where
// it was written and the source: that of the day, the farm's own, or the library's.
func (in Input) moistureOf(ingredient string) (unit.WetShare, working.Origin, string) {
	if m, ok := in.Measured[ingredient]; ok {
		return m, working.Origin{Document: MeasuredFlag, Key: ingredient}, ""
	}
	if m, ok := in.Farm.Moisture[ingredient]; ok {
		return m, protocol.InFarm("moisture_wb." + ingredient), ""
	}
	x := in.Library.Ingredients[ingredient]
	return x.Moisture, in.Library.Origin("ingredient", ingredient, "moisture_wb"), x.Source
}

// tooWet works out the moisture that the ingredients reach by themselves. It
// is a quantity of the wettest of them, so that a limit on it can name it.
func (p *Process) tooWet(shares []*working.Quantity) {
	l := p.Ledger
	wettest, most := "", -1.0
	var wet, in []*working.Quantity
	for i, part := range p.Parts {
		m := l.Of("moisture_received", part.ID)
		if m.Value > most {
			wettest, most = part.ID, m.Value
		}
		q := l.DeriveOf("received_for_dry", part.ID, unit.None, substrate.AsReceived,
			working.Bind("d", shares[i]), working.Bind("m_in", m))
		wet = append(wet, q)
		in = append(in, m)
	}
	w := l.Dot("water_for_dry", unit.None, wet, in)
	one := l.Sum("dry_for_dry", unit.None, shares...)
	l.DeriveOf("moisture_without_water", wettest, unit.ShareOf, substrate.MoistureOf,
		working.Bind("W", w), working.Bind("D", one))
}

func (p *Process) ingredient(name string, part Part, v float64, key string) *working.Quantity {
	return p.Ledger.GivenOf(name, part.ID, unit.ShareOf, v, p.Input.Library.Origin("ingredient", part.ID, key), part.Source)
}

// shareOrigin is the place of an ingredient's entry in the protocol, which the
// sorted order of Parts no longer tells.
func (p *Process) shareOrigin(id, key string) working.Origin {
	for i, part := range p.Input.Protocol.Substrate.Ingredients {
		if part.Ingredient == id {
			return working.Origin{Document: p.Input.Document(), Key: protocol.Item("substrate.ingredient", i) + "." + key}
		}
	}
	return working.Origin{Document: p.Input.Document(), Key: "substrate.ingredient"}
}
