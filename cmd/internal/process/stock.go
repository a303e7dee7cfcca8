package process

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/cost"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Drawn is a lot of the stock as a batch finds it. The moisture of an ingredient
// is that of what is taken of its lots, so a process that is made from stock is
// of one number of vessels.
type Drawn struct {
	Lot   protocol.Lot
	Key   int       // its place among the lots of the stock's file, from 0
	Left  unit.Mass // before the batch, as received
	Taken unit.Mass // for the dry matter that is needed, before a scale has a say; 0 for none
}

// MoistureOf is the moisture of a lot with the place where it was written and the
// source: what was measured today goes before what the lot says, and that before
// what is known of the ingredient anyway.
func (in Input) MoistureOf(lot protocol.Lot, key int) (unit.WetShare, working.Origin, string) {
	if _, today := in.Measured[lot.Ingredient]; lot.Moisture != nil && !today {
		return *lot.Moisture, working.Origin{Document: protocol.StockDocument, Key: protocol.LotKey(key, "moisture_wb")}, ""
	}
	return in.moistureOf(lot.Ingredient)
}

// taken are the lots of an ingredient that a batch takes something of.
func (p *Process) taken(ingredient string) []Drawn {
	var out []Drawn
	for _, d := range p.Input.Stock {
		if d.Lot.Ingredient == ingredient && d.Taken > 0 {
			out = append(out, d)
		}
	}
	return out
}

// MoistureOfLots reports whether the moisture of an ingredient is that of lots of
// which it was measured.
func (p *Process) MoistureOfLots(ingredient string) bool {
	return slices.ContainsFunc(p.taken(ingredient), func(d Drawn) bool { return d.Lot.Moisture != nil })
}

// moistureOfLots enters the moisture of an ingredient that is taken from stock;
// it is false where none is.
func (p *Process) moistureOfLots(part Part) bool {
	lots := p.taken(part.ID)
	if len(lots) == 0 {
		return false
	}
	if len(lots) == 1 {
		m, at, source := p.Input.MoistureOf(lots[0].Lot, lots[0].Key)
		p.Ledger.GivenOf("moisture_received", part.ID, unit.ShareOf, float64(m), at, source)
		return true
	}
	// The lot that is furthest from the usual comes first: a limit on the moisture
	// points at it.
	off := func(d Drawn) float64 {
		m, _, _ := p.Input.MoistureOf(d.Lot, d.Key)
		return math.Abs(float64(m - part.Moisture))
	}
	slices.SortStableFunc(lots, func(a, b Drawn) int { return cmp.Compare(off(b), off(a)) })
	l := p.Ledger
	var masses, moistures []*working.Quantity
	for _, d := range lots {
		m, at, source := p.Input.MoistureOf(d.Lot, d.Key)
		moistures = append(moistures, l.GivenOf("lot_moisture", d.Lot.ID, unit.ShareOf, float64(m), at, source))
		masses = append(masses, l.GivenOf("lot_taken", d.Lot.ID, unit.MassOf, float64(d.Taken),
			working.Origin{Document: protocol.StockDocument, Key: protocol.LotKey(d.Key, "mass")}, ""))
	}
	total := l.SumOf("lots_taken", part.ID, unit.MassOf, masses...)
	water := l.DotOf("water_in_lots", part.ID, unit.MassOf, moistures, masses)
	l.DeriveOf("moisture_received", part.ID, unit.ShareOf, substrate.MoistureOfLots, working.Bind("W", water), working.Bind("Q", total))
	return true
}

// priceOfLots enters the price of an ingredient that is taken from stock. It is
// false where none is, or a lot has no price and the farm none either.
func (p *Process) priceOfLots(part Part) bool {
	lots := p.taken(part.ID)
	usual, known := p.Input.Farm.Prices[part.ID]
	own := false
	for _, d := range lots {
		own = own || d.Lot.Price != nil
		if d.Lot.Price == nil && !known {
			return false
		}
	}
	if !own {
		return false
	}
	price := func(d Drawn) (float64, working.Origin) {
		if d.Lot.Price == nil {
			return usual.Amount, protocol.InFarm("price." + part.ID)
		}
		return d.Lot.Price.Amount, working.Origin{Document: protocol.StockDocument, Key: protocol.LotKey(d.Key, "price")}
	}
	l := p.Ledger
	if len(lots) == 1 {
		v, at := price(lots[0])
		l.GivenOf("price", part.ID, unit.PriceOfMass, v, at, "")
		return true
	}
	var masses, prices []*working.Quantity
	for _, d := range lots {
		v, at := price(d)
		prices = append(prices, l.GivenOf("lot_price", d.Lot.ID, unit.PriceOfMass, v, at, ""))
		masses = append(masses, l.Of("lot_taken", d.Lot.ID))
	}
	value := l.DotOf("value_of_lots", part.ID, unit.MoneyOf, masses, prices)
	l.DeriveOf("price", part.ID, unit.PriceOfMass, cost.OfLots, working.Bind("V", value), working.Bind("Q", l.Of("lots_taken", part.ID)))
	return true
}
