package batch

import (
	"slices"

	"bottlecrop/cmd/internal/cost"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// CostLines are what a batch costs, line by line: each has the quantities
// "<line>_cost" for the batch and "<line>_cost_each" for one vessel of it.
func CostLines() []string {
	lines := []string{"ingredient", "spawn", "energy"}
	for _, role := range work.Roles() {
		lines = append(lines, LaborOf(role))
	}
	return append(lines, "vessel", "lid", "water", "consumables")
}

// LaborOf is the line of a role's work.
func LaborOf(role work.Role) string { return "labor_" + string(role) }

// labor works out how long the hands of each role are at the batch, step by
// step, for the steps that the protocol has.
func (b *Batch) labor() {
	l := b.Ledger
	of := map[work.Role][]*working.Quantity{}
	for _, s := range b.Process.Steps() {
		of[s.Role] = append(of[s.Role], b.handsOn(s))
	}
	var all []*working.Quantity
	for _, role := range work.Roles() {
		all = append(all, l.Sum("time_of_"+string(role), unit.TimeOf, of[role]...))
	}
	l.Sum("time_of_all", unit.TimeOf, all...)
}

// handsOn enters a step's hands-on time for the whole batch.
func (b *Batch) handsOn(s process.Step) *working.Quantity {
	l := b.Ledger
	n := l.Get("filled")
	if s.GrownAlone() {
		n = l.Get("vessels")
	}
	if s.Own {
		law, in := b.Process.OwnTime(s)
		if slices.Contains(law.Symbols(), "n") {
			in = append(in, working.Bind("n", n))
		}
		return l.DeriveOf("time_own", s.Subject(), unit.TimeOf, law, in...)
	}
	law := work.HandsOn(s.ID)
	var in []working.Input
	for _, symbol := range law.Symbols() {
		if symbol == "n" {
			in = append(in, working.Bind(symbol, n))
			continue
		}
		in = append(in, working.Bind(symbol, l.Get(symbol))) // mixes, loads
	}
	return l.Derive(timeOf(s.ID), unit.TimeOf, law, in...)
}

// timeOf names the quantity that is the hands-on time of a step of the book.
func timeOf(id work.StepID) string { return "time_" + string(id) }

// StepTime is the hands-on time in s that a step of the protocol takes for the
// whole batch, of one person; a step that the protocol does not have panics.
func (b *Batch) StepTime(s process.Step) float64 {
	if s.Own {
		return b.Ledger.ValueOf("time_own", s.Subject())
	}
	return b.Value(timeOf(s.ID))
}

// cost works out what the batch, a vessel and a kilogram sold cost, where the
// farm has priced all that it needs. Controls are paid by what is grown, and
// what is lost or cut off by what is sold.
func (b *Batch) cost() {
	l, p := b.Ledger, b.Process
	if len(p.Unpriced) > 0 || l.Get("wear") == nil {
		return
	}
	n, filled := l.Get("vessels"), l.Get("filled")
	money := func(name string, law *working.Law, in ...working.Input) *working.Quantity {
		return l.Derive(name, unit.MoneyOf, law, in...)
	}
	var prices, weighed []*working.Quantity
	for _, part := range p.Parts {
		prices = append(prices, l.Of("price", part.ID))
		weighed = append(weighed, l.Of("weighed_all", part.ID))
	}
	ingredients := l.Dot("ingredient_cost", unit.MoneyOf, prices, weighed)
	money("waste_cost", cost.OfWaste, working.Bind("C", ingredients), working.Bind("w", l.Get("waste")))
	money("spawn_cost", cost.OfSpawn, working.Bind("S", l.Get("spawn_with_spare")), working.Bind("p", l.Get("spawn_price")))
	money("energy_cost", cost.OfEnergy, working.Bind("loads", l.Get("loads")),
		working.Bind("E", l.Get("energy_a_run")), working.Bind("p", l.Get("energy_price")))
	for _, role := range work.Roles() {
		money(LaborOf(role)+"_cost", cost.OfLabor,
			working.Bind("t", l.Get("time_of_"+string(role))), working.Bind("wage", l.Get("wage_"+string(role))))
	}
	money("vessel_cost", cost.OfVessels, working.Bind("n", filled), working.Bind("c", l.Get("vessel_wear")))
	money("lid_cost", cost.OfVessels, working.Bind("n", filled), working.Bind("c", l.Get("lid_wear")))
	money("water_cost", cost.OfWater, working.Bind("V_mix", l.Get("water_volume")), working.Bind("mixes", l.Get("mixes")),
		working.Bind("V_wash", l.Get("vessel_wash_water")), working.Bind("n", filled), working.Bind("p", l.Get("water_price")))
	money("consumables_cost", cost.OfVessels, working.Bind("n", n), working.Bind("c", l.Get("consumables_price")))

	var lines []*working.Quantity
	for _, line := range CostLines() {
		q := l.Get(line + "_cost")
		lines = append(lines, q)
		money(line+"_cost_each", cost.Each, working.Bind("C", q), working.Bind("n", n))
	}
	total := l.Sum("total_cost", unit.MoneyOf, lines...)
	money("total_cost_each", cost.Each, working.Bind("C", total), working.Bind("n", n))
	for _, level := range []string{"low", "usual"} {
		l.Derive("cost_of_sold_"+level, unit.PriceOfMass, cost.OfSold,
			working.Bind("C", total), working.Bind("S", l.Get("sold_"+level)))
	}
}

// Costed reports whether costs could be worked out.
func (b *Batch) Costed() bool { return b.Ledger.Get("total_cost") != nil }
