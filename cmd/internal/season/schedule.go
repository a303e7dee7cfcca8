package season

import (
	"cmp"
	"math"
	"slices"
)

// candidate is one way to do a job.
type candidate struct {
	late        int // days
	start       int // day
	waits       int // days that what it needs is ready too soon
	needs       []need
	first, last int // of the days that it may take anything on; both 0 until they are asked for
}

// span are the days that a candidate may take anything on, to left out.
func (c *candidate) span() (from, to int) {
	if c.first == c.last {
		c.first, c.last = math.MaxInt, math.MinInt
		for _, n := range c.needs {
			c.first, c.last = min(c.first, n.from), max(c.last, n.to)
			for _, d := range n.later {
				c.last = max(c.last, d+n.to-n.from)
			}
		}
	}
	return c.first, c.last
}

// job is something to be done once, on one of its candidates or not at all.
type job struct {
	due    int
	weight int64 // of a day late
	unmet  int   // days late that it counts for where it is not done
	known  []candidate

	// more gives the next candidates, in the order of preference: the least late
	// first, and of these the latest start. None is the end. It is nil where all are
	// known.
	more func() []candidate
}

// at is the k-th candidate, nil beyond the last.
func (j *job) at(k int) *candidate {
	for k >= len(j.known) {
		if j.more == nil {
			return nil
		}
		next := j.more()
		if len(next) == 0 {
			j.more = nil
			return nil
		}
		j.known = append(j.known, next...)
	}
	return &j.known[k]
}

// inTime is the number of candidates that are not late.
func (j *job) inTime() int {
	n := 0
	for c := j.at(n); c != nil && c.late == 0; c = j.at(n) {
		n++
	}
	return n
}

// nowhere is the choice of a job that is not done.
const nowhere = -1

// schedule is a choice for each job, with what it takes.
type schedule struct {
	jobs   []*job
	acc    *account
	chosen []int    // candidate, or nowhere
	got    [][]slot // of each need of it
}

func newSchedule(jobs []*job, acc *account) *schedule {
	s := &schedule{jobs, acc, make([]int, len(jobs)), make([][]slot, len(jobs))}
	for i := range s.chosen {
		s.chosen[i] = nowhere
	}
	return s
}

// value is what a schedule is judged by, the smaller the better: lateness first,
// days times weight, then how early its jobs start, and then how long what they need
// waits for them.
type value struct{ late, early int64 }

// startWeight puts a day of the start over any wait of what is needed for it.
const startWeight = 100

func (v value) less(o value) bool {
	return cmp.Or(cmp.Compare(v.late, o.late), cmp.Compare(v.early, o.early)) < 0
}

func (s *schedule) of(i int) *candidate {
	if s.chosen[i] == nowhere {
		return nil
	}
	return &s.jobs[i].known[s.chosen[i]]
}

// cost is what one job adds to the value.
func (s *schedule) cost(i int) value {
	j, c := s.jobs[i], s.of(i)
	if c == nil {
		return value{late: int64(j.unmet) * j.weight}
	}
	return value{int64(c.late) * j.weight, int64(c.waits - startWeight*c.start)}
}

func (s *schedule) value() value {
	var v value
	for i := range s.jobs {
		c := s.cost(i)
		v.late += c.late
		v.early += c.early
	}
	return v
}

// lift takes a job out.
func (s *schedule) lift(i int) {
	if c := s.of(i); c != nil {
		s.acc.take(c.needs, s.got[i])
		s.chosen[i], s.got[i] = nowhere, nil
	}
}

// place puts a job, which is out, on the first candidate that there is room for.
func (s *schedule) place(i int) { s.placeFrom(i, 0) }

// placeFrom is place from the k-th candidate on.
func (s *schedule) placeFrom(i, k int) {
	for ; ; k++ {
		c := s.jobs[i].at(k)
		if c == nil {
			return
		}
		if got, lacks := s.acc.put(c.needs); lacks == nil {
			s.chosen[i], s.got[i] = k, got
			return
		}
	}
}

// serially places all jobs from nothing, in an order. Some of them give way: they do
// without so many of their first candidates.
func (s *schedule) serially(order []int, gives map[int]int) {
	for i := range s.jobs {
		s.lift(i)
	}
	for _, i := range order {
		s.placeFrom(i, gives[i])
	}
}

// kept is a schedule to go back to.
type kept struct {
	chosen []int
	got    [][]slot
}

func (s *schedule) keep() kept { return kept{slices.Clone(s.chosen), slices.Clone(s.got)} }

func (s *schedule) back(k kept) {
	for i := range s.jobs {
		if s.chosen[i] != k.chosen[i] || !slices.Equal(s.got[i], k.got[i]) {
			s.lift(i)
		}
	}
	for i := range s.jobs {
		if s.chosen[i] == nowhere && k.chosen[i] != nowhere {
			s.stand(stood{i, k.chosen[i], k.got[i]})
		}
	}
}

// effort is how long a better schedule of so many jobs is looked for: the days of
// needs that are looked at or booked. It is no time, so that the same jobs give the
// same schedule on any machine. Chosen by the measurements in the tests.
func effort(jobs int) int { return min(500_000*jobs, 50_000_000) }

// solve finds a schedule in which no supply is overdrawn. It places the jobs one by
// one, by the day on which they are due, each on the best day that is left (serial
// schedule generation, Kolisch 1996, European Journal of Operational Research
// 90:320, from memory). Then it tries other orders, with late jobs moved forwards,
// with some that give way, and for single jobs a better day from which it
// pushes those that are in the way. It keeps what is no worse, and never what
// overdraws.
func (s *schedule) solve(effort int) {
	order := make([]int, len(s.jobs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		a, b := s.jobs[x], s.jobs[y]
		return cmp.Or(cmp.Compare(a.due, b.due), cmp.Compare(b.weight, a.weight))
	})
	s.serially(order, nil)
	s.improve(order, s.acc.work+effort)
	s.settle()
}

// settle places each job anew, until none gets any better by itself.
func (s *schedule) settle() {
	for better := true; better; {
		better = false
		for i := range s.jobs {
			if was := s.chosen[i]; was != 0 {
				s.lift(i)
				s.place(i)
				better = better || s.chosen[i] != was
			}
		}
	}
}

// inTheWay is the job to be lifted for another, i, so that there is more of what it
// lacks: that of the least weight, and of these the one due last. It is -1 where
// there is none, because it is taken by nobody that could go.
func (s *schedule) inTheWay(i int, lacks lack) int {
	out := -1
	for j := range s.jobs {
		if j == i || !s.holds(j, lacks) {
			continue
		}
		if out < 0 || s.jobs[j].weight < s.jobs[out].weight || s.jobs[j].weight == s.jobs[out].weight && s.jobs[j].due > s.jobs[out].due {
			out = j
		}
	}
	return out
}

// holds reports whether a job has got some of what lacks.
func (s *schedule) holds(j int, lacks lack) bool {
	c := s.of(j)
	if c == nil {
		return false
	}
	s.acc.work += len(lacks)
	from, to := c.span()
	for _, l := range lacks {
		if l.day < from || l.day >= to {
			continue
		}
		bound := s.acc.bound(l.of)
		for n := range c.needs {
			has, at := &c.needs[n], s.got[j][n]
			if at.from <= l.day && l.day < at.from+has.to-has.from && s.acc.bound(at.of) == bound {
				s.acc.work += n
				return true
			}
		}
		s.acc.work += len(c.needs)
	}
	return false
}
