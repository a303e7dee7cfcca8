package formula

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// bounds lists every bound that can be loosened: those of ingredients first,
// as they are the more easily changed. A lower bound of 0 and an upper one of 1
// are no choice of anybody.
func (p Problem) bounds() []Bound {
	var out []Bound
	for _, in := range p.Ingredients {
		if in.Low > 0 {
			out = append(out, Bound{Of: in.ID})
		}
		if in.High < 1 {
			out = append(out, Bound{Of: in.ID, Upper: true})
		}
	}
	for _, t := range p.Targets {
		if !math.IsInf(t.Low, -1) {
			out = append(out, Bound{Of: t.ID, Target: true})
		}
		if !math.IsInf(t.High, 1) {
			out = append(out, Bound{Of: t.ID, Target: true, Upper: true})
		}
	}
	return out
}

// loosened is the problem with one bound changed by so much, or without it
// where by is infinite. The second result is how far it really moved.
func (p Problem) loosened(b Bound, by float64) (Problem, float64) {
	q := Problem{slices.Clone(p.Ingredients), slices.Clone(p.Targets), p.Goal}
	if b.Target {
		for i := range q.Targets {
			if t := &q.Targets[i]; t.ID == b.Of && b.Upper {
				t.High += by
			} else if t.ID == b.Of {
				t.Low -= by
			}
		}
		return q, by
	}
	for i := range q.Ingredients {
		if in := &q.Ingredients[i]; in.ID == b.Of && b.Upper {
			by = math.Min(by, 1-in.High)
			in.High = math.Min(1, in.High+by)
		} else if in.ID == b.Of {
			by = math.Min(by, in.Low)
			in.Low = math.Max(0, in.Low-by)
		}
	}
	return q, by
}

// held tells of every bound that the shares lie on what loosening it would
// gain, by solving the problem again. A bound that would gain nothing is left
// out, and so is a share that is fixed: nobody asked about it.
func (p Problem) held(x []float64) ([]Held, error) {
	best := p.objective(x)
	var out []Held
	for _, b := range p.bounds() {
		by, on := p.touches(b, x)
		if !on || by <= 0 {
			continue
		}
		q, by := p.loosened(b, by)
		y, err := q.best()
		if err != nil {
			return nil, err
		}
		// What breaks ties costs the objective less than this.
		if gain := best - p.objective(y); gain > 1e-7*math.Max(1, math.Abs(best)) {
			out = append(out, Held{b, by, gain})
		}
	}
	slices.SortStableFunc(out, func(a, b Held) int { return cmp.Compare(a.Of, b.Of) })
	return out, nil
}

// touches reports whether shares lie on a bound, and by how much to loosen it.
func (p Problem) touches(b Bound, x []float64) (by float64, on bool) {
	if b.Target {
		for _, t := range p.Targets {
			if t.ID == b.Of {
				edge, side := t.Low, 1.0
				if b.Upper {
					edge, side = t.High, -1
				}
				return t.Loosen, math.Abs(t.row(edge, side, b).at(x)) <= 10*near
			}
		}
	}
	for i, in := range p.Ingredients {
		if in.ID == b.Of && !in.fixed() {
			edge := in.Low
			if b.Upper {
				edge = in.High
			}
			return Step, math.Abs(x[i]-edge) <= near
		}
	}
	return 0, false
}

// infeasible takes bounds away as long as no formula is there: those left
// contradict one another, and no fewer of them do. Bounds of the ingredients go
// first, so that what is left speaks of the targets where it can; but where the
// shares can't even sum to 1, it speaks of nothing else.
func (p Problem) infeasible() error {
	shares := Problem{Ingredients: p.Ingredients, Goal: p.Goal}
	ok, err := shares.feasible()
	if err != nil {
		return err
	}
	q := p
	if !ok {
		q = shares
	}
	out := &Infeasible{}
	for _, b := range q.bounds() {
		without, _ := q.loosened(b, math.Inf(1))
		ok, err := without.feasible()
		if err != nil {
			return err
		}
		if ok {
			out.Against = append(out.Against, b)
		} else {
			q = without
		}
	}
	if len(out.Against) == 0 {
		return errors.New("formula: a problem without bounds has no solution")
	}
	for _, t := range p.Targets {
		if low, high, ok := p.reach(t); ok {
			out.Reach = append(out.Reach, Reach{t.ID, low, high})
		}
	}
	return out
}

// extreme is the share of each ingredient at which Σ a·x is least with the
// bounds of the ingredients alone: each at its low bound, and what is left given
// to those of the least a. It is nil where the shares can't sum to 1.
func (p Problem) extreme(a []float64) []float64 {
	x, left := make([]float64, len(a)), 1.0
	order := make([]int, len(a))
	for i, in := range p.Ingredients {
		x[i], order[i] = in.Low, i
		left -= in.Low
	}
	if left < -near {
		return nil
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(a[i], a[j]) })
	for _, i := range order {
		give := math.Max(0, math.Min(left, p.Ingredients[i].High-p.Ingredients[i].Low))
		x[i] += give
		left -= give
	}
	if left > near {
		return nil
	}
	return x
}

// reach is the range of a target's value with the bounds of the ingredients
// alone. A quotient is brought to its least value by steps of Dinkelbach's: at
// the value R that some shares have, those that make Σ (top − R·bottom)·x least
// have a lesser one, until there is none. It is not ok where the shares can't
// sum to 1, or the quotient has no value.
func (p Problem) reach(t Target) (low, high float64, ok bool) {
	below := make([]float64, len(t.Top))
	above := make([]float64, len(t.Top))
	for i := range below {
		below[i] = t.below(i)
		above[i] = -below[i]
	}
	begin := p.extreme(above)
	if begin == nil || dot(below, begin) <= 0 {
		return 0, 0, false
	}
	end := func(sign float64) float64 {
		x, a := begin, make([]float64, len(t.Top))
		for range 100 {
			at := t.value(x)
			for i := range a {
				a[i] = sign * (t.Top[i] - float64(at*below[i]))
			}
			y := p.extreme(a)
			if dot(a, y) > -1e-12 {
				break
			}
			x = y
		}
		return t.value(x)
	}
	low, high = end(1), math.Inf(1)
	if dot(below, p.extreme(below)) > 1e-12 {
		high = end(-1)
	}
	return low, high, true
}
