package season

import (
	"math"
	"slices"

	"bottlecrop/cmd/internal/unit"
)

// step is the least by which a resource is increased: one of it, or a quarter of an
// hour.
func (k Kind) step() int64 {
	if k.Timed() {
		return int64(unit.Hour) / 4
	}
	return 1
}

// together is what a job needs of several resources at once to be in time, with all
// others where they are: on that of its candidates on which it is the smallest part of
// what there is.
func (p *planning) together(i int) []Fix {
	var best []Fix
	least := math.Inf(1)
	p.aside(i, func() {
		for k := range p.jobs[i].inTime() {
			needs := p.jobs[i].at(k).needs
			got := p.schedule.acc.force(needs)
			if fixes, part := p.overdrawn(i, k, needs, got); part < least {
				best, least = fixes, part
			}
			p.schedule.acc.take(needs, got)
		}
	})
	return best
}

// overdrawn is what is lacking where a job has taken what is not there, and what part
// it is of what there is, all together. Loads and runs that lack time get a longer
// shift; where no shift is long enough, the part is beyond all bounds.
func (p *planning) overdrawn(i, k int, needs []need, got []slot) (fixes []Fix, part float64) {
	acc, shift := p.schedule.acc, false
	for of, r := range p.means.resources {
		var most int64
		for _, d := range p.over(of) {
			if covers(acc, needs, got, of, d) {
				most = max(most, acc.taken[of].at(d)-acc.supplies[of].capacity)
			}
		}
		switch {
		case most == 0:
		case r.Kind == Line || r.Kind == Runs:
			shift = true
		default:
			step := r.Kind.step()
			more := float64((most+step-1)/step*step) / scale(r.Kind)
			fixes, part = append(fixes, Fix{r.ID, more}), part+more/r.Capacity
		}
	}
	if shift {
		hours, ok := p.lengthen(i, k)
		if !ok {
			return nil, math.Inf(1)
		}
		fixes = slices.Insert(fixes, 0, Fix{id(Line, ""), hours})
		part += hours * unit.Hour / float64(p.in.Farm.Shift.Length)
	}
	return fixes, part
}

// covers reports whether needs take a resource on a day.
func covers(acc *account, needs []need, got []slot, of, day int) bool {
	for n, need := range needs {
		if need = need.at(got[n]); acc.bound(got[n].of) == of && need.from <= day && day < need.to {
			return true
		}
	}
	return false
}
