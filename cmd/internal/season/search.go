package season

import (
	"cmp"
	"slices"
)

// mostTogether is how many jobs are placed anew at once, by a search through all ways
// of it, and mostWork for how much work at the most.
const (
	mostTogether = 6
	mostWork     = 400_000
)

// regroup takes each job that could be better together with those in its way, and
// searches through all ways to place them; as long as the account has done less than
// so much work. It reports whether anything got better.
func (s *schedule) regroup(until int) bool {
	better := false
	for i := range s.jobs {
		if s.chosen[i] == 0 || s.jobs[i].at(0) == nil {
			continue
		}
		if s.acc.work >= until {
			break
		}
		if s.search(s.group(i)) {
			better = true
		}
	}
	return better
}

// group is a job with others that are in its way on its best candidates, and with
// those that are in their way.
func (s *schedule) group(i int) []int {
	group := []int{i}
	for at := 0; at < len(group) && len(group) < mostTogether; at++ {
		j := group[at]
		old := stood{j, s.chosen[j], s.got[j]}
		s.lift(j)
		for k := 0; k < mostPushed && s.jobs[j].at(k) != nil && (old.chosen == nowhere || k < old.chosen || k == 0); k++ {
			needs := s.jobs[j].at(k).needs
			got, lacks := s.acc.put(needs)
			if lacks == nil {
				s.acc.take(needs, got)
			}
			for other := range s.jobs {
				if len(group) < mostTogether && other != j && !slices.Contains(group, other) && s.holds(other, lacks) {
					group = append(group, other)
				}
			}
		}
		s.stand(old)
	}
	return group
}

// search lifts some jobs and places them anew in the best of all ways, with the
// supplies that each need finds first. What is no better is taken back.
func (s *schedule) search(group []int) bool {
	slices.SortStableFunc(group, func(x, y int) int {
		return cmp.Or(cmp.Compare(s.jobs[y].weight, s.jobs[x].weight), cmp.Compare(x, y))
	})
	best := make([]stood, len(group))
	var least value
	for n, j := range group {
		best[n] = stood{j, s.chosen[j], s.got[j]}
		c := s.cost(j)
		least.late, least.early = least.late+c.late, least.early+c.early
	}
	for _, j := range group {
		s.lift(j)
	}
	better, until := false, s.acc.work+mostWork
	var place func(n int, v value)
	place = func(n int, v value) {
		if n == len(group) {
			if v.less(least) {
				least, better = v, true
				for m, j := range group {
					best[m] = stood{j, s.chosen[j], s.got[j]}
				}
			}
			return
		}
		j := group[n]
		for k := 0; s.acc.work < until && s.jobs[j].at(k) != nil; k++ {
			c := s.jobs[j].at(k)
			w := value{v.late + int64(c.late)*s.jobs[j].weight, v.early}
			if w.late > least.late {
				return // the others are later still
			}
			got, lacks := s.acc.put(c.needs)
			if lacks != nil {
				continue
			}
			s.chosen[j], s.got[j] = k, got
			w.early += s.cost(j).early
			place(n+1, w)
			s.lift(j)
		}
		if w := (value{v.late + s.cost(j).late, v.early}); w.late <= least.late {
			place(n+1, w)
		}
	}
	place(0, value{})
	for _, b := range best {
		s.stand(b)
	}
	return better
}
