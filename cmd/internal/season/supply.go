package season

import "slices"

// series are amounts by day, that grow on both sides as they are asked to.
type series struct {
	first  int
	values []int64
}

func (s *series) at(day int) int64 {
	if i := day - s.first; i >= 0 && i < len(s.values) {
		return s.values[i]
	}
	return 0
}

// ensure makes room for the days from up to to, to left out.
func (s *series) ensure(from, to int) {
	const spare = 32 // days, so that it does not grow with every need
	switch {
	case len(s.values) == 0:
		s.first, s.values = from-spare, make([]int64, to-from+2*spare)
		return
	case from < s.first:
		more := s.first - from + spare
		s.values = slices.Concat(make([]int64, more), s.values)
		s.first -= more
	}
	if end := s.first + len(s.values); to > end {
		s.values = append(s.values, make([]int64, to-end+spare)...)
	}
}

// supply is something of which there is so much a day and no more. Amounts are
// whole numbers: vessels, runs, seconds.
type supply struct {
	bounded  bool
	capacity int64
	of       []int64 // capacity by day from day 0, where it is not the same on every day; beyond it, capacity

	// A pool is shared out whole: what many put into it on a day is taken together
	// in lots, and each lot is one of another supply. into is that supply's place, -1
	// for a supply that is no pool. Nothing is taken below least.
	into       int
	lot, least int64
}

func (s *supply) on(day int) int64 {
	if day >= 0 && day < len(s.of) {
		return s.of[day]
	}
	return s.capacity
}

// lots is how many lots a sum in a pool takes.
func (s *supply) lots(sum int64) int64 {
	if sum < s.least || sum <= 0 {
		return 0
	}
	return (sum + s.lot - 1) / s.lot
}

// need is what a candidate takes of one supply on each of the days from up to to,
// to left out. Of several supplies that would do, it is the first that has it; and
// where it bears to wait, it is the first of its days. What goes into a pool goes
// where there is a lot begun, if it can.
type need struct {
	of       []int
	from, to int
	amount   int64
	later    []int // other days on which it may begin
}

// slot is what a need has got: a supply, from a day on.
type slot struct{ of, from int }

// at is the need where it has got a slot.
func (n need) at(x slot) need {
	n.from, n.to = x.from, n.to+x.from-n.from
	return n
}

// each calls f with each slot that would do, until f says that it is enough.
func (n need) each(f func(slot) bool) {
	for i := -1; i < len(n.later); i++ {
		from := n.from
		if i >= 0 {
			from = n.later[i]
		}
		for _, of := range n.of {
			if f(slot{of, from}) {
				return
			}
		}
	}
}

// account is how much of each supply is taken on each day.
type account struct {
	supplies []supply
	taken    []series
	work     int // days of needs that were looked at or booked so far
}

func newAccount(supplies []supply) *account {
	return &account{supplies: supplies, taken: make([]series, len(supplies))}
}

// short is the first day on which a supply does not have an amount more, and how
// much is missing then; 0 where there is none.
func (a *account) short(of int, n need) (day int, missing int64) {
	s := &a.supplies[of]
	a.work += n.to - n.from
	if s.into >= 0 {
		into := &a.supplies[s.into]
		if !into.bounded {
			return 0, 0
		}
		for d := n.from; d < n.to; d++ {
			sum := a.taken[of].at(d)
			more := s.lots(sum+n.amount) - s.lots(sum)
			if m := a.taken[s.into].at(d) + more - into.on(d); more > 0 && m > 0 {
				return d, m
			}
		}
		return 0, 0
	}
	if !s.bounded || n.amount == 0 {
		return 0, 0
	}
	for d := n.from; d < n.to; d++ {
		if m := a.taken[of].at(d) + n.amount - s.on(d); m > 0 {
			return d, m
		}
	}
	return 0, 0
}

// add takes an amount of a supply, whether it is there or not; of a negative one it
// gives back.
func (a *account) add(of int, n need, amount int64) {
	t := &a.taken[of]
	a.work += n.to - n.from
	t.ensure(n.from, n.to)
	s := &a.supplies[of]
	for d := n.from; d < n.to; d++ {
		i := d - t.first
		before := t.values[i]
		t.values[i] += amount
		if s.into >= 0 {
			into := &a.taken[s.into]
			into.ensure(d, d+1)
			into.values[d-into.first] += s.lots(t.values[i]) - s.lots(before)
		}
	}
}

// worst is the most that a supply lacks on one of the days of a need, with the need
// on top of what is taken.
func (a *account) worst(of int, n need) int64 {
	var most int64
	for d := n.from; d < n.to; d++ {
		one := n
		one.from, one.to = d, d+1
		if _, m := a.short(of, one); m > most {
			most = m
		}
	}
	return most
}

// lack is a need that can't be met: each slot that would have done, with the first
// day on which it is short.
type lack []short

type short struct {
	slot
	day int
}

// find is the slot for a need; where there is none, it says what lacks.
func (a *account) find(n need) (at slot, lacks lack) {
	found := false
	n.each(func(x slot) bool {
		day, missing := a.short(x.of, n.at(x))
		switch {
		case missing > 0:
			lacks = append(lacks, short{x, day})
			return false
		case a.supplies[x.of].into >= 0 && a.begins(x, n):
			if !found {
				at, found = x, true
			}
			return false // there may be a day with a lot begun
		}
		at, found = x, true
		return true
	})
	if found {
		lacks = nil
	}
	return at, lacks
}

// begins reports whether a need in a pool takes lots that are not begun.
func (a *account) begins(x slot, n need) bool {
	s := &a.supplies[x.of]
	sum := a.taken[x.of].at(x.from)
	return s.lots(sum+n.amount) > s.lots(sum)
}

// put takes all needs of a candidate and says which slot each has got. Where a need
// can't be met it takes nothing, and says what lacks.
func (a *account) put(needs []need) (got []slot, lacks lack) {
	got = make([]slot, len(needs))
	for i, n := range needs {
		if got[i], lacks = a.find(n); lacks != nil {
			a.take(needs[:i], got[:i])
			return nil, lacks
		}
		a.add(got[i].of, n.at(got[i]), n.amount)
	}
	return got, nil
}

// bound is the supply that sets the bound: of a pool that into which its lots go.
func (a *account) bound(of int) int {
	if into := a.supplies[of].into; into >= 0 {
		return into
	}
	return of
}

// force takes all needs of a candidate; those that can't be met, from the slot that
// lacks the least.
func (a *account) force(needs []need) []slot {
	got := make([]slot, len(needs))
	for i, n := range needs {
		at, lacks := a.find(n)
		if lacks != nil {
			least := int64(-1)
			n.each(func(x slot) bool {
				if m := a.worst(x.of, n.at(x)); least < 0 || m < least {
					at, least = x, m
				}
				return false
			})
		}
		got[i] = at
		a.add(at.of, n.at(at), n.amount)
	}
	return got
}

// take gives back what put or force took.
func (a *account) take(needs []need, got []slot) {
	for i, n := range needs {
		a.add(got[i].of, n.at(got[i]), -n.amount)
	}
}
