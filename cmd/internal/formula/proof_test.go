package formula

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// plane is the condition a·x = b, one that a corner of the bounds may lie on.
type plane struct {
	a []float64
	b float64
}

func planes(p Problem) (always, may []plane) {
	n := len(p.Ingredients)
	unit := func(i int) []float64 { a := make([]float64, n); a[i] = 1; return a }
	one := make([]float64, n)
	for i, in := range p.Ingredients {
		one[i] = 1
		may = append(may, plane{unit(i), in.Low}, plane{unit(i), in.High})
	}
	always = append(always, plane{one, 1})
	for _, r := range p.rows() {
		if r.equal {
			always = append(always, plane{r.a, 0})
		} else {
			may = append(may, plane{r.a, 0})
		}
	}
	return always, may
}

// choose calls f with every choice of k of the planes.
func choose(list []plane, k int, f func([]plane)) {
	var from func(i int, picked []plane)
	from = func(i int, picked []plane) {
		if len(picked) == k {
			f(picked)
			return
		}
		for j := i; j < len(list); j++ {
			from(j+1, append(picked, list[j]))
		}
	}
	from(0, nil)
}

// The optimizer agrees with the corners of the bounds, all of them tried, on 500
// random problems: a linear objective has its best there.
func TestAgreesWithEveryCorner(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	solved, none := 0, 0
	for i := range 500 {
		p := random(r, 2+i%4)
		p.Goal = Cheapest
		best := math.Inf(1)
		always, may := planes(p)
		n := len(p.Ingredients)
		for more := n - len(always); more >= 0; more = -1 {
			choose(may, more, func(picked []plane) {
				set := append(append([]plane(nil), always...), picked...)
				a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
				for j, s := range set {
					a.SetRow(j, s.a)
					b.SetVec(j, s.b)
				}
				var x mat.VecDense
				if x.SolveVec(a, b) == nil && within(p, x.RawVector().Data, 1e-9) {
					best = math.Min(best, p.objective(x.RawVector().Data))
				}
			})
		}
		x, err := p.best()
		if errors.Is(err, errNone) {
			none++
			require.True(t, math.IsInf(best, 1), "problem %d has a corner at %g, and none was found", i, best)
			continue
		}
		require.NoError(t, err)
		solved++
		require.InDelta(t, best, p.objective(x), 1e-5, "problem %d", i)
	}
	t.Logf("%d solved, %d without solution", solved, none)
	assert.Greater(t, solved, 100)
	assert.Greater(t, none, 100)
}

// random is a problem with n ingredients and bounds that are no round numbers.
func random(r *rand.Rand, n int) Problem {
	p := Problem{Goal: Cheapest + Goal(r.IntN(3))}
	var n1, c, ash []float64
	for i := range n {
		in := Ingredient{ID: fmt.Sprintf("i%02d", i), Low: r.Float64() * 0.5 / float64(n), Cost: r.Float64(), House: r.Float64() / float64(n)}
		in.High = in.Low + r.Float64()*(1-in.Low)
		p.Ingredients = append(p.Ingredients, in)
		n1, c, ash = append(n1, 0.001+0.05*r.Float64()), append(c, 0.4+0.15*r.Float64()), append(ash, 0.15*r.Float64())
	}
	low := 0.04 * r.Float64()
	p.Targets = append(p.Targets, Target{ID: "nitrogen", Top: n1, Low: low, High: low + 0.01*r.Float64(), Loosen: 0.001})
	if r.IntN(2) == 0 {
		ratio := 10 + 40*r.Float64()
		p.Targets = append(p.Targets, Target{ID: "cn", Top: c, Bottom: n1, Low: ratio, High: ratio * 1.5, Loosen: 1})
	}
	if r.IntN(2) == 0 {
		p.Targets = append(p.Targets, Target{ID: "ash", Top: ash, Low: math.Inf(-1), High: 0.05 + 0.1*r.Float64(), Loosen: 0.01})
	}
	return p
}

// Weak duality bounds every linear program from the other side: the dual of the
// cheapest formula, written out on its own and solved, has the same value.
//
//	min c·x, Σx = 1, low ≤ x ≤ high, Ax ≥ 0 (or = 0)
//	max u + low·v − high·w, u + v − w + Aᵀz = c, v, w, z ≥ 0 (z free where =)
func TestDuality(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 8, true)
		p.Goal = Cheapest
		x, err := p.best()
		if errors.Is(err, errNone) {
			return
		}
		require.NoError(t, err)
		n, rows := len(p.Ingredients), p.rows()
		columns := 2 + 2*n + 2*len(rows)
		a, cost, c := mat.NewDense(n, columns, nil), make([]float64, columns), make([]float64, n)
		cost[0], cost[1] = -1, 1
		for i, in := range p.Ingredients {
			c[i] = in.Cost
			a.Set(i, 0, 1)
			a.Set(i, 1, -1)
			a.Set(i, 2+i, 1)
			a.Set(i, 2+n+i, -1)
			cost[2+i], cost[2+n+i] = -in.Low, in.High
			for j, r := range rows {
				a.Set(i, 2+2*n+2*j, r.a[i])
				if r.equal {
					a.Set(i, 3+2*n+2*j, -r.a[i])
				}
			}
		}
		// The solver takes no column of zeros.
		a, cost = dense(a, cost)
		basis := make([]int, n)
		for i := range basis {
			basis[i] = 2 + i // v = c, as no cost is below 0
		}
		value, _, err := lp.Simplex(cost, a, c, 1e-12, basis)
		require.NoError(t, err)
		require.InDelta(t, -value, p.objective(x), 1e-5)
	})
}

func dense(a *mat.Dense, cost []float64) (*mat.Dense, []float64) {
	n, columns := a.Dims()
	var keep []int
	for j := range columns {
		for i := range n {
			if a.At(i, j) != 0 {
				keep = append(keep, j)
				break
			}
		}
	}
	out, c := mat.NewDense(n, len(keep), nil), make([]float64, len(keep))
	for to, from := range keep {
		out.SetCol(to, mat.Col(nil, from, a))
		c[to] = cost[from]
	}
	return out, c
}

// The least squares agree with every set of active conditions tried: the one
// whose point keeps all bounds with the least sum.
func TestLeastSquaresAgainstEverySet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 4, true)
		p.Goal = LeastSquares
		x, err := p.best()
		if errors.Is(err, errNone) {
			return
		}
		require.NoError(t, err)
		require.True(t, within(p, x, 1e-8), "%v", x)
		best := math.Inf(1)
		always, may := planes(p)
		n := len(p.Ingredients)
		for more := 0; more <= n-len(always); more++ {
			choose(may, more, func(picked []plane) {
				set := append(append([]plane(nil), always...), picked...)
				k := len(set)
				a, b := mat.NewDense(n+k, n+k, nil), mat.NewVecDense(n+k, nil)
				for i, in := range p.Ingredients {
					a.Set(i, i, 1)
					b.SetVec(i, in.House)
				}
				for j, s := range set {
					for i := range n {
						a.Set(i, n+j, s.a[i])
						a.Set(n+j, i, s.a[i])
					}
					b.SetVec(n+j, s.b)
				}
				var y mat.VecDense
				if y.SolveVec(a, b) == nil && within(p, y.RawVector().Data[:n], 1e-9) {
					best = math.Min(best, p.objective(y.RawVector().Data[:n]))
				}
			})
		}
		if !math.IsInf(best, 1) { // all singular: more conditions than it takes
			require.InDelta(t, best, p.objective(x), 1e-8)
		}
	})
}

// The order of ingredients and targets carries no meaning, to the last bit.
func TestOrderCarriesNoMeaning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 7, true)
		order := rapid.Permutation(indices(len(p.Ingredients))).Draw(t, "order")
		q := Problem{Goal: p.Goal}
		for _, from := range order {
			q.Ingredients = append(q.Ingredients, p.Ingredients[from])
		}
		for i := len(p.Targets) - 1; i >= 0; i-- {
			target := p.Targets[i]
			target.Top, target.Bottom = nil, nil
			for _, from := range order {
				target.Top = append(target.Top, p.Targets[i].Top[from])
				target.Bottom = append(target.Bottom, p.Targets[i].below(from))
			}
			q.Targets = append(q.Targets, target)
		}
		a, errA := Solve(p)
		b, errB := Solve(q)
		require.Equal(t, errA, errB)
		if errA != nil {
			return
		}
		for to, from := range order {
			require.Equal(t, a.Shares[from], b.Shares[to])
		}
		require.Equal(t, a.Held, b.Held)
		require.Equal(t, a.Objective, b.Objective)
	})
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// What is named as a contradiction is one: alone it leaves no formula, and
// without any one of its bounds there is a formula.
func TestContradictionsAreSmallest(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 7, true)
		_, err := Solve(p)
		var none *Infeasible
		if !errors.As(err, &none) {
			return
		}
		found++
		only := p
		for _, b := range p.bounds() {
			named := false
			for _, x := range none.Against {
				named = named || x == b
			}
			if !named {
				only, _ = only.loosened(b, math.Inf(1))
			}
		}
		ok, err := only.feasible()
		require.NoError(t, err)
		require.False(t, ok, "%v is no contradiction", none.Against)
		for _, b := range none.Against {
			without, _ := only.loosened(b, math.Inf(1))
			ok, err := without.feasible()
			require.NoError(t, err)
			require.True(t, ok, "without %v it is still one", b)
		}
	})
	assert.Greater(t, found, 5)
}

// What a target can reach is what the program finds with nothing but the bounds
// of the ingredients: at both ends there is a formula, and beyond them none.
func TestReach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 6, true)
		for _, target := range p.Targets {
			low, high, ok := p.reach(target)
			at := func(low, high float64) bool {
				q := p
				t := target
				t.Low, t.High = low, high
				q.Targets = []Target{t}
				yes, _ := q.feasible()
				return yes
			}
			require.Equal(t, at(math.Inf(-1), math.Inf(1)), ok)
			if !ok {
				continue
			}
			give := 1e-6 * math.Max(1e-3, math.Abs(low))
			require.True(t, at(low-give, low+give))
			require.False(t, at(math.Inf(-1), low-1e-4*math.Max(0.1, low)))
			give = 1e-6 * math.Max(1e-3, math.Abs(high))
			require.True(t, at(high-give, high+give))
			require.False(t, at(high+1e-4*math.Max(0.1, high), math.Inf(1)))
		}
	})
}

// BenchmarkSolve is a design over twenty ingredients, which is to take less
// than 50 ms.
func BenchmarkSolve(b *testing.B) {
	r := rand.New(rand.NewPCG(20, 20))
	for _, goal := range []Goal{Cheapest, Closest, LeastSquares} {
		p := random(r, 20)
		for {
			p.Goal = goal
			if _, err := Solve(p); err == nil {
				break
			}
			p = random(r, 20)
		}
		b.Run(map[Goal]string{Cheapest: "cheapest", Closest: "closest", LeastSquares: "squares"}[goal], func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
