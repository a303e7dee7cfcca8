package batch

import (
	"slices"

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
	rows := b.Mix.Rows
	var water, goods []float64
	for _, r := range p.TooDry {
		of := process.ReadingOf(r)
		q := l.DeriveOf("water_for_reading", of, unit.MassOf, substrate.WaterForReading,
			working.Bind("D", d), working.Bind("m", m), working.Bind("r", l.Of("reading", of)))
		b.Corrections = append(b.Corrections, Correction{Reads: r})
		water = append(water, q.Value)
	}
	for i, a := range b.more(rows[len(rows)-1].Scale, water) {
		b.Corrections[i].Water = a
	}
	wet := len(b.Corrections)
	for _, r := range p.TooWet {
		of := process.ReadingOf(r)
		reading := l.Of("reading", of)
		if !answers(d.Value, in.Value, m.Value, reading.Value) {
			break
		}
		q := l.DeriveOf("goods_for_reading", of, unit.ShareOf, substrate.GoodsForReading,
			working.Bind("D", d), working.Bind("r", reading), working.Bind("m", m), working.Bind("W_in", in))
		b.Corrections = append(b.Corrections, Correction{Reads: r, Over: (1+q.Value)*b.Value("mix_weighed") > b.Value("mixer_capacity")})
		goods = append(goods, q.Value)
	}
	for _, row := range rows {
		if row.ID == Water {
			continue
		}
		masses := make([]float64, len(goods))
		for i, f := range goods {
			masses[i] = f * row.Mass
		}
		for i, a := range b.more(row.Scale, masses) {
			c := &b.Corrections[wet+i]
			c.Goods = append(c.Goods, MoreOf{row.ID, row.Name, a})
		}
	}
}

// more are masses that are added to a row of the mix, all as one scale reads them
// where one does: the row's own, or else the finest that carries them. A row of a
// table has one unit then.
func (b *Batch) more(s Scale, masses []float64) []unit.Amount {
	if len(masses) == 0 {
		return nil
	}
	least := slices.Min(masses)
	if s.Step > least/PortionPart {
		s = b.carrying(slices.Max(masses))
	}
	out := make([]unit.Amount, len(masses))
	for i, mass := range masses {
		if s.Step > least/PortionPart {
			out[i] = b.Reading(mass, PortionPart)
			continue
		}
		out[i] = amountAt(s, mass, mass/PortionPart)
	}
	return out
}

// answers reports whether dry goods bring a mix from the reading r down to m
// within the largest share of them that is given once more.
func answers(dry, in, m, r float64) bool {
	f, err := substrate.GoodsForReading.At(map[string]float64{"D": dry, "r": r, "m": m, "W_in": in})
	return err == nil && f > 0 && f <= substrate.MostGoods
}
