package calendar

import (
	"errors"
	"sort"

	"bottlecrop/cmd/internal/batch"
)

// Basis is how sure a delivery has to be.
type Basis int

// The bases.
const (
	Usually Basis = iota // stages are as long as they usually are
	Safely               // nine of ten batches are picked in time
)

// Backwards plans a batch so that it is picked by a day of delivery, and begins as
// late as it can. Where today is known and too late for that, the error is a
// *TooLate.
func Backwards(b *batch.Batch, w Workdays, delivery Date, basis Basis, today *Date) (*Plan, error) {
	l, err := newLayout(b, w)
	if err != nil {
		return nil, err
	}
	if delivery < First || delivery > Last {
		return nil, &OutOfYears{delivery}
	}
	by := func(start Date) (Date, error) {
		cohorts, err := l.lay(start)
		if err != nil {
			return 0, err
		}
		if basis == Safely {
			return l.safe(cohorts), nil
		}
		return l.ready(cohorts, l.usual), nil
	}
	// A batch that begins later is never picked sooner, so halving finds the last
	// day on which it may begin.
	n := sort.Search(int(delivery-First)+1, func(i int) bool {
		ready, err := by(First + Date(i))
		return err != nil || ready > delivery
	})
	if n == 0 {
		if _, err := by(First); err != nil {
			return nil, err
		}
		return nil, &OutOfYears{delivery}
	}
	// Where the years that can be planned end sooner than the delivery, that day is
	// the last before their end, and the crop would lie for months.
	var out *OutOfYears
	if n <= int(delivery-First) {
		if _, err := by(First + Date(n)); errors.As(err, &out) {
			return nil, &OutOfYears{delivery}
		}
	}
	p, err := l.plan(b, First+Date(n-1))
	if err != nil {
		return nil, err
	}
	if today != nil && p.Start < *today {
		soonest, err := by(*today)
		if err != nil {
			return nil, err
		}
		return nil, &TooLate{delivery, p.Start, *today, soonest}
	}
	return p, nil
}
