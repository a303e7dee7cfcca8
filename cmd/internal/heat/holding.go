package heat

import (
	"fmt"
	"math"
	"sort"
)

// Holding is what every hold would give, up to some longest one: one solution
// that goes on at the temperature of the hold, for doses only ever grow.
type Holding struct {
	Hold  []float64 // s since the hold began, from 0 up
	Least []float64 // dose of the slowest place after such a hold, s
	Rates []float64 // at which it grows there
}

// Holds solves a problem with a hold of up to longest (s) instead of the one
// that it has, and stops as soon as the least dose is enough (s); 0 goes on to
// the end. The surroundings keep the temperature that they have when the hold
// begins. What comes after the hold does not count.
func Holds(p Problem, longest, enough float64) (*Holding, error) {
	if p.Grid == (Grid{}) {
		p.Grid = DefaultGrid
	}
	if err := within("longest hold", "s", longest, p.Grid.Step, mostTime, "it must be a step or more"); err != nil {
		return nil, err
	}
	if err := within("dose that is enough", "s", enough, 0, math.MaxFloat64, ""); err != nil {
		return nil, err
	}
	if p.Later != nil && p.Later.At >= p.HoldFrom {
		p.Later = nil
	}
	if err := p.Chamber.check(); err != nil {
		return nil, err
	}
	if err := within("start of the hold", "s", p.HoldFrom, 0, mostTime, ""); err != nil {
		return nil, err
	}
	p.Chamber = p.Chamber.heldFrom(p.HoldFrom)
	p.HoldTo, p.End = p.HoldFrom+longest, p.HoldFrom+longest
	if err := p.check(); err != nil {
		return nil, err
	}
	a, err := settle(&p, false, false, enough)
	if err != nil {
		return nil, err
	}
	h := &Holding{}
	first := sort.SearchFloat64s(a.times, p.HoldFrom)
	h.Hold, h.Least, h.Rates = a.times[first:], a.leasts[first:], a.rates[first:]
	for i := range h.Hold {
		h.Hold[i] -= p.HoldFrom
	}
	return h, nil
}

// For is the hold (s) after which the slowest place has a dose (s): 0 where it
// has it before, an error where the longest hold does not give it.
func (h *Holding) For(dose float64) (float64, error) {
	// Written so that NaN is refused.
	if !(dose >= 0) {
		return 0, within("dose", "s", dose, 0, math.MaxFloat64, "")
	}
	n := sort.SearchFloat64s(h.Least, dose)
	switch n {
	case 0:
		return 0, nil
	case len(h.Least):
		last := len(h.Hold) - 1
		return 0, fmt.Errorf("heat: a hold of %v s gives the slowest place a dose of %v s at the reference temperature, not %v s: hold longer, or hotter, or heat smaller vessels",
			h.Hold[last], h.Least[last], dose)
	}
	linear, square := h.between(n)
	part := dose - h.Least[n-1]
	// The root of square·x² + linear·x = part that holds for square = 0 too.
	share := 2 * part / (linear + math.Sqrt(linear*linear+4*square*part))
	return h.Hold[n-1] + share*(h.Hold[n]-h.Hold[n-1]), nil
}

// After is the dose (s) that the slowest place has after a hold (s) up to the
// longest one that was solved for.
func (h *Holding) After(hold float64) (float64, error) {
	last := len(h.Hold) - 1
	if err := within("hold", "s", hold, 0, h.Hold[last], "so long was solved for"); err != nil {
		return 0, err
	}
	n := sort.SearchFloat64s(h.Hold, hold)
	if n == 0 {
		return h.Least[0], nil
	}
	share := (hold - h.Hold[n-1]) / (h.Hold[n] - h.Hold[n-1])
	linear, square := h.between(n)
	return h.Least[n-1] + share*(linear+share*square), nil
}

// between gives the dose between two steps, as it grows with the share x of the
// step n: linear·x + square·x², which begins with the rate there, as the
// trapezoid rule has it. Where the slowest place changes, a rate that would
// overshoot gives way to a straight line.
func (h *Holding) between(n int) (linear, square float64) {
	gain := h.Least[n] - h.Least[n-1]
	linear = min(h.Rates[n-1]*(h.Hold[n]-h.Hold[n-1]), gain)
	return linear, gain - linear
}
