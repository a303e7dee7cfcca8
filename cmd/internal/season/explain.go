package season

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/unit"
)

// mostExplained is how many late deliveries are looked into for what would mend them,
// the heaviest lateness first; and mostTried of the resources in the way of each.
const (
	mostExplained = 40
	mostTried     = 3
)

// explain says what keeps deliveries from being in time.
func (p *planning) explain(s *Season) {
	var late []int // jobs that are late or not met, and could be in time
	for i, j := range p.jobs {
		if c := p.schedule.of(i); (c == nil || c.late > 0) && j.inTime() > 0 {
			late = append(late, i)
		}
	}
	slices.SortStableFunc(late, func(x, y int) int {
		return cmp.Compare(p.schedule.cost(y).late, p.schedule.cost(x).late)
	})
	for n, i := range late {
		blocks := p.blockers(i)
		if len(blocks) == 0 {
			continue
		}
		var fixes, together []Fix
		if n < mostExplained {
			if fixes = p.fixes(i, blocks); len(fixes) == 0 {
				together = p.together(i)
			}
		}
		for _, d := range p.of[i].deliveries {
			s.Deliveries[d].Blocked = p.means.resources[blocks[0]].ID
			s.Deliveries[d].WouldFix, s.Deliveries[d].Together = fixes, together
		}
	}
	for i, c := range p.schedule.chosen {
		if c == nowhere && p.jobs[i].inTime() == 0 {
			p.blockLate(s, i)
		}
	}
	s.Shortages = p.shortages(late)
}

// blockLate says what keeps a delivery, which is too late for the time alone, from
// being met at all.
func (p *planning) blockLate(s *Season, i int) {
	if c := p.jobs[i].at(0); c != nil {
		if _, lacks := p.schedule.acc.put(c.needs); lacks != nil {
			for _, d := range p.of[i].deliveries {
				s.Deliveries[d].Blocked = p.means.resources[p.schedule.acc.bound(lacks[0].of)].ID
			}
		}
	}
}

// aside takes a job out for the time of a question.
func (p *planning) aside(i int, ask func()) {
	old := p.schedule.keep()
	p.schedule.lift(i)
	ask()
	p.schedule.back(old)
}

// blockers are the resources that keep a job from its candidates in time: first those
// that would even if there were nothing else to do, then that which is most often in
// the way.
func (p *planning) blockers(i int) []int {
	empty := p.lacks(i, newAccount(p.means.supplies))
	var taken []int
	p.aside(i, func() { taken = p.lacks(i, p.schedule.acc) })
	for _, of := range taken {
		if !slices.Contains(empty, of) {
			empty = append(empty, of)
		}
	}
	return empty
}

// lacks are the resources that an account lacks for the candidates of a job in time,
// that which lacks most often first.
func (p *planning) lacks(i int, acc *account) []int {
	count, order := map[int]int{}, []int(nil)
	for k := range p.jobs[i].inTime() {
		needs := p.jobs[i].at(k).needs
		got, lacks := acc.put(needs)
		if lacks == nil { // it is there already, where it stands
			acc.take(needs, got)
		}
		for _, l := range lacks {
			of := acc.bound(l.of)
			if count[of]++; count[of] == 1 {
				order = append(order, of)
			}
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(count[b], count[a]) })
	return order
}

// fixes are the smallest increases of one resource each with which a job is done in
// time, and the season is no later than it is.
func (p *planning) fixes(i int, blocks []int) []Fix {
	var out []Fix
	shift := false
	for _, of := range blocks[:min(mostTried, len(blocks))] {
		r := p.means.resources[of]
		if (r.Kind == Line || r.Kind == Runs) && !shift {
			shift = true
			if hours, ok := p.longerShift(i); ok {
				out = append(out, Fix{id(Line, ""), hours})
			}
		}
		if r.Kind == Line {
			continue
		}
		step := r.Kind.step()
		enough, ok := p.missing(i, of)
		if !ok {
			continue
		}
		// Others may move: so less may do than what the job lacks where it is put.
		low, high := int64(0), (enough+step-1)/step
		for low+1 < high {
			if mid := (low + high) / 2; p.with(of, mid*step, i) {
				high = mid
			} else {
				low = mid
			}
		}
		out = append(out, Fix{r.ID, float64(high*step) / scale(r.Kind)})
	}
	slices.SortStableFunc(out, func(a, b Fix) int {
		share := func(f Fix) float64 { return f.More / p.means.resources[p.means.at[f.Resource]].Capacity }
		return cmp.Compare(share(a), share(b))
	})
	return out
}

// missing is how much more of one resource a job needs for a candidate in time, with
// all others where they are; false where something else lacks too.
func (p *planning) missing(i, of int) (least int64, ok bool) {
	acc := p.schedule.acc
	p.unbounded(i, []int{of}, func(int) {
		var most int64
		for _, d := range p.over(of) {
			most = max(most, acc.taken[of].at(d)-acc.supplies[of].capacity)
		}
		if !ok || most < least {
			least, ok = most, true
		}
	})
	return least, ok
}

// unbounded puts a job on each candidate in time for which nothing but some resources
// lack, and calls f for each.
func (p *planning) unbounded(i int, of []int, f func(k int)) {
	acc := p.schedule.acc
	p.aside(i, func() {
		for k := range p.jobs[i].inTime() {
			needs := p.jobs[i].at(k).needs
			was := make([]bool, len(of))
			for n, r := range of {
				was[n], acc.supplies[r].bounded = acc.supplies[r].bounded, false
			}
			got, lacks := acc.put(needs)
			for n, r := range of {
				acc.supplies[r].bounded = was[n]
			}
			if lacks == nil {
				f(k)
				acc.take(needs, got)
			}
		}
	})
}

// over are the days on which a resource is overdrawn.
func (p *planning) over(of int) []int {
	var out []int
	acc := p.schedule.acc
	for at, n := range acc.taken[of].values {
		if d := acc.taken[of].first + at; acc.supplies[of].bounded && n > acc.supplies[of].on(d) {
			out = append(out, d)
		}
	}
	return out
}

// with plans the season again with more of one resource, and reports whether a job is
// in time then, and the season no later.
func (p *planning) with(of int, more int64, i int) bool {
	s := p.schedule
	old, was := s.keep(), s.acc.supplies[of].capacity
	s.acc.supplies[of].capacity += more
	done := false
	for k := 0; k < s.jobs[i].inTime() && !done; k++ {
		done = s.push(i, k)
	}
	s.back(old)
	s.acc.supplies[of].capacity = was
	return done
}

// longerShift is by how many hours the shift has to be longer for a job in time. A
// longer shift takes more loads and more runs, so it is not the hours that lack: it is
// tried in quarters of an hour.
func (p *planning) longerShift(i int) (hours float64, ok bool) {
	if p.in.Farm.Shift == nil {
		return 0, false
	}
	bound := p.timed()
	p.unbounded(i, bound, func(k int) {
		if more, can := p.lengthen(i, k); can && (!ok || more < hours) {
			hours, ok = more, true
		}
	})
	return hours, ok
}

// timed are the resources that a longer shift makes more of: the line, and then the
// sterilizers in the farm's order.
func (p *planning) timed() []int {
	out := []int{p.means.at[id(Line, "")]}
	for _, s := range p.in.Farm.Sterilizers {
		out = append(out, p.means.at[id(Runs, s.ID)])
	}
	return out
}

// lengthen is by how many hours the shift has to be longer for all loads and runs that
// are booked, with job i on its candidate k.
func (p *planning) lengthen(i, k int) (hours float64, ok bool) {
	for quarters := 1; ; quarters++ {
		more := float64(quarters) / 4
		longer := float64(p.in.Farm.Shift.Length) + more*float64(unit.Hour)
		if longer > float64(unit.Day) {
			return 0, false
		}
		if p.fits(longer, p.timed(), i, k) {
			return more, true
		}
	}
}

// fits reports whether a shift of s has time for what is overdrawn, with job i on its
// candidate k.
func (p *planning) fits(s float64, bound []int, i, k int) bool {
	if slices.ContainsFunc(p.over(bound[0]), func(d int) bool { return p.crowded(d, s, i, k) }) {
		return false
	}
	for n, ster := range p.in.Farm.Sterilizers {
		of := bound[n+1]
		runs := int64(runsOf(ster, p.means.batches, s))
		if slices.ContainsFunc(p.over(of), func(d int) bool { return p.schedule.acc.taken[of].at(d) > runs }) {
			return false
		}
	}
	return true
}

// crowded reports whether the loads of a day are too many for a shift of s, with job i
// on its candidate k.
func (p *planning) crowded(day int, s float64, i, k int) bool {
	part := 0.0
	add := func(t *taking) {
		for _, c := range t.plan.Cohorts {
			if int(c.Mixing) == day {
				part += float64(len(c.Loads)) / float64(loadsFit(t.batch, s))
			}
		}
	}
	for _, r := range p.running {
		add(r.taking)
	}
	for j, w := range p.of {
		switch c := p.schedule.chosen[j]; {
		case j == i:
			add(w.takings[k])
		case c != nowhere:
			add(w.takings[c])
		}
	}
	return part > 1+1e-9
}

// shortages are what each resource would lack were the late jobs in time, each where
// it lacks the least.
func (p *planning) shortages(late []int) []Shortage {
	s := p.schedule
	old := s.keep()
	for _, i := range late {
		s.lift(i)
	}
	slices.SortFunc(late, func(x, y int) int { return cmp.Or(cmp.Compare(s.jobs[x].due, s.jobs[y].due), cmp.Compare(x, y)) })
	for _, i := range late {
		best, least := 0, math.Inf(1)
		for k := range s.jobs[i].inTime() {
			if lacks := p.lacking(s.jobs[i].at(k).needs); lacks < least {
				best, least = k, lacks
			}
		}
		s.chosen[i], s.got[i] = best, s.acc.force(s.jobs[i].at(best).needs)
	}
	var out []Shortage
	for of, r := range p.means.resources {
		short := Shortage{Resource: r.ID}
		days := p.over(of)
		for _, i := range late {
			if p.onDays(i, of, days) {
				short.Deliveries = append(short.Deliveries, p.of[i].deliveries...)
			}
		}
		if len(short.Deliveries) == 0 {
			continue
		}
		worst := int64(0)
		for _, d := range days {
			if m := s.acc.taken[of].at(d) - s.acc.supplies[of].on(d); m > worst {
				worst, short.Day = m, calendar.Date(d)
			}
		}
		short.Short = float64(worst) / scale(r.Kind)
		slices.Sort(short.Deliveries)
		out = append(out, short)
	}
	s.back(old)
	slices.SortStableFunc(out, func(a, b Shortage) int {
		share := func(x Shortage) float64 { return x.Short / p.means.resources[p.means.at[x.Resource]].Capacity }
		return cmp.Or(cmp.Compare(len(b.Deliveries), len(a.Deliveries)), cmp.Compare(share(b), share(a)))
	})
	return out
}

// lacking is how much needs would overdraw, as a sum of shares of what there is.
func (p *planning) lacking(needs []need) float64 {
	acc, sum := p.schedule.acc, 0.0
	got := acc.force(needs)
	for i := range needs {
		of := acc.bound(got[i].of)
		if s := acc.supplies[of]; s.bounded {
			if m := acc.taken[of].at(got[i].from) - s.on(got[i].from); m > 0 {
				sum += float64(m) / float64(max(1, s.capacity))
			}
		}
	}
	acc.take(needs, got)
	return sum
}

// onDays reports whether a job takes a resource on one of some days, which ascend.
func (p *planning) onDays(i, of int, days []int) bool {
	s := p.schedule
	for n, need := range s.of(i).needs {
		if at := s.got[i][n]; s.acc.bound(at.of) == of {
			need = need.at(at)
			if first, _ := slices.BinarySearch(days, need.from); first < len(days) && days[first] < need.to {
				return true
			}
		}
	}
	return false
}
