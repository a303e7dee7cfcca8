package season

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// improve looks for a better schedule from the one that there is, which order led
// to, as long as the account has done less than so much work.
func (s *schedule) improve(order []int, until int) {
	random := rand.New(rand.NewPCG(1, 2))
	left := until - s.acc.work
	s.pushAll(until - 3*left/4)
	s.travel(random, mostRuins*len(s.jobs), until-left/3)
	s.pushAll(until)
	for s.regroup(until) {
		s.pushAll(until)
	}
	best, value, gives := s.keep(), s.value(), map[int]int{}
	for tries := 0; tries < mostOrders && s.acc.work < until; tries++ {
		other := slices.Clone(order)
		if !s.advance(other, random) {
			break // nothing is late, and nothing is early
		}
		clear(gives)
		for random.IntN(3) > 0 {
			i := random.IntN(len(s.jobs))
			gives[i] = 1 + max(0, s.chosen[i]) + random.IntN(2)
		}
		s.serially(other, gives)
		s.pushAll(until)
		if v := s.value(); !value.less(v) {
			best, value, order = s.keep(), v, other
		} else {
			s.back(best)
		}
	}
}

// mostOrders is for few jobs: they do not take much work, and soon all is tried.
const (
	mostOrders = 200
	mostRuins  = 400 // a job
)

// advance moves jobs that could be better forwards in an order: one or two of them,
// some places or all the way. It reports whether there are any.
func (s *schedule) advance(order []int, random *rand.Rand) bool {
	var wanting []int
	for at, i := range order {
		if s.chosen[i] != 0 && s.jobs[i].at(0) != nil {
			wanting = append(wanting, at)
		}
	}
	if len(wanting) == 0 {
		return false
	}
	for range 1 + random.IntN(2) {
		at := wanting[random.IntN(len(wanting))]
		to := random.IntN(at + 1)
		if at-to > 12 && random.IntN(4) > 0 {
			to = at - 1 - random.IntN(12) // those near it are in its way
		}
		i := order[at]
		order = slices.Insert(slices.Delete(order, at, at+1), to, i)
	}
	return true
}

// pushAll pushes each job that could be better, until none gets so or so much work is
// done.
func (s *schedule) pushAll(until int) {
	for better := true; better; {
		better = false
		for i := range s.jobs {
			for k := 0; k != s.chosen[i] && k < mostPushed && s.jobs[i].at(k) != nil; k++ {
				if s.acc.work >= until {
					return
				}
				if s.push(i, k) {
					better = true
					break
				}
			}
		}
	}
}

// mostPushed is how many of the best candidates of a job others are pushed from, and
// mostLifted how many others at once.
const (
	mostPushed = 12
	mostLifted = 4
)

// stood is where a job was before it was moved.
type stood struct {
	job, chosen int
	got         []slot
}

// push puts a job on a candidate, lifts those that are in its way and places them
// anew. It takes all back where that is no better.
func (s *schedule) push(i, k int) bool {
	var before value
	var old []stood
	lift := func(j int) {
		c := s.cost(j)
		before.late, before.early = before.late+c.late, before.early+c.early
		old = append(old, stood{j, s.chosen[j], s.got[j]})
		s.lift(j)
	}
	undo := func() bool {
		for _, o := range old {
			s.lift(o.job)
		}
		for _, o := range old {
			s.stand(o)
		}
		return false
	}
	lift(i)
	c := s.jobs[i].at(k)
	got, lacks := s.acc.put(c.needs)
	for lacks != nil {
		out := s.inTheWay(i, lacks)
		if out < 0 || len(old) > mostLifted {
			return undo()
		}
		lift(out)
		got, lacks = s.acc.put(c.needs)
	}
	s.chosen[i], s.got[i] = k, got
	others := slices.Clone(old[1:])
	slices.SortStableFunc(others, func(x, y stood) int {
		return cmp.Or(cmp.Compare(s.jobs[x.job].due, s.jobs[y.job].due), cmp.Compare(x.job, y.job))
	})
	after := s.cost(i)
	for _, o := range others {
		s.place(o.job)
		c := s.cost(o.job)
		after.late, after.early = after.late+c.late, after.early+c.early
		if after.late > before.late {
			return undo()
		}
	}
	if !after.less(before) {
		return undo()
	}
	return true
}

// stand puts a job, which is out, back where it stood.
func (s *schedule) stand(o stood) {
	s.chosen[o.job], s.got[o.job] = o.chosen, o.got
	if c := s.of(o.job); c != nil {
		for n := range c.needs {
			s.acc.add(o.got[n], &c.needs[n], c.needs[n].amount)
		}
	}
}
