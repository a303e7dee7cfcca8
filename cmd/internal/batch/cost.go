package batch

import (
	"bottlecrop/cmd/internal/cost"
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
	setting := b.Process.Setting()
	of := map[work.Role][]*working.Quantity{}
	for _, id := range work.Steps() {
		if !work.Present(id, setting) {
			continue
		}
		law := work.HandsOn(id)
		var in []working.Input
		for _, symbol := range law.Symbols() {
			name := symbol // mixes, loads
			if symbol == "n" {
				name = "filled"
				if work.OnlyGrown(id) {
					name = "vessels"
				}
			}
			in = append(in, working.Bind(symbol, l.Get(name)))
		}
		role := work.RoleOf(id)
		of[role] = append(of[role], l.Derive(timeOf(id), unit.TimeOf, law, in...))
	}
	var all []*working.Quantity
	for _, role := range work.Roles() {
		all = append(all, l.Sum("time_of_"+string(role), unit.TimeOf, of[role]...))
	}
	l.Sum("time_of_all", unit.TimeOf, all...)
}

// timeOf names the quantity that is a step's hands-on time.
func timeOf(id work.StepID) string { return "time_" + string(id) }

// StepTime is the hands-on time in s that a step of the protocol takes for the
// whole batch, of one person; a step that the protocol does not have panics.
func (b *Batch) StepTime(id work.StepID) float64 { return b.Value(timeOf(id)) }

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
