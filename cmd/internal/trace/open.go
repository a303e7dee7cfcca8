package trace

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Days within which something can be in a batch whose record does not say: design
// choices, on the wide side, since a batch that is kept out is not looked at.
const (
	spawnKeeps = 180 // from full grown to given
	grainGrows = 60  // from its run to full grown
)

// perhaps are the batches that are not reached, and whose record leaves open whether
// they should be: it says nothing of the kind of thing that was, for all or some of its
// vessels, and its days do not speak against it. Spawn that may have had it carries it on.
func (w *Web) perhaps(reached []Node, is map[Node]bool) []Perhaps {
	var out []Perhaps
	seen := map[string]bool{}
	take := func(r protocol.Result, open Kind, by Node) {
		if !is[Node{Batch, r.Code}] && !seen[r.Code] {
			seen[r.Code] = true
			out = append(out, Perhaps{r, open, by})
		}
	}
	for _, n := range reached {
		var species map[string]bool
		if n.Kind == Spawn {
			species = w.speciesOf(n)
		}
		for _, r := range w.Results.Batches {
			if w.leavesOpen(r, n, species) {
				take(r, n.Kind, n)
			}
		}
		for _, s := range w.Results.Spawn {
			to := Node{Spawn, s.Lot}
			if is[to] || !w.spawnLeavesOpen(s, n) {
				continue
			}
			for _, b := range Of(Batch, w.Forward(to)) {
				take(w.batches[b.Code], Spawn, to)
			}
		}
	}
	slices.SortFunc(out, func(a, b Perhaps) int {
		return cmp.Or(cmp.Compare(a.Mixed, b.Mixed), cmp.Compare(a.Code, b.Code))
	})
	return out
}

// leavesOpen reports whether a batch's record does not say that something is not in it.
func (w *Web) leavesOpen(r protocol.Result, n Node, species map[string]bool) bool {
	p := w.Processes[r.Protocol]
	switch n.Kind {
	case Method:
		of := ""
		for name, m := range w.Methods {
			if m.Short == n.Code {
				of = name
			}
		}
		for _, b := range Of(Batch, w.next[n]) {
			of = w.batches[b.Code].Protocol
		}
		return r.Method == "" && r.Protocol == of
	case Goods:
		of := w.goods[n.Code]
		uses := p == nil || slices.ContainsFunc(p.Input.Protocol.Substrate.Ingredients, func(i protocol.Part) bool { return i.Ingredient == of })
		lot, known := w.stock[n.Code]
		return uses && !has(r.Goods, of) && !(known && r.Mixed < lot.ReceivedOn)
	case Run:
		loaded := 0
		for _, l := range r.Loads {
			if w.runs[l.Run].Failed == "" {
				loaded += l.Vessels
			}
		}
		on, last := w.runs[n.Code].On, latest(r, p)
		return loaded < r.Filled && on != "" && r.Mixed <= on && (last == "" || on <= last)
	case Spawn:
		if given(r) >= r.Filled || len(species) > 0 && (p == nil || !species[p.Species.ID]) {
			return false
		}
		full, last := w.spawn[n.Code].Full, latest(r, p)
		return full == "" || (last == "" || last >= full) && apart(full, r.Mixed) <= spawnKeeps
	}
	return false
}

// spawnLeavesOpen is the same for a lot of spawn: of which lot its grain is, or in which
// run that was. Grain is what is known to have gone into spawn.
func (w *Web) spawnLeavesOpen(s protocol.SpawnLot, n Node) bool {
	switch n.Kind {
	case Goods:
		of := w.goods[n.Code]
		grain := slices.ContainsFunc(w.Results.Spawn, func(x protocol.SpawnLot) bool { return has(x.Goods, of) })
		lot, known := w.stock[n.Code]
		return grain && !has(s.Goods, of) && s.Maker == "" && !(known && s.Full != "" && s.Full < lot.ReceivedOn)
	case Run:
		on := w.runs[n.Code].On
		return s.Run == "" && s.Maker == "" && s.Full != "" && on != "" && s.Full >= on && apart(on, s.Full) <= grainGrows
	}
	return false
}

// latest is the last day on which a batch can have got spawn, by what came after it; ""
// where that is not known. A vessel that was opened had been white, which takes some days
// at the least.
func latest(r protocol.Result, p *process.Process) string {
	if r.Given != "" {
		return r.Given
	}
	day := cmp.Or(r.Opened, r.Emptied)
	for _, x := range r.Picked {
		if day == "" || x.On < day {
			day = x.On
		}
	}
	d, err := calendar.Parse(day)
	if err != nil || p == nil {
		return day
	}
	for _, s := range p.Stages {
		if s.ID == "incubation" {
			d -= calendar.Date(s.Shortest / unit.Day)
		}
	}
	return max(d.String(), r.Mixed)
}

// speciesOf are those that spawn is known to have been given to; none where its batches
// tell nothing.
func (w *Web) speciesOf(n Node) map[string]bool {
	out := map[string]bool{}
	for _, b := range Of(Batch, w.Forward(n)) {
		if p := w.Processes[w.batches[b.Code].Protocol]; p != nil {
			out[p.Species.ID] = true
		}
	}
	return out
}

// apart is how many days a day is after another; the reader of files has seen both.
func apart(first, day string) int {
	a, errA := calendar.Parse(first)
	b, errB := calendar.Parse(day)
	if errA != nil || errB != nil {
		return 0 // a day that can't be read keeps nothing out
	}
	return int(b - a)
}
