package main

import (
	"fmt"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/stock"
	"bottlecrop/cmd/internal/words"
)

// made prints what the stock makes by one protocol.
func (t *terminal) made(f *farm, m made) {
	v := f.voice
	t.say(v, "stock.title", "protocol", m.name, "title", m.title)
	switch {
	case m.batch == nil && m.next == nil:
		t.say(v, "stock.refused.at")
		return
	case m.batch == nil:
		t.say(v, "stock.makes.none", "ingredient", m.first[0].Name)
	default:
		n, vessels := m.batch.Vessels, m.batch.Process.Vessel.Called(m.batch.Vessels)
		switch {
		case m.vessels > 0 && len(m.batch.Mix.Rows) <= len(m.batch.Process.Parts):
			t.say(v, "stock.not_weighed", "n", n, "vessels", vessels)
			return
		case m.vessels > 0 && m.batch.Short():
			t.say(v, "stock.not_enough", "n", n, "vessels", vessels)
		case m.vessels > 0:
			t.say(v, "stock.enough", "n", n, "vessels", vessels)
		case len(m.first) == 0:
			t.say(v, "stock.makes.most", "n", n, "vessels", vessels)
		default:
			t.say(v, "stock.makes", "n", n, "vessels", vessels, "ingredient", m.first[0].Name)
		}
		t.lots(f, m)
	}
	t.missing(f, m)
}

// lots prints each lot with what a batch takes of it and what is left.
func (t *terminal) lots(f *farm, m made) {
	v := f.voice
	head := func(id string) string { return v.Say(words.Message("stock.head." + id)) }
	rows := [][]string{{head("lot"), head("received"), head("there"), head("used"), head("left"), head("ingredient")}}
	after := m.before.Less(m.batch)
	left := map[int]float64{}
	for _, l := range after.Lots() {
		left[l.Key] = float64(l.Left)
	}
	for _, r := range m.batch.Mix.Rows {
		if r.ID == batch.Water {
			continue
		}
		found := false
		for _, l := range m.before.Lots() {
			if l.Ingredient == r.ID {
				rows = append(rows, []string{l.ID, l.ReceivedOn, amountIn(float64(l.Left)).Show(v.Units()),
					r.Scale.Amount(taken(r, l)).Show(v.Units()), amountIn(left[l.Key]).Show(v.Units()), r.Name})
				found = true
			}
		}
		if !found {
			rows = append(rows, []string{v.Say(words.Message("stock.no_lot")), "", "", "", "", r.Name})
		}
	}
	t.columns(rows)
}

// taken is what a row takes of a lot, in kg in all mixes.
func taken(r batch.Weighing, l stock.Lot) float64 {
	for _, p := range r.Portions {
		if p.Lot != "" && p.Key == l.Key {
			return p.All
		}
	}
	return 0
}

// missing prints what is to be bought.
func (t *terminal) missing(f *farm, m made) {
	v := f.voice
	list, total, priced := m.missing()
	if len(list) == 0 {
		return
	}
	if m.vessels > 0 {
		t.say(v, "stock.missing")
	} else {
		t.say(v, "stock.full", "n", m.next.Vessels, "vessels", m.next.Process.Vessel.Called(m.next.Vessels))
	}
	var rows [][]string
	for _, x := range list {
		cost := v.Say(words.Message("stock.unpriced"))
		if x.cost != nil {
			cost = v.Units().Money(*x.cost, f.folder.Farm.Currency)
		}
		rows = append(rows, []string{x.row.Scale.Amount(x.row.Short()).Show(v.Units()), cost, x.row.Name})
	}
	t.columns(rows)
	if total > 0 && len(list) > 1 {
		id := "stock.cost"
		if !priced {
			id = "stock.cost.some"
		}
		fmt.Fprintln(t, plain(v.Say(words.Message(id, "cost", v.Units().Money(total, f.folder.Farm.Currency)))))
	}
}
