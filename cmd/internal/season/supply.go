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

// within are the amounts of the days from up to to, to left out, as far as any were ever
// taken; from is not before the first of them.
func (s *series) within(from, to int) []int64 {
	i, j := from-s.first, min(to-s.first, len(s.values))
	if i >= j {
		return nil
	}
	return s.values[i:j]
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
func (n *need) each(f func(slot) bool) {
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

	got   []slot // of the needs that are being put
	lacks lack   // of the need that was looked for last
}

func newAccount(supplies []supply) *account {
	return &account{supplies: supplies, taken: make([]series, len(supplies))}
}

// short is the first day of a need in a slot on which its supply does not have the amount
// more, and how much is missing then; 0 where there is none.
func (a *account) short(x slot, n *need) (day int, missing int64) {
	s, t := &a.supplies[x.of], &a.taken[x.of]
	from, to := x.from, x.from+n.to-n.from
	a.work += to - from
	switch {
	case s.into >= 0:
		return a.shortPool(x, n)
	case !s.bounded || n.amount == 0:
		return 0, 0
	case s.of == nil && n.amount <= s.capacity: // a day on which nothing is taken is not short
		first := max(from, t.first)
		for i, taken := range t.within(first, to) {
			if m := taken + n.amount - s.capacity; m > 0 {
				return first + i, m
			}
		}
		return 0, 0
	}
	for d := from; d < to; d++ {
		if m := t.at(d) + n.amount - s.on(d); m > 0 {
			return d, m
		}
	}
	return 0, 0
}

// shortPool is short for a need in a pool: what is missing is of that into which its lots
// go.
func (a *account) shortPool(x slot, n *need) (day int, missing int64) {
	s := &a.supplies[x.of]
	into := &a.supplies[s.into]
	if !into.bounded {
		return 0, 0
	}
	for d := x.from; d < x.from+n.to-n.from; d++ {
		sum := a.taken[x.of].at(d)
		more := s.lots(sum+n.amount) - s.lots(sum)
		if m := a.taken[s.into].at(d) + more - into.on(d); more > 0 && m > 0 {
			return d, m
		}
	}
	return 0, 0
}

// add takes an amount of a need in a slot, whether it is there or not; of a negative one
// it gives back.
func (a *account) add(x slot, n *need, amount int64) {
	s, t := &a.supplies[x.of], &a.taken[x.of]
	from, to := x.from, x.from+n.to-n.from
	a.work += to - from
	t.ensure(from, to)
	values := t.values[from-t.first : to-t.first]
	if s.into < 0 {
		for i := range values {
			values[i] += amount
		}
		return
	}
	into := &a.taken[s.into]
	into.ensure(from, to)
	for i, before := range values {
		values[i] += amount
		into.values[from+i-into.first] += s.lots(values[i]) - s.lots(before)
	}
}

// worst is the most that a supply lacks on one of the days of a need in a slot, with the
// need on top of what is taken.
func (a *account) worst(x slot, n *need) int64 {
	var most int64
	for d := x.from; d < x.from+n.to-n.from; d++ {
		one := need{from: d, to: d + 1, amount: n.amount}
		if _, m := a.short(slot{x.of, d}, &one); m > most {
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

// find is the slot for a need; where there is none, it says what lacks, which holds until
// the next is looked for.
func (a *account) find(n *need) (at slot, lacks lack) {
	lacks = a.lacks[:0]
	found := false
	n.each(func(x slot) bool {
		day, missing := a.short(x, n)
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
	a.lacks = lacks
	if found {
		return at, nil
	}
	return at, lacks
}

// begins reports whether a need in a pool takes lots that are not begun.
func (a *account) begins(x slot, n *need) bool {
	s := &a.supplies[x.of]
	sum := a.taken[x.of].at(x.from)
	return s.lots(sum+n.amount) > s.lots(sum)
}

// put takes all needs of a candidate and says which slot each has got. Where a need
// can't be met it takes nothing, and says what lacks, which holds until the next is put.
func (a *account) put(needs []need) (got []slot, lacks lack) {
	a.got = slices.Grow(a.got[:0], len(needs))[:len(needs)]
	for i := range needs {
		n := &needs[i]
		if a.got[i], lacks = a.find(n); lacks != nil {
			a.take(needs[:i], a.got[:i])
			return nil, lacks
		}
		a.add(a.got[i], n, n.amount)
	}
	return slices.Clone(a.got), nil // most are not met, so that none is made before it is known
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
	for i := range needs {
		n := &needs[i]
		at, lacks := a.find(n)
		if lacks != nil {
			least := int64(-1)
			n.each(func(x slot) bool {
				if m := a.worst(x, n); least < 0 || m < least {
					at, least = x, m
				}
				return false
			})
		}
		got[i] = at
		a.add(at, n, n.amount)
	}
	return got
}

// take gives back what put or force took.
func (a *account) take(needs []need, got []slot) {
	for i := range needs {
		a.add(got[i], &needs[i], -needs[i].amount)
	}
}
