package formula

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// mostRounds ends the search through active sets. It takes a few tens of rounds
// for the most ingredients there can be.
const mostRounds = 2000

// leastSquares finds the shares nearest to the house formula by the sum of
// squares, from any shares within all bounds. It goes from one set of active
// conditions to the next: the nearest point with these conditions held as
// equations is a small linear system; where the way to it is barred, the bar
// joins the set; where it is reached, a condition that pushes the wrong way
// leaves. What is left when none does meets the conditions of Karush, Kuhn and
// Tucker, and as the sum of squares is strictly convex, it is the only such
// point (Nocedal and Wright, Numerical Optimization, algorithm 16.3).
func (p Problem) leastSquares(from []float64) ([]float64, error) {
	n := len(p.Ingredients)
	equal, bars := p.conditions()
	x := append([]float64(nil), from...)
	g := make([]float64, n)
	active := map[int]bool{} // of bars
	for range mostRounds {
		for i, in := range p.Ingredients {
			g[i] = x[i] - in.House
		}
		set := append([][]float64(nil), equal...)
		var which []int
		for i := range bars {
			if active[i] {
				set, which = append(set, bars[i].a), append(which, i)
			}
		}
		step, push, err := project(set, g)
		if err != nil {
			return nil, err
		}
		length := 0.0
		for _, v := range step {
			length = math.Max(length, math.Abs(v))
		}
		if length <= near/100 {
			leaves := -1
			for i, k := range which { // the first, not the strongest: so no set comes twice
				if push[len(equal)+i] < -near/100 {
					leaves = k
					break
				}
			}
			if leaves < 0 {
				return x, nil
			}
			delete(active, leaves)
			continue
		}
		far, bar := 1.0, -1
		for i, b := range bars {
			if active[i] {
				continue
			}
			if speed := dot(b.a, step); speed < -1e-12 {
				if d := math.Max(0, dot(b.a, x)-b.least) / -speed; d < far {
					far, bar = d, i
				}
			}
		}
		for i := range x {
			x[i] += far * step[i]
		}
		if bar >= 0 {
			active[bar] = true
		}
	}
	return nil, errors.New("formula: the search for the least squares did not end")
}

// bar is the condition a·x ≥ least.
type bar struct {
	a     []float64
	least float64
}

// conditions lists what has to be met exactly, each independent of those
// before, and what has to be met at least.
func (p Problem) conditions() (equal [][]float64, bars []bar) {
	n := len(p.Ingredients)
	unit := func(i int, v float64) []float64 {
		a := make([]float64, n)
		a[i] = v
		return a
	}
	var span [][]float64 // orthogonal, of what is in equal
	exactly := func(a []float64) {
		rest := append([]float64(nil), a...)
		for _, s := range span {
			k := dot(rest, s)
			for i := range rest {
				rest[i] -= k * s[i]
			}
		}
		size := math.Sqrt(dot(rest, rest))
		if size <= near {
			return // it follows from the others
		}
		for i := range rest {
			rest[i] /= size
		}
		span, equal = append(span, rest), append(equal, a)
	}
	one := make([]float64, n)
	for i := range one {
		one[i] = 1
	}
	exactly(one)
	for i, in := range p.Ingredients {
		if in.fixed() {
			exactly(unit(i, 1))
			continue
		}
		bars = append(bars, bar{unit(i, 1), in.Low}, bar{unit(i, -1), -in.High})
	}
	for _, r := range p.rows() {
		if r.equal {
			exactly(r.a)
		} else {
			bars = append(bars, bar{r.a, 0})
		}
	}
	return equal, bars
}

// project gives the step from a point with the gradient g to the nearest point
// at which the conditions of the set still hold, and how hard each of them
// pushes. The conditions must be independent.
func project(set [][]float64, g []float64) (step, push []float64, err error) {
	k := len(set)
	normal, right := mat.NewDense(k, k, nil), mat.NewVecDense(k, nil)
	for i := range set {
		for j := range set {
			normal.Set(i, j, dot(set[i], set[j]))
		}
		right.SetVec(i, dot(set[i], g))
	}
	var l mat.VecDense
	var ill mat.Condition
	if err := l.SolveVec(normal, right); err != nil && !(errors.As(err, &ill) && !math.IsInf(float64(ill), 1)) {
		return nil, nil, fmt.Errorf("formula: the least squares could not be solved: %w", err)
	}
	step, push = make([]float64, len(g)), make([]float64, k)
	for i := range step {
		step[i] = -g[i]
	}
	for j := range set {
		push[j] = l.AtVec(j)
		for i := range step {
			step[i] += float64(push[j] * set[j][i])
		}
	}
	return step, push, nil
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += float64(a[i] * b[i])
	}
	return sum
}
