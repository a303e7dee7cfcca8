package batch

import (
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Correction is what one mix is given when its sample reads a moisture that is
// not right: water where it is too dry, and else more of its dry goods.
type Correction struct {
	Reads int         // percent of water, wet basis
	Water unit.Amount // as a scale reads it; zero where the mix is too wet
	Goods []MoreOf    // in the order of the mix; empty where it is too dry
	Over  bool        // with it the mix is more than the mixer takes
}

// MoreOf is a row of the mix with what is added to it.
type MoreOf struct {
	ID, Name string
	Amount   unit.Amount
}

// correct works out the table for a mix in hand. Goods that are nearly as wet as
// the mix correct nothing: then a mix that is too wet has no row.
func (b *Batch) correct() {
	l, p := b.Ledger, b.Process
	d, in, m := l.Get("dry_in_mix"), l.Get("water_in_mix_received"), l.Get("moisture_mixed")
	water := b.Mix.Rows[len(b.Mix.Rows)-1]
	for _, r := range p.TooDry {
		of := process.ReadingOf(r)
		q := l.DeriveOf("water_for_reading", of, unit.MassOf, substrate.WaterForReading,
			working.Bind("D", d), working.Bind("m", m), working.Bind("r", l.Of("reading", of)))
		b.Corrections = append(b.Corrections, Correction{Reads: r, Water: b.more(water.Scale, q.Value)})
	}
	for _, r := range p.TooWet {
		of := process.ReadingOf(r)
		reading := l.Of("reading", of)
		bind := []working.Input{working.Bind("D", d), working.Bind("r", reading), working.Bind("m", m), working.Bind("W_in", in)}
		if !answers(d.Value, in.Value, m.Value, reading.Value) {
			return
		}
		q := l.DeriveOf("goods_for_reading", of, unit.ShareOf, substrate.GoodsForReading, bind...)
		c := Correction{Reads: r, Over: (1+q.Value)*b.Value("mix_weighed") > b.Value("mixer_capacity")}
		for _, row := range b.Mix.Rows {
			if row.ID != Water {
				c.Goods = append(c.Goods, MoreOf{row.ID, row.Name, b.more(row.Scale, q.Value*row.Mass)})
			}
		}
		b.Corrections = append(b.Corrections, c)
	}
}

// more is a mass that is added to a row of the mix, as that row's own scale reads
// it where it reads finely enough, so that a table has one unit in a column.
func (b *Batch) more(s Scale, mass float64) unit.Amount {
	if s.Step > mass/PortionPart {
		return b.Reading(mass, PortionPart)
	}
	return amountAt(s, mass, mass/PortionPart)
}

// answers reports whether dry goods bring a mix from the reading r down to m
// within the largest share of them that is given once more.
func answers(dry, in, m, r float64) bool {
	f, err := substrate.GoodsForReading.At(map[string]float64{"D": dry, "r": r, "m": m, "W_in": in})
	return err == nil && f > 0 && f <= substrate.MostGoods
}
