package process

import (
	"maps"
	"slices"

	"bottlecrop/cmd/internal/cost"
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// Unpriced is a price that costs need and the farm has not given.
type Unpriced struct {
	What protocol.Message // the quantity that is missing
	Key  string           // where it is to be written in the farm's file
}

// prices enters what the farm pays for all that a batch uses, the lives of
// vessels and lids, and the wear that one use costs. What has no price is
// listed, and no cost is worked out.
func (p *Process) prices() {
	p.lives()
	f := p.Input.Farm
	for _, part := range p.Parts {
		if p.priceOfLots(part) {
			continue
		}
		if price, ok := f.Prices[part.ID]; ok {
			p.Ledger.GivenOf("price", part.ID, unit.PriceOfMass, price.Amount,
				protocol.InFarm("price."+part.ID), "")
			continue
		}
		p.Unpriced = append(p.Unpriced, Unpriced{
			protocol.Message{ID: "quantity.price", Args: map[string]any{"of": part.Name}}, "price." + part.ID})
	}
	var c protocol.Costs
	if f.Costs != nil {
		c = *f.Costs
	}
	paid := f.Costs != nil
	p.priced("spawn_price", unit.PriceOfMass, c.Spawn.Amount, "cost.spawn", paid)
	p.priced("energy_price", unit.PriceOfEnergy, c.Electricity.Amount, "cost.electricity", paid)
	p.priced("water_price", unit.PriceOfVolume, c.Water.Amount, "cost.water", paid)
	p.priced("consumables_price", unit.MoneyOf, c.Consumables.Amount, "cost.consumables", paid)
	if p.Sterilizer.Energy == 0 { // what the farm has metered is in the ledger by now
		p.priced("energy_a_run", unit.EnergyOf, 0, p.sterilizerKey("energy_a_run"), false)
	}
	for _, role := range work.Roles() {
		key := string(role)
		wage, ok := f.Wages[key]
		if !ok {
			if wage, ok = f.Wages[protocol.OtherRoles]; ok {
				key = protocol.OtherRoles
			}
		}
		p.priced("wage_"+string(role), unit.PriceOfTime, wage.Amount, "wage."+key, ok)
	}
	vessel := p.vesselPrice("vessel", p.Vessel.Price, "price", f.VesselPrices, "vessel_price")
	lid := p.vesselPrice("lid", p.Vessel.LidPrice, "lid_price", f.LidPrices, "lid_price")
	if vessel != nil && lid != nil {
		p.Ledger.Sum("wear", unit.MoneyOf, vessel, lid)
	}
}

// priced enters a price of the farm's, or lists it as missing.
func (p *Process) priced(name string, k unit.Kind, v float64, key string, given bool) {
	if given {
		p.farm(name, k, v, key)
		return
	}
	p.Unpriced = append(p.Unpriced, Unpriced{protocol.Message{ID: "quantity." + name}, key})
}

// lives works out how often a vessel and a lid come back. A bag does not. An
// entry without a life, which no file can have, has no wear.
func (p *Process) lives() {
	l, v := p.Ledger, p.Vessel
	if v.Form == protocol.FormBag {
		p.vessel("vessel_uses", unit.None, float64(v.UsesMost), "uses_most")
		p.vessel("lid_uses", unit.None, float64(v.LidUsesMost), "lid_uses_most")
		p.vessel("vessel_wash_water", unit.VolumeOf, float64(v.WashWater), "wash_water")
		return
	}
	for _, name := range []string{"vessel", "lid"} {
		if most := l.Get(name + "_uses_most"); most.Value > 0 {
			l.Derive(name+"_uses", unit.None, crop.ExpectedUses,
				working.Bind("p", l.Get(name+"_lost_per_use")), working.Bind("N", most))
		}
	}
}

// vesselPrice enters the price of a vessel or a lid, the farm's own or else the
// library's, and the wear of one use. A library's price in another currency
// than the farm's is none: the program knows no rate of exchange.
func (p *Process) vesselPrice(name string, usual unit.Money, usualKey string, own map[string]unit.Money, ownKey string) *working.Quantity {
	key := ownKey + "." + p.Vessel.ID
	price, ok := own[p.Vessel.ID]
	var q *working.Quantity
	switch {
	case ok:
		q = p.farm(name+"_price", unit.MoneyOf, price.Amount, key)
	case usual.Currency == p.Input.Farm.Currency:
		q = p.vessel(name+"_price", unit.MoneyOf, usual.Amount, usualKey)
	default:
		p.priced(name+"_price", unit.MoneyOf, 0, key, false)
		p.otherCurrency(name+"_price", usual, key)
		return nil
	}
	if uses := p.Ledger.Get(name + "_uses"); uses != nil && uses.Value > 0 {
		return p.Ledger.Derive(name+"_wear", unit.MoneyOf, cost.Wear, working.Bind("P", q), working.Bind("U", uses))
	}
	return nil
}

// otherCurrency notes that the library's price can't be used. A farm that has
// not asked for costs is not told.
func (p *Process) otherCurrency(name string, usual unit.Money, key string) {
	if p.Input.Farm.Costs == nil {
		return
	}
	p.foreign = append(p.foreign, protocol.Finding{
		Severity: protocol.Note,
		Rule:     "cost.currency",
		Origin:   protocol.InFarm("currency"),
		What: protocol.Message{ID: "cost.currency", Args: map[string]any{
			"quantity": protocol.Message{ID: "quantity." + name},
			"found":    usual.Currency, "allowed": p.Input.Farm.Currency,
		}},
		Why:     protocol.Message{ID: "cost.currency.why"},
		Hint:    protocol.Message{ID: "cost.currency.hint", Args: map[string]any{"key": key}},
		Source:  "design choice, no source",
		Subject: p.Input.Protocol.Name,
	})
}

// bags compares the vessel with bags that are used once and hold the same
// substrate, where the library has a bag and the vessel is none itself.
func (p *Process) bags() {
	l := p.Ledger
	bag, ok := p.bag()
	if !ok || p.Vessel.Form == protocol.FormBag || l.Get("vessel_uses") == nil || l.Get("lid_uses") == nil {
		return
	}
	of := func(name string, k unit.Kind, v float64, key string) *working.Quantity {
		return l.GivenOf(name, "", k, v, p.Input.Library.Origin("vessel", bag.ID, key), bag.Source)
	}
	fill := l.GivenOf("bag_fill", "", unit.MassOf, cost.BagFill, working.Origin{}, cost.BagFillSource)
	empty := of("bag_empty", unit.MassOf, float64(bag.Empty), "empty_mass")
	share := l.Derive("bag_share", unit.MassOf, cost.BagShare,
		working.Bind("m_bag", empty), working.Bind("M", l.Get("fill_mass")), working.Bind("M_bag", fill))
	vessel, uses := l.Get("vessel_empty"), l.Get("vessel_uses")
	lid, lidUses := l.Get("vessel_lid"), l.Get("lid_uses")
	l.Derive("waste_avoided", unit.MassOf, cost.WasteAvoided, working.Bind("b", share),
		working.Bind("m_v", vessel), working.Bind("U", uses), working.Bind("m_l", lid), working.Bind("U_l", lidUses))
	if share.Value > 0 {
		l.Derive("break_even_uses", unit.CountOf, cost.BreakEven, working.Bind("m_v", vessel), working.Bind("b", share))
	}
	if share.Value > lid.Value/lidUses.Value {
		l.Derive("break_even_with_lid", unit.CountOf, cost.BreakEvenWithLid, working.Bind("m_v", vessel),
			working.Bind("b", share), working.Bind("m_l", lid), working.Bind("U_l", lidUses))
	}
	f := p.Input.Farm
	paid := func(name string, usual unit.Money, usualKey string, own map[string]unit.Money, ownKey string) *working.Quantity {
		if price, ok := own[bag.ID]; ok {
			return p.farm(name, unit.MoneyOf, price.Amount, ownKey+"."+bag.ID)
		}
		if usual.Currency != f.Currency {
			return nil
		}
		return of(name, unit.MoneyOf, usual.Amount, usualKey)
	}
	price := paid("bag_price", bag.Price, "price", f.VesselPrices, "vessel_price")
	clip := paid("bag_clip_price", bag.LidPrice, "lid_price", f.LidPrices, "lid_price")
	if price != nil && clip != nil {
		l.Derive("bag_cost", unit.MoneyOf, cost.BagCost, working.Bind("P_bag", price), working.Bind("P_clip", clip),
			working.Bind("M", l.Get("fill_mass")), working.Bind("M_bag", fill))
	}
}

// bag is the library's bag, the first by id where it has several.
func (p *Process) bag() (protocol.Vessel, bool) {
	all := p.Input.Library.Vessels
	for _, id := range slices.Sorted(maps.Keys(all)) {
		if all[id].Form == protocol.FormBag {
			return all[id], true
		}
	}
	return protocol.Vessel{}, false
}
