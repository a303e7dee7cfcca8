package leaf

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// costs is what a vessel costs, line by line, at each size of its batch; or
// else what the farm has to price first.
type costs struct {
	Caption string
	Sizes   []string
	Rows    []costRow
	Sums    []costRow
	Missing []missing
}

// costRow is one line of costs; the cells stand in the order of the sizes.
type costRow struct {
	Name  string
	Cells []costCell
	Main  bool // the figure that the others lead to
}

// costCell links to how it was worked out.
type costCell struct{ Value, Href string }

type missing struct{ Name, Key string }

// Steps to which money is printed: a tenth of a cent where lines of one vessel
// are compared, and a cent where something is paid.
const (
	costStep = 0.001
	centStep = 0.01
)

func (e Edition) costs(p *process.Process, batches []*batch.Batch) costs {
	out := costs{Caption: e.say("book.cost.caption", "vessel", p.Vessel.One, "currency", e.Farm.Currency)}
	for _, x := range p.Unpriced {
		out.Missing = append(out.Missing, missing{e.Voice.Capital(e.say("book.cost.missing", "quantity", x.What)), x.Key})
	}
	for _, b := range batches {
		if !b.Costed() {
			return out
		}
		out.Sizes = append(out.Sizes, e.counted(b, b.Vessels))
	}
	row := func(name, quantity string, step float64) costRow {
		r := costRow{Name: name}
		for _, b := range batches {
			q := b.Ledger.Get(quantity)
			value, at := q.Value, step
			if q.Kind == unit.PriceOfMass {
				_, size := e.per(q.Kind)
				value *= size
			}
			r.Cells = append(r.Cells, costCell{e.Voice.Units().Number(value, at), local(WorkingPath(p.Input.Protocol.Name, b.Vessels)) + "#" + quantityID(q)})
		}
		return r
	}
	roles := map[string]string{}
	for _, r := range work.Roles() {
		roles[batch.LaborOf(r)] = e.say("role." + string(r))
	}
	for _, line := range batch.CostLines() {
		name := ""
		if role, labor := roles[line]; labor {
			name = e.say("book.cost.labor", "role", role)
		} else {
			name = e.say("book.cost." + line)
		}
		out.Rows = append(out.Rows, row(name, line+"_cost_each", costStep))
	}
	per, _ := e.per(unit.PriceOfMass)
	each := row(e.say("book.cost.each", "vessel", p.Vessel.One), "total_cost_each", costStep)
	low := row(e.say("book.cost.sold.low", "unit", per), "cost_of_sold_low", centStep)
	each.Main, low.Main = true, true
	hours := costRow{Name: e.say("book.cost.hours")}
	for _, b := range batches {
		q := b.Ledger.Get("time_of_all")
		hours.Cells = append(hours.Cells, costCell{
			e.show(unit.Amount{Kind: q.Kind, Value: q.Value, Unit: "h", Step: unit.Hour / 2}),
			local(WorkingPath(p.Input.Protocol.Name, b.Vessels)) + "#" + quantityID(q)})
	}
	out.Sums = []costRow{
		each,
		row(e.say("book.cost.batch"), "total_cost", centStep),
		low,
		row(e.say("book.cost.sold.usual", "unit", per), "cost_of_sold_usual", centStep),
		hours,
	}
	return out
}

// bags compares the vessel with bags that are used once.
func (e Edition) bags(p *process.Process) (facts []fact, notes []string) {
	l := p.Ledger
	share := l.Get("bag_share")
	if share == nil {
		return nil, nil
	}
	mass := func(name string) string {
		return e.show(unit.Amount{Kind: unit.MassOf, Value: p.Value(name), Digits: 2})
	}
	money := func(v float64) string {
		return e.Voice.Units().Number(v, costStep) + unit.Space + e.Farm.Currency
	}
	count := func(name string) string { return e.Voice.Units().Number(p.Value(name), 1) }
	bags := mass("bag_share")
	if cost := l.Get("bag_cost"); cost != nil {
		bags = e.say("book.bags.share.paid", "mass", bags, "cost", money(cost.Value))
	}
	water := e.show(unit.Amount{Kind: unit.VolumeOf, Value: p.Value("vessel_wash_water"), Digits: 2})
	worn := e.say("book.bags.worn.unpaid", "water", water)
	if wear := l.Get("wear"); wear != nil {
		worn = e.say("book.bags.worn.paid", "cost", money(wear.Value), "water", water)
	}
	avoided := mass("waste_avoided")
	if p.Value("waste_avoided") < 0 {
		avoided = e.say("book.bags.more", "mass", avoided)
	}
	even := e.say("book.bags.even.never", "uses", count("break_even_uses"))
	if l.Get("break_even_with_lid") != nil {
		even = e.say("book.bags.even.with_lid", "uses", count("break_even_uses"), "lid", count("break_even_with_lid"))
	}
	facts = []fact{
		{Name: e.say("book.bags.share"), Value: bags},
		{Name: e.say("book.bags.worn", "vessel", p.Vessel.One), Value: worn},
		{Name: e.say("book.bags.uses"), Value: e.say("book.bags.uses.of", "vessel", p.Vessel.One, "uses", count("vessel_uses"), "lid", count("lid_uses"))},
		{Name: e.say("book.bags.even"), Value: even},
		{Name: e.say("book.bags.avoided"), Value: avoided},
	}
	notes = []string{e.say("book.bags.how")}
	if p.Vessel.Material == "glass" {
		notes = append(notes, e.say("book.bags.glass"))
	}
	return facts, notes
}

// fine is a mass to a tenth of a gram, so that what goes in and what comes out
// can be added up on paper.
func fine(sys unit.System, mass float64) unit.Amount {
	name, step := "g", 0.1
	if sys.IsUS() {
		name, step = "oz", 0.01
	}
	return unit.Amount{Kind: unit.MassOf, Value: mass, Unit: name, Step: step * unit.SizeOf(unit.MassOf, name)}
}

// balance is where the dry matter and the water of one vessel go.
type balance struct {
	When  string
	How   protocol.Message
	Parts []balancePart
}

type balancePart struct {
	Name string
	Rows []balanceRow
}

// balanceRow has empty cells where something has no dry matter or no water.
type balanceRow struct{ Name, Dry, Water string }

func (e Edition) balance(p *process.Process) balance {
	mass := func(name string) string {
		if name == "" {
			return ""
		}
		return e.show(fine(e.Voice.Units(), p.Value(name)))
	}
	row := func(name, dry, water string) balanceRow {
		return balanceRow{name, mass(dry), mass(water)}
	}
	return balance{
		When: e.say("book.balance.when", "vessel", p.Vessel.One),
		How:  words.Message("book.balance.how", "gas", mass("carbon_dioxide_made")),
		Parts: []balancePart{
			{e.say("book.balance.in"), []balanceRow{
				row(e.say("book.balance.substrate"), "dry_in_vessel", "water_in_vessel"),
				row(e.say("book.balance.spawn"), "spawn_dry", "spawn_water"),
				row(e.say("book.balance.made"), "", "water_made"),
			}},
			{e.say("book.balance.out"), []balanceRow{
				row(e.say("book.balance.crop"), "dry_in_crop", "water_in_crop"),
				row(e.say("book.balance.burnt"), "respired", ""),
				row(e.say("book.balance.evaporated"), "", "evaporated"),
				row(e.say("book.balance.spent", "moisture", e.percent(p, "spent_moisture")), "spent_dry", "spent_water"),
			}},
		},
	}
}
