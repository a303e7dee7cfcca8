package farmfile

import (
	"strconv"

	"bottlecrop/cmd/internal/protocol"
)

// placedLot is a lot of an ingredient where it is named.
type placedLot struct{ ingredient, file string }

// lots checks what the results say of lots, runs and where the crop went: names that
// stand for nothing, days before what they follow, more than there was.
func (f *Folder) lots(b *binder) {
	r := f.Results
	runs := map[string]protocol.SterilizerRun{}
	for i, x := range r.Runs {
		runs[x.Code] = x
		b.within(dated{under(protocol.Item("run", i), "on"), x.On})
	}
	bought := map[string]placedLot{}
	for _, l := range f.Stock.Lots {
		bought[l.ID] = placedLot{l.Ingredient, protocol.StockDocument}
	}
	for i, s := range r.Spawn {
		at := protocol.Item("spawn", i)
		b.within(dated{under(at, "full_on"), s.Full})
		b.knownRun(under(at, "run"), s.Run, runs)
		f.goods(b, at, s.Goods, 0, bought)
	}
	b.ancestors(r.Spawn)
	harvest := map[string]string{} // the first day of each lot
	for i, x := range r.Batches {
		at := protocol.Item("batch", i)
		f.goods(b, at, x.Goods, x.Mixes, bought)
		b.loads(i, x, runs)
		for j, p := range x.Picked {
			if lot := x.HarvestLot(p); harvest[lot] == "" || p.On < harvest[lot] {
				harvest[lot] = p.On
			}
			key := under(protocol.Item(protocol.ResultKey(i, "picked"), j), "as_picked")
			if p.Fresh > 0 && p.Fresh < p.Mass && !b.refused[key] {
				b.refuse(key, "results.trimmed", nil, "results_trimmed", nil)
			}
		}
	}
	for i, s := range r.Sent {
		b.gone(protocol.Item("sent", i), s.Lot, s.On, harvest)
	}
	for i, u := range r.Unsold {
		b.gone(protocol.Item("unsold", i), u.Lot, u.On, harvest)
	}
}

// goods checks lots of ingredients: each is of one ingredient, in the stock and
// wherever it was used.
func (f *Folder) goods(b *binder, at string, used []protocol.GoodsUsed, mixes int, bought map[string]placedLot) {
	for j, g := range used {
		key := protocol.Item(under(at, "goods"), j)
		f.reference(b, under(key, "ingredient"), false, "ingredient", g.Ingredient, true)
		switch was, known := bought[g.Lot]; {
		case g.Lot == "" || g.Ingredient == "" || b.refused[under(key, "ingredient")] || b.refused[under(key, "lot")]:
		case !known:
			bought[g.Lot] = placedLot{g.Ingredient, protocol.ResultsDocument}
		case was.ingredient != g.Ingredient:
			b.refuse(under(key, "lot"), "results.other_goods", args{"found": quoted(g.Lot), "ingredient": quoted(was.ingredient), "file": was.file}, "results_other_goods", nil)
		}
		b.mixes(under(key, "mixes"), g.Mixes, mixes)
	}
}

// mixes refuses the number of a mix that the batch has not.
func (b *binder) mixes(at string, used []int, made int) {
	for j, n := range used {
		if key := protocol.Item(at, j); made > 0 && n > made && !b.refused[key] {
			b.refuse(key, "results.mix", args{"n": n, "mixes": made}, "results_mix", nil)
		}
	}
}

// knownRun refuses a run that is not written down.
func (b *binder) knownRun(at, code string, runs map[string]protocol.SterilizerRun) bool {
	if _, known := runs[code]; known || code == "" || b.refused[at] {
		return known
	}
	if near := protocol.Nearest(code, sortedMap(runs)); near != "" {
		b.refuse(at, "results.run", args{"found": quoted(code)}, "results_run_near", args{"near": quoted(near)})
	} else {
		b.refuse(at, "results.run", args{"found": quoted(code)}, "results_run", nil)
	}
	return false
}

// loads checks the loads of a batch: their runs, their days, their mixes, and that no
// more vessels went in than there are. A load whose run failed is run again, so only
// runs that held count.
func (b *binder) loads(i int, r protocol.Result, runs map[string]protocol.SterilizerRun) {
	given := dated{protocol.ResultKey(i, "inoculated"), r.Given}
	mixed := dated{protocol.ResultKey(i, "mixed"), r.Mixed}
	b.follows(given, mixed)
	b.follows(dated{protocol.ResultKey(i, "opened"), r.Opened}, given)
	there := r.Filled + r.Controls
	loaded := 0
	for j, l := range r.Loads {
		at := protocol.Item(protocol.ResultKey(i, "load"), j)
		b.mixes(under(at, "mixes"), l.Mixes, r.Mixes)
		if !b.knownRun(under(at, "run"), l.Run, runs) {
			continue
		}
		run := runs[l.Run]
		switch key := under(at, "run"); {
		case mixed.day != "" && run.On != "" && run.On < mixed.day && !b.refused[mixed.at]:
			b.refuse(key, "results.run_early", args{"found": quoted(l.Run), "on": run.On, "day": mixed.day}, "results_days", nil)
		case given.day != "" && run.On > given.day && !b.refused[given.at]:
			b.refuse(key, "results.run_late", args{"found": quoted(l.Run), "on": run.On, "day": given.day}, "results_days", nil)
		}
		if run.Failed != "" {
			continue
		}
		if loaded += l.Vessels; loaded > there && loaded-l.Vessels <= there && !b.refused[protocol.ResultKey(i, "filled")] {
			b.refuse(under(at, "vessels"), "results.loaded", args{"loaded": loaded, "filled": there}, "results_loaded", nil)
		}
	}
}

// follows refuses a day before that of what it follows.
func (b *binder) follows(later, earlier dated) {
	if later.day == "" || earlier.day == "" || b.refused[later.at] || b.refused[earlier.at] || later.day >= earlier.day {
		return
	}
	if b.within(later) && b.within(earlier) {
		b.refuse(later.at, "results.order", args{"found": quoted(later.day), "earlier": lastKey(earlier.at), "day": earlier.day}, "results_days", nil)
	}
}

// ancestors refuses spawn that comes from itself, and generations that go backward.
func (b *binder) ancestors(all []protocol.SpawnLot) {
	at := map[string]int{}
	for i, s := range all {
		at[s.Lot] = i
	}
	for i, s := range all {
		key := under(protocol.Item("spawn", i), "from")
		if s.From == "" || b.refused[key] {
			continue
		}
		seen := map[string]bool{s.Lot: true}
		for from := s.From; from != ""; {
			if seen[from] {
				if from == s.Lot { // those that lead into the circle are told by it
					b.refuse(key, "results.circle", args{"found": quoted(s.Lot)}, "results_circle", nil)
				}
				break
			}
			seen[from] = true
			j, known := at[from]
			if !known {
				break
			}
			from = all[j].From
		}
		if j, known := at[s.From]; known && !b.refused[key] && s.Generation > 0 && all[j].Generation >= s.Generation {
			number := under(protocol.Item("spawn", i), "generation")
			b.refuse(number, "results.generation", args{"found": strconv.Itoa(s.Generation), "from": quoted(s.From), "n": all[j].Generation}, "results_generation", nil)
		}
	}
}

// gone checks what left the farm of a lot of a harvest: that there is such a lot, and
// that it had been picked by then.
func (b *binder) gone(at, lot, day string, harvest map[string]string) {
	key := under(at, "lot")
	first, known := harvest[lot]
	switch {
	case lot == "" || b.refused[key]:
		return
	case !known:
		if near := protocol.Nearest(lot, sortedMap(harvest)); near != "" {
			b.refuse(key, "results.harvest_lot", args{"found": quoted(lot)}, "results_harvest_near", args{"near": quoted(near)})
		} else {
			b.refuse(key, "results.harvest_lot", args{"found": quoted(lot)}, "results_harvest_lot", nil)
		}
		return
	}
	if on := (dated{under(at, "on"), day}); b.within(on) && first != "" && day < first {
		b.refuse(on.at, "results.sent_early", args{"found": quoted(day), "lot": quoted(lot), "day": first}, "results_days", nil)
	}
}
