package design

import (
	"strings"

	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// costs gives each ingredient what a kg of its dry matter costs. Without a
// price for each there is no cheapest formula, and no word on costs.
func (d *desk) costs() error {
	d.priced = true
	var missing []string
	for i, part := range d.wide.Parts {
		price := d.wide.Ledger.Of("price", part.ID)
		if price == nil {
			if d.lines[i].Bounds.High > 0 {
				missing = append(missing, part.ID)
			}
			continue
		}
		c, err := substrate.PriceOfConstituent.At(map[string]float64{
			"P": price.Value, "m": d.wide.Ledger.ValueOf("moisture_received", part.ID), "x": 1,
		})
		if err != nil {
			return err
		}
		d.problem.Ingredients[i].Cost = c
	}
	if len(missing) == 0 {
		return nil
	}
	d.priced = false
	for i := range d.problem.Ingredients {
		d.problem.Ingredients[i].Cost = 0
	}
	if d.request.Goal == Cheapest {
		r := &Refusal{What: message("design.no_price", "missing", strings.Join(missing, ", ")), Hint: message("design.no_price.hint", "key", missing[0], "currency", d.in.Farm.Currency)}
		return r
	}
	return nil
}

// cost is what a kg of dry matter costs with these shares.
func (d *desk) cost(of func(Line) float64) *float64 {
	if !d.priced {
		return nil
	}
	l := working.NewLedger(nil)
	var shares, prices []*working.Quantity
	for i, line := range d.lines {
		id := line.Ingredient.ID
		shares = append(shares, l.GivenOf("share", id, unit.ShareOf, of(line), working.Origin{}, ""))
		prices = append(prices, l.GivenOf("price", id, unit.PriceOfMass, d.problem.Ingredients[i].Cost, working.Origin{}, ""))
	}
	v := l.Dot("cost", unit.PriceOfMass, shares, prices).Value
	return &v
}
