package season

import "math/rand/v2"

// mostWorse is how much more lateness than the least so far is borne on the way to
// something better, as a share of it (record-to-record travel, Dueck 1993, Journal of
// Computational Physics 104:86, from memory).
const mostWorse = 0.08

// travel lifts and places anew, again and again, some jobs at a time, and ends with the
// best that it came by.
func (s *schedule) travel(random *rand.Rand, tries, until int) {
	best, kept, now := s.value(), s.keep(), s.value()
	for ; tries > 0 && s.acc.work < until; tries-- {
		bears := best.late + int64(mostWorse*float64(best.late)) - now.late
		by, ok := s.ruin(random, bears)
		if !ok {
			break // nothing is late, and nothing is early
		}
		if now = now.plus(by); now.less(best) {
			best, kept = now, s.keep()
		}
	}
	s.back(kept)
}

// ruin lifts a job that could be better with some that are in its way or due when it
// is, and places them anew in another order: the job first, more often than not. It
// takes back what is later by more than is borne, and says by how much the value has
// changed; false is that no job could be better.
func (s *schedule) ruin(random *rand.Rand, bears int64) (by value, ok bool) {
	wanting := s.wanting()
	if len(wanting) == 0 {
		return value{}, false
	}
	i := wanting[random.IntN(len(wanting))]
	group := s.group(i)
	for range random.IntN(4) {
		near := random.IntN(len(s.jobs))
		for range 3 { // the nearest due of some
			if other := random.IntN(len(s.jobs)); apartBy(s.jobs[other].due, s.jobs[i].due) < apartBy(s.jobs[near].due, s.jobs[i].due) {
				near = other
			}
		}
		group = append(group, near)
	}
	random.Shuffle(len(group)-1, func(a, b int) { group[a+1], group[b+1] = group[b+1], group[a+1] })
	if random.IntN(3) == 0 {
		random.Shuffle(len(group), func(a, b int) { group[a], group[b] = group[b], group[a] })
	}
	var before, after value
	var old []stood
	lifted := map[int]bool{}
	order := group[:0]
	for _, j := range group {
		if lifted[j] {
			continue
		}
		lifted[j] = true
		order = append(order, j)
		before = before.plus(s.cost(j))
		old = append(old, stood{j, s.chosen[j], s.got[j]})
		s.lift(j)
	}
	for _, j := range order {
		without := 0
		if random.IntN(8) == 0 {
			without = 1 + random.IntN(3)
		}
		s.placeFrom(j, without)
		after = after.plus(s.cost(j))
		if after.late-before.late > bears {
			s.undo(old)
			return value{}, true
		}
	}
	if bears == 0 && before.less(after) {
		s.undo(old)
		return value{}, true
	}
	return value{after.late - before.late, after.early - before.early}, true
}

// wanting are the jobs that could be better, those that are late once more.
func (s *schedule) wanting() []int {
	var out []int
	for i, j := range s.jobs {
		if s.chosen[i] == 0 || j.at(0) == nil {
			continue
		}
		out = append(out, i)
		if s.cost(i).late > 0 {
			out = append(out, i, i, i)
		}
	}
	return out
}

func apartBy(a, b int) int { return max(a-b, b-a) }

func (v value) plus(o value) value { return value{v.late + o.late, v.early + o.early} }

// undo puts jobs back where they stood.
func (s *schedule) undo(old []stood) {
	for _, o := range old {
		s.lift(o.job)
	}
	for _, o := range old {
		s.stand(o)
	}
}
