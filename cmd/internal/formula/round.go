package formula

import (
	"math"
	"slices"
)

// tighter are the margins, in scaled conditions, by which the program is solved
// once more where its own solution cannot be rounded: what is inside by more
// than rounding moves it can be.
var tighter = []float64{0, 0.0005, 0.001, 0.002, 0.005}

// round turns exact shares into shares in steps that sum to 1 and keep within
// all bounds. Where several do, it takes those with the better objective; with
// a value to be met, those nearest to the exact shares. A share that the bounds
// fix stays as it is, whatever its steps. What the exact formula does without is
// left out if it can be: a trace of one more ingredient to hit a target by a hair
// is nothing that anybody wants to weigh.
func (p Problem) round(exact []float64) ([]float64, error) {
	if p.Goal != Cheapest && p.objective(exact) <= near {
		return exact, nil // the house formula itself: its shares are whoever wrote them
	}
	if x, err := p.without(exact).inSteps(exact); err == nil {
		return x, nil
	}
	return p.inSteps(exact)
}

// without is the problem with the ingredients at 0 that some shares leave out.
func (p Problem) without(shares []float64) Problem {
	q := Problem{slices.Clone(p.Ingredients), p.Targets, p.Goal}
	for i, x := range shares {
		if x == 0 {
			q.Ingredients[i].High = 0
		}
	}
	return q
}

// inSteps rounds the exact shares.
func (p Problem) inSteps(exact []float64) ([]float64, error) {
	var best *grid
	for i, by := range tighter {
		from := exact
		if i > 0 {
			x, ok := p.inside(by)
			if !ok {
				break
			}
			from = x
		}
		g := p.grid(exact, from)
		if g == nil {
			return nil, ErrNotInSteps
		}
		g.search()
		if g.missed(g.at) > near {
			continue
		}
		if best == nil || g.worth(g.k) < best.worth(best.k)-near*near {
			best = g
		}
		if i > 0 {
			break // more margin only costs more
		}
	}
	if best == nil {
		return nil, ErrNotInSteps
	}
	return best.shares(), nil
}

// inside solves the problem with every condition tightened.
func (p Problem) inside(by float64) ([]float64, bool) {
	t := p
	t.Targets = nil
	for _, target := range p.Targets {
		if !target.point() {
			low, high := target.scale(target.Low), target.scale(target.High)
			if !math.IsInf(target.Low, -1) {
				target.Low += by * low
			}
			if !math.IsInf(target.High, 1) {
				target.High -= by * high
			}
			if !(target.Low < target.High) {
				return nil, false
			}
		}
		t.Targets = append(t.Targets, target)
	}
	x, err := t.best()
	return x, err == nil
}

// scale is about how much of the target's value one of its scaled condition is.
func (t Target) scale(at float64) float64 {
	most, below := 0.0, 0.0
	for i := range t.Top {
		most = math.Max(most, math.Abs(t.Top[i]-at*t.below(i)))
		below = math.Max(below, t.below(i))
	}
	if math.IsInf(most, 0) || math.IsNaN(most) || below == 0 {
		return 0
	}
	return most / below
}

// grid is shares as whole numbers of steps above a base, on their search for
// the best that keep within all bounds.
type grid struct {
	p         Problem
	base      []float64
	k         []int
	low, high []int
	rows      []row
	slack     []float64 // of each condition, scaled: how far it may be missed
	at        []float64 // what the shares make of each condition
	exact     []float64
	points    bool
}

// grid starts at the shares rounded down, with the steps that are left to those
// that lost most. It is nil where bounds leave no step between them.
func (p Problem) grid(exact, from []float64) *grid {
	n := len(from)
	g := &grid{p: p, base: make([]float64, n), k: make([]int, n), low: make([]int, n), high: make([]int, n), exact: exact, rows: p.rows()}
	// Fixed shares are not in steps, and what they leave is not either: the
	// largest of the others takes what is over.
	over, largest := 0.0, -1
	for i, in := range p.Ingredients {
		if in.fixed() {
			g.base[i] = in.Low
			over += in.Low
		} else if largest < 0 || from[i] > from[largest]+near {
			largest = i
		}
	}
	left := int(math.Floor((1-over)*steps + 1e-6))
	if largest >= 0 {
		g.base[largest] = math.Max(0, 1-over-float64(left)*Step)
		if g.base[largest] < near {
			g.base[largest] = 0
		}
	}
	for i, in := range p.Ingredients {
		if in.fixed() {
			continue
		}
		g.low[i] = int(math.Ceil((in.Low-g.base[i])*steps - 1e-6))
		g.high[i] = int(math.Floor((in.High-g.base[i])*steps + 1e-6))
		if g.low[i] > g.high[i] {
			return nil
		}
		g.k[i] = min(max(int(math.Floor((from[i]-g.base[i])*steps+1e-6)), g.low[i]), g.high[i])
		left -= g.k[i]
	}
	for left != 0 {
		best, most := -1, math.Inf(-1)
		for i := range g.k {
			by := (from[i]-g.base[i])*steps - float64(g.k[i])
			if left < 0 {
				by = -by
			}
			if can := left > 0 && g.k[i] < g.high[i] || left < 0 && g.k[i] > g.low[i]; can && by > most+1e-6 {
				best, most = i, by
			}
		}
		if best < 0 {
			return nil
		}
		g.k[best] += sign(left)
		left -= sign(left)
	}
	x := g.shares()
	for _, r := range g.rows {
		g.at = append(g.at, r.at(x))
		g.slack = append(g.slack, 0)
	}
	j := 0
	for _, t := range p.Targets { // in the order of rows
		if !math.IsInf(t.Low, -1) && !t.point() {
			j++
		}
		if math.IsInf(t.High, 1) {
			continue
		}
		if t.point() {
			g.points = true
			most, below := 0.0, 0.0
			for i := range t.Top {
				most = math.Max(most, math.Abs(t.Top[i]-float64(t.High*t.below(i))))
				below += float64(t.below(i) * exact[i])
			}
			if most > 0 {
				// A little less, for below is that of the exact shares.
				g.slack[j] = 0.99 * t.Give * below / most
			}
		}
		j++
	}
	return g
}

func sign(v int) int {
	if v < 0 {
		return -1
	}
	return 1
}

func (g *grid) share(i, k int) float64 { return g.base[i] + float64(k)/steps }

func (g *grid) shares() []float64 {
	x := make([]float64, len(g.k))
	for i, k := range g.k {
		x[i] = g.share(i, k)
	}
	return x
}

// missed is by how much conditions are missed together.
func (g *grid) missed(at []float64) float64 {
	sum := 0.0
	for j, v := range at {
		sum += g.miss(j, v)
	}
	return sum
}

func (g *grid) miss(j int, v float64) float64 {
	if g.rows[j].equal {
		v = -math.Abs(v)
	}
	return math.Max(0, -v-g.slack[j]-near/10)
}

// price is what k steps of an ingredient add to the objective, or with a value
// to be met, to the distance from the exact shares.
func (g *grid) price(i, k int) float64 {
	x, in := g.share(i, k), g.p.Ingredients[i]
	switch {
	case g.points:
		return math.Abs(x - g.exact[i])
	case g.p.Goal == Cheapest:
		return in.Cost * x
	case g.p.Goal == Closest:
		return math.Abs(x - in.House)
	}
	return (x - in.House) * (x - in.House)
}

func (g *grid) worth(k []int) float64 {
	sum := 0.0
	for i := range k {
		sum += g.price(i, k[i])
	}
	return sum
}

// search moves a step from one ingredient to another, or two at once, as long as
// that misses the conditions by less or, at the same, is worth more.
func (g *grid) search() {
	for range 4 * steps {
		if !g.move(1) && !g.move(2) {
			return
		}
	}
}

// move makes the best move of one or two steps, if any is for the better.
func (g *grid) move(depth int) bool {
	n := len(g.k)
	now := g.missed(g.at)
	up, down := make([]float64, n), make([]float64, n)
	for i := range g.k {
		up[i] = g.price(i, g.k[i]+1) - g.price(i, g.k[i])
		down[i] = g.price(i, g.k[i]-1) - g.price(i, g.k[i])
	}
	at := make([]float64, len(g.at))
	bestMissed, bestGain, best := now, 0.0, [4]int{-1, -1, -1, -1}
	try := func(a, b, c, d int) {
		gain := -up[a] - down[b]
		if c >= 0 {
			gain -= up[c] + down[d]
		}
		missed := 0.0
		for j, r := range g.rows {
			by := r.a[a] - r.a[b]
			if c >= 0 {
				by += r.a[c] - r.a[d]
			}
			at[j] = g.at[j] + by*Step
			missed += g.miss(j, at[j])
			if missed > bestMissed+near/100 {
				return
			}
		}
		if missed < bestMissed-near/100 || gain > bestGain+1e-12 {
			bestMissed, bestGain, best = missed, gain, [4]int{a, b, c, d}
		}
	}
	for a := range n {
		if g.k[a] >= g.high[a] {
			continue
		}
		for b := range n {
			if b == a || g.k[b] <= g.low[b] {
				continue
			}
			if depth == 1 {
				try(a, b, -1, -1)
				continue
			}
			// Of two different ingredients up and two down; the same twice is
			// two moves of one step.
			for c := a + 1; c < n; c++ {
				if c == b || g.k[c] >= g.high[c] {
					continue
				}
				for d := b + 1; d < n; d++ {
					if d != a && d != c && g.k[d] > g.low[d] {
						try(a, b, c, d)
					}
				}
			}
		}
	}
	if best[0] < 0 {
		return false
	}
	for i, v := range best {
		if v < 0 {
			break
		}
		if i%2 == 0 {
			g.k[v]++
		} else {
			g.k[v]--
		}
	}
	x := g.shares()
	for j, r := range g.rows {
		g.at[j] = r.at(x)
	}
	return true
}
