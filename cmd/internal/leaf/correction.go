package leaf

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/unit"
)

// correction is what one mix is given by what its sample reads: rows of water
// for what is too dry, and a column of dry goods for each reading that is too
// wet.
type correction struct {
	Dry, Wet string // captions
	Water    []waterFor
	Reads    []string // heads of the columns of goods; empty where goods are no help
	Goods    []goodsFor
	Over     string // from where on the mixer can't take it; "" where it can
	Lines    []string
}

type waterFor struct{ Reads, Add string }

type goodsFor struct {
	Name string
	Add  []string // a cell for each reading
}

// correction is the table of a batch, nil where it has none.
func (e Edition) correction(b *batch.Batch) *correction {
	if len(b.Corrections) == 0 {
		return nil
	}
	out := &correction{Dry: e.say("book.correction.dry"), Wet: e.say("book.correction.wet")}
	for _, c := range b.Corrections {
		reads := e.show(unit.Amount{Kind: unit.ShareOf, Value: float64(c.Reads) / 100, Step: 0.01})
		if len(c.Goods) == 0 {
			out.Water = append(out.Water, waterFor{reads, e.show(c.Water)})
			out.Lines = append(out.Lines, e.say("book.correction.water", "reads", reads, "water", c.Water))
			continue
		}
		out.Reads = append(out.Reads, reads)
		var told []string
		for i, g := range c.Goods {
			if len(out.Goods) == i {
				out.Goods = append(out.Goods, goodsFor{Name: g.Name})
			}
			out.Goods[i].Add = append(out.Goods[i].Add, e.show(g.Amount))
			told = append(told, e.say("book.correction.one", "name", g.Name, "amount", g.Amount))
		}
		out.Lines = append(out.Lines, e.say("book.correction.goods", "reads", reads, "goods", e.Voice.Phrases(told)))
		if c.Over && out.Over == "" {
			out.Over = e.say("book.correction.over", "reads", reads)
		}
	}
	return out
}
