package farmfile

import (
	"sort"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// reference checks that a name is that of an entry. It is false where the
// entry is not there, or has faults of its own, so that nothing can be worked
// out with it; only the first is a finding here.
func (f *Folder) reference(b *binder, path string, onKey bool, kind, id string, usable bool) bool {
	return f.named(b, path, onKey, kind, f.known[kind], id, usable)
}

// named is reference among the ids that it is given.
func (f *Folder) named(b *binder, path string, onKey bool, kind string, state *shelfState, id string, usable bool) bool {
	if id == "" || b.refused[path] {
		return false
	}
	if state == nil || !state.readable {
		return false
	}
	if state.ids[id] {
		return usable
	}
	b.refused[path] = true
	a := args{"entry": entryWord(kind), "found": quoted(id)}
	ids := sortedIDs(state.ids)
	switch near := protocol.Nearest(id, ids); {
	case near != "":
		b.report(path, onKey, "reference.unknown", a, "reference_near", args{"near": near})
	case len(ids) > 0:
		b.report(path, onKey, "reference.unknown", a, "reference_list", args{"list": knownList(state.ids)})
	default:
		b.report(path, onKey, "reference.unknown", a, "reference_none", args{"entry": entryWord(kind)})
	}
	return false
}

func sortedIDs(ids map[string]bool) []string {
	out := make([]string, 0, len(ids))
	for id := range ids {
		out = append(out, id)
	}
	sort.Strings(out)
	return out
}

func has[T any](m map[string]T, id string) bool {
	_, ok := m[id]
	return ok
}

// farmReferences checks the names in the farm's file, and that its prices are
// in its currency.
func (f *Folder) farmReferences(b *binder) {
	for i, s := range f.Farm.Sterilizers {
		at := protocol.Item("sterilizer", i)
		f.reference(b, under(at, "model"), false, "sterilizer", s.Model, true)
		for j, h := range s.Holds {
			f.reference(b, under(protocol.Item(under(at, "holds"), j), "vessel"), false, "vessel", h.Vessel, true)
		}
	}
	for _, id := range sortedMap(f.Farm.Moisture) {
		f.reference(b, under("moisture_wb", id), true, "ingredient", id, true)
	}
	for _, id := range sortedMap(f.Farm.MoistureSpread) {
		f.reference(b, under("moisture_spread_wb", id), true, "ingredient", id, true)
	}
	for _, id := range sortedMap(f.Farm.Prices) {
		at := under("price", id)
		f.reference(b, at, true, "ingredient", id, true)
		f.currency(b, at, f.Farm.Prices[id].Currency)
	}
	f.grainReferences(b)
	f.capacityReferences(b)
	f.benchReferences(b)
	// In a fixed order: of a file with very many faults only the first are told.
	for _, t := range []struct {
		table  string
		prices map[string]unit.Money
	}{{"vessel_price", f.Farm.VesselPrices}, {"lid_price", f.Farm.LidPrices}} {
		for _, id := range sortedMap(t.prices) {
			at := under(t.table, id)
			f.reference(b, at, true, "vessel", id, true)
			f.currency(b, at, t.prices[id].Currency)
		}
	}
	for _, role := range sortedMap(f.Farm.Wages) {
		f.reference(b, under("wage", role), true, "role", role, true)
		f.currency(b, under("wage", role), f.Farm.Wages[role].Currency)
	}
	if c := f.Farm.Costs; c != nil {
		f.currency(b, "cost.spawn", c.Spawn.Currency)
		f.currency(b, "cost.electricity", c.Electricity.Currency)
		f.currency(b, "cost.water", c.Water.Currency)
		f.currency(b, "cost.consumables", c.Consumables.Currency)
	}
}

// grainReferences checks the names in the farm's grain spawn.
func (f *Folder) grainReferences(b *binder) {
	g := f.Farm.Grain
	if g == nil {
		return
	}
	f.reference(b, "grain.ingredient", false, "ingredient", g.Ingredient, true)
	f.reference(b, "grain.jar", false, "vessel", g.Jar, true)
	own := &shelfState{ids: map[string]bool{}, readable: true}
	for _, s := range f.Farm.Sterilizers {
		own.ids[s.ID] = true
	}
	f.named(b, "grain.sterilizer", false, "farm_sterilizer", own, g.Sterilizer, true)
}

// benchReferences checks that the clean bench stands in a room of the farm.
func (f *Folder) benchReferences(b *binder) {
	if f.Farm.Bench == nil {
		return
	}
	own := &shelfState{ids: map[string]bool{}, readable: true}
	for _, r := range f.Farm.Rooms {
		own.ids[r.ID] = true
	}
	f.named(b, "bench.room", false, "room", own, f.Farm.Bench.Room, true)
}

// currency refuses an amount of money in another currency than the farm's.
func (f *Folder) currency(b *binder, at, got string) {
	if !b.refused["currency"] {
		f.inCurrency(b, at, got)
	}
}

// inCurrency is currency in another file than the one that names the currency.
func (f *Folder) inCurrency(b *binder, at, got string) {
	if got == "" || b.refused[at] || f.Farm.Currency == "" || got == f.Farm.Currency {
		return
	}
	b.refuse(at, "price.currency", args{"currency": f.Farm.Currency}, "price_currency", args{"currency": f.Farm.Currency})
}

func sortedMap[T any](m map[string]T) []string {
	ids := map[string]bool{}
	for id := range m {
		ids[id] = true
	}
	return sortedIDs(ids)
}

// protocolReferences checks the names in a protocol. It is true when all that
// the protocol needs is there.
func (f *Folder) protocolReferences(b *binder, p protocol.Protocol) bool {
	l := f.Library
	whole := f.reference(b, "species", false, "species", p.Species, has(l.Species, p.Species))
	whole = f.reference(b, "vessel", false, "vessel", p.Vessel, has(l.Vessels, p.Vessel)) && whole
	model := ""
	for _, s := range f.Farm.Sterilizers {
		if s.ID == p.Sterilizer {
			model = s.Model
		}
	}
	whole = f.reference(b, "sterilizer", false, "farm_sterilizer", p.Sterilizer, has(l.Sterilizers, model)) && whole
	for i, part := range p.Substrate.Ingredients {
		at := under(protocol.Item("substrate.ingredient", i), "ingredient")
		whole = f.reference(b, at, false, "ingredient", part.Ingredient, has(l.Ingredients, part.Ingredient)) && whole
	}
	f.stepReferences(b, p)
	return whole
}
