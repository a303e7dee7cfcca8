package formula

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// errNone says that no shares are within all bounds.
var errNone = errors.New("formula: no shares are within all bounds")

// near is how close to a bound counts as on it: shares are below 1, and rows
// are scaled to a greatest coefficient of 1.
const near = 1e-9

// row is the condition Σ a·x ≥ 0, or = 0, scaled to a greatest |a| of 1.
type row struct {
	a     []float64
	equal bool
	side  Bound
}

// at is what shares make of the row.
func (r row) at(x []float64) float64 {
	sum := 0.0
	for i, v := range x {
		sum += float64(r.a[i] * v)
	}
	return sum
}

// rows writes the targets as conditions. A target to be met by one value is one
// of them, said of its upper side.
func (p Problem) rows() []row {
	var out []row
	for _, t := range p.Targets {
		if !math.IsInf(t.Low, -1) && !t.point() {
			out = append(out, t.row(t.Low, 1, Bound{Of: t.ID, Target: true}))
		}
		if !math.IsInf(t.High, 1) {
			r := t.row(t.High, -1, Bound{Of: t.ID, Target: true, Upper: true})
			r.equal = t.point()
			out = append(out, r)
		}
	}
	return out
}

func (t Target) row(at, sign float64, side Bound) row {
	a, most := make([]float64, len(t.Top)), 0.0
	for i := range a {
		a[i] = sign * (t.Top[i] - float64(at*t.below(i)))
		most = math.Max(most, math.Abs(a[i]))
	}
	if most > 0 {
		for i := range a {
			a[i] /= most
		}
	}
	return row{a: a, side: side}
}

// segment is a piece of an ingredient's range with one cost a unit: from its
// low bound up to the house formula, and from there up to its high bound.
type segment struct {
	of          int
	width, cost float64
}

// What breaks ties between formulas that are equally good: first the other
// goal, then the order of the ids. Both are far below any price difference that
// matters, and above what rounding errors can do.
const (
	secondary = 1e-6
	tertiary  = 1e-9
)

// segments are the ranges of all ingredients with the costs of the goal. A cost
// is scaled to 1 at most. Where the slope is the same on both sides of the house
// formula an ingredient has one segment.
func (p Problem) segments() []segment {
	dearest := 0.0
	for _, in := range p.Ingredients {
		dearest = math.Max(dearest, math.Abs(in.Cost))
	}
	if dearest == 0 {
		dearest = 1
	}
	var out []segment
	for i, in := range p.Ingredients {
		slope, cost := 1.0, in.Cost/dearest
		if p.Goal == Cheapest {
			slope *= secondary
		} else {
			cost *= secondary
		}
		cost += tertiary * float64(i)
		house := math.Min(math.Max(in.House, in.Low), in.High)
		if house > in.Low {
			out = append(out, segment{i, house - in.Low, cost - slope})
		}
		if in.High > house {
			out = append(out, segment{i, in.High - house, cost + slope})
		}
	}
	return out
}

// best solves the problem by its goal.
func (p Problem) best() ([]float64, error) {
	x, err := p.minimize(p.segments())
	if err != nil || p.Goal != LeastSquares {
		return x, err
	}
	return p.leastSquares(x)
}

// minimize solves the linear program over the segments.
func (p Problem) minimize(segments []segment) ([]float64, error) {
	// What the program pays for each unit by which a condition is missed. It has
	// to be above every price of a condition; where it is not, the conditions
	// alone say whether they can be met, and it is raised.
	for _, penalty := range []float64{1e3, 1e6, 1e9} {
		x, missed, err := p.tableau(segments, penalty)
		if err != nil {
			return nil, err
		}
		if missed <= near {
			return x, nil
		}
		if ok, err := p.feasible(); err != nil || !ok {
			return nil, errors.Join(err, errNone)
		}
	}
	return nil, errNone
}

// feasible reports whether any shares are within all bounds.
func (p Problem) feasible() (bool, error) {
	var plain []segment
	for i, in := range p.Ingredients {
		if in.High > in.Low {
			plain = append(plain, segment{of: i, width: in.High - in.Low})
		}
	}
	_, missed, err := p.tableau(plain, 1)
	return missed <= near, err
}

// tableau is the linear program in the form that the solver takes, all unknowns
// at least 0 and all conditions equations. The unknowns are the segments; a
// slack for each width that can be reached and for each condition that is no
// equation; and what each condition that is not met at the low bounds is missed
// by. So there is always a first solution to begin at, and always full rank.
func (p Problem) tableau(segments []segment, penalty float64) (x []float64, missed float64, err error) {
	x = make([]float64, len(p.Ingredients))
	left := 1.0
	for i, in := range p.Ingredients {
		x[i] = in.Low
		left -= in.Low
	}
	rows := p.rows()
	if left <= near || len(segments) == 0 {
		missed = math.Abs(left)
		for _, r := range rows {
			v := r.at(x)
			if v < 0 || r.equal {
				missed = math.Max(missed, math.Abs(v))
			}
		}
		return x, missed, nil
	}
	var conditions [][]float64 // by segment
	var right []float64
	var slack []float64 // its coefficient; 0 is none
	add := func(a []float64, b, s float64) {
		if b < 0 || b == 0 && s < 0 {
			for j := range a {
				a[j] = -a[j]
			}
			b, s = -b, -s
		}
		conditions, right, slack = append(conditions, a), append(right, b), append(slack, s)
	}
	one := make([]float64, len(segments))
	for j := range one {
		one[j] = 1
	}
	add(one, left, 0)
	for j, s := range segments {
		if s.width < left {
			a := make([]float64, len(segments))
			a[j] = 1
			add(a, s.width, 1)
		}
	}
	for _, r := range rows {
		a := make([]float64, len(segments))
		for j, s := range segments {
			a[j] = r.a[s.of]
		}
		s := -1.0
		if r.equal {
			s = 0
		}
		add(a, -r.at(x), s)
	}

	columns := len(segments)
	for _, s := range slack {
		if s != 0 {
			columns++
		}
		if s <= 0 {
			columns++
		}
	}
	a := mat.NewDense(len(conditions), columns, nil)
	cost := make([]float64, columns)
	for j, s := range segments {
		cost[j] = s.cost
	}
	basis := make([]int, len(conditions))
	misses := make([]bool, columns)
	next := len(segments)
	for i, c := range conditions {
		for j, v := range c {
			a.Set(i, j, v)
		}
		if slack[i] != 0 {
			a.Set(i, next, slack[i])
			basis[i] = next
			next++
		}
		if slack[i] <= 0 {
			a.Set(i, next, 1)
			cost[next], misses[next], basis[i] = penalty, true, next
			next++
		}
	}
	_, y, err := lp.Simplex(cost, a, right, 1e-12*math.Max(1, penalty*1e-3), basis)
	if err != nil {
		return nil, 0, fmt.Errorf("formula: the linear program could not be solved: %w", err)
	}
	for j, v := range y {
		switch {
		case misses[j]:
			missed = math.Max(missed, v)
		case j < len(segments):
			x[segments[j].of] += v
		}
	}
	for i, in := range p.Ingredients {
		// What is off a bound by rounding errors alone is on it.
		for _, bound := range []float64{in.Low, in.High} {
			if math.Abs(x[i]-bound) < near/10 {
				x[i] = bound
			}
		}
	}
	return x, missed, nil
}
