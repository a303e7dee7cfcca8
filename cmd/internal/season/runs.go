package season

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/calendar"
)

// RunOf is what a run of a sterilizer is with.
type RunOf string

// What runs are with.
const (
	Load  RunOf = "load"  // vessels that are mixed on that day
	Spawn RunOf = "spawn" // jars of grain
	Bad   RunOf = "bad"   // vessels that are lost, before they are opened
)

// Run is what one sterilizer does on a day with one kind of thing.
type Run struct {
	Day        calendar.Date
	Sterilizer string
	With       RunOf
	Runs       int     // 0 of bad ones where none is expected
	Vessels    float64 // or jars; of bad ones those that are expected
	Batches    []int   // places in Season.Batches
}

// runs lists the runs of all batches, by day.
func (p *planning) runs(s *Season, takings []*taking, got [][]slot) {
	type key struct {
		day  calendar.Date
		ster string
		with RunOf
	}
	of := map[key]*Run{}
	add := func(k key, batch, runs int, vessels float64) {
		r := of[k]
		if r == nil {
			r = &Run{Day: k.day, Sterilizer: k.ster, With: k.with}
			of[k] = r
		}
		r.Runs, r.Vessels = r.Runs+runs, r.Vessels+vessels
		if !slices.Contains(r.Batches, batch) {
			r.Batches = append(r.Batches, batch)
		}
	}
	pools := map[int]key{}
	for _, ster := range p.in.Farm.Sterilizers {
		if at, ok := p.means.at[grainPool+":"+ster.ID]; ok {
			pools[at] = key{ster: ster.ID, with: Spawn}
		}
		if at, ok := p.means.at[killPool+":"+ster.ID]; ok {
			pools[at] = key{ster: ster.ID, with: Bad}
		}
	}
	for i, t := range takings {
		for _, c := range t.plan.Cohorts {
			if c.Mixing >= t.since {
				add(key{c.Mixing, t.batch.Process.Sterilizer.ID, Load}, i, len(c.Loads), float64(c.Vessels))
			}
		}
		for n, need := range t.needs {
			if k, ok := pools[got[i][n].of]; ok {
				k.day = calendar.Date(got[i][n].from)
				vessels := float64(need.amount)
				if k.with == Bad {
					vessels /= milli
				}
				add(k, i, 0, vessels)
			}
		}
	}
	for at, k := range pools {
		for d := s.First; d <= s.Last; d++ {
			k.day = d
			if r := of[k]; r != nil {
				r.Runs = int(p.means.supplies[at].lots(p.schedule.acc.taken[at].at(int(d))))
			}
		}
	}
	for _, r := range of {
		slices.Sort(r.Batches)
		s.Runs = append(s.Runs, *r)
	}
	rank := []RunOf{Load, Spawn, Bad}
	slices.SortFunc(s.Runs, func(a, b Run) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Sterilizer, b.Sterilizer), cmp.Compare(slices.Index(rank, a.With), slices.Index(rank, b.With)))
	})
}
