package batch

import (
	"bottlecrop/cmd/internal/unit"
)

// Portion is what one lot of the stock gives to a row of the mix. All mixes get
// the same of each lot, so that they come out alike however the lots differ.
type Portion struct {
	Lot        string // as it is marked; "" for what the stock does not have
	Key        int    // its place among the lots of the stock's file, from 0
	ReceivedOn string
	Mass       float64 // kg in one mix, a multiple of the scale's step
	All        float64 // kg in all mixes
}

// portions shares each row out to the lots, the oldest first. A lot gives whole
// steps of the scale to each mix; what is less stays in it. One that holds exactly
// what is needed is enough.
func (b *Batch) portions() {
	lots := b.Process.Input.Stock
	if lots == nil {
		return
	}
	for i := range b.Mix.Rows {
		r := &b.Mix.Rows[i]
		if r.ID == Water {
			continue
		}
		k, step := float64(b.Mixes), r.Scale.Step
		need := unit.Nearest(r.Mass / step)
		whole := need
		add := func(p Portion, steps float64) {
			p.Mass = steps * step
			if steps == whole {
				p.Mass = r.Mass // to the last digit
			}
			p.All = p.Mass * k
			r.Portions = append(r.Portions, p)
			need -= steps
		}
		for _, d := range lots {
			if d.Lot.Ingredient != r.ID || need == 0 {
				continue
			}
			if steps := min(need, unit.Down(float64(d.Left)/k/step)); steps > 0 {
				add(Portion{Lot: d.Lot.ID, Key: d.Key, ReceivedOn: d.Lot.ReceivedOn}, steps)
			}
		}
		if need > 0 {
			add(Portion{}, need)
		}
	}
}

// Short is what the stock lacks for a row, in kg in all mixes; 0 where a batch is
// not made from stock.
func (w Weighing) Short() float64 {
	for _, p := range w.Portions {
		if p.Lot == "" {
			return p.All
		}
	}
	return 0
}

// Short reports whether the stock lacks anything for the batch.
func (b *Batch) Short() bool {
	for _, r := range b.Mix.Rows {
		if r.Short() > 0 {
			return true
		}
	}
	return false
}
