package formula

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
)

// golden is the problem of rows S059 to S061: pellets, soy hulls and bran with
// 1 % of a mineral without nitrogen.
func golden(targets ...Target) Problem {
	return Problem{
		Ingredients: []Ingredient{
			{ID: "pellet", High: 1, Cost: 0.20},
			{ID: "soy", High: 0.30, Cost: 0.35},
			{ID: "bran", High: 0.25, Cost: 0.40},
			{ID: "gypsum", Low: 0.01, High: 0.01},
		},
		Targets: targets, Goal: Cheapest,
	}
}

func nitrogen(low, high float64) Target {
	return Target{ID: "nitrogen", Top: []float64{0.0015, 0.0190, 0.0278, 0}, Low: low, High: high, Give: 0.0002, Loosen: 0.001}
}

func ratio(low, high float64) Target {
	return Target{
		ID: "cn", Top: []float64{0.49, 0.442, 0.457, 0}, Bottom: []float64{0.0015, 0.0190, 0.0278, 0},
		Low: low, High: high, Give: 0.5, Loosen: 1,
	}
}

func TestGolden(t *testing.T) {
	table := checks.Open(t, "substrate")
	for row, target := range map[string]Target{"S059": nitrogen(0.01, 0.01), "S060": ratio(40, 40)} {
		r, err := Solve(golden(target))
		require.NoError(t, err, row)
		table.Row(t, row).Meet(t, r.Exact[:3]...)
		assert.InDelta(t, target.Low, target.value(r.Shares), target.Give, row)
		onGrid(t, r.Shares)
	}
}

// The reference names the reachable range too: nitrogen from 0.15 to 1.33 %.
func TestGoldenInfeasible(t *testing.T) {
	_, err := Solve(golden(nitrogen(0.016, 0.016)))
	var none *Infeasible
	require.ErrorAs(t, err, &none)
	assert.Equal(t, "infeasible", checks.Open(t, "substrate").Row(t, "S061").Expected)
	require.Len(t, none.Reach, 1)
	assert.InDelta(t, 0.0015, none.Reach[0].Low, 0.00005)
	assert.InDelta(t, 0.0133, none.Reach[0].High, 0.00005)
	assert.Equal(t, []Bound{
		{Of: "bran", Upper: true}, {Of: "soy", Upper: true}, {Of: "nitrogen", Target: true},
	}, none.Against, "with either cap gone 1.6 % could be had; the mineral is not to blame")
}

// Shares that can't sum to 1 are told of as that, whatever the targets.
func TestSharesThatMakeNoWhole(t *testing.T) {
	p := golden(nitrogen(0.016, 0.018))
	p.Ingredients[0].High = 0.1
	_, err := Solve(p)
	var none *Infeasible
	require.ErrorAs(t, err, &none)
	assert.Equal(t, []Bound{
		{Of: "bran", Upper: true}, {Of: "gypsum", Upper: true}, {Of: "pellet", Upper: true}, {Of: "soy", Upper: true},
	}, none.Against)
	assert.Empty(t, none.Reach)
}

// What loosening a bound would gain, worked by hand.
func TestHeldBounds(t *testing.T) {
	p := golden(nitrogen(0.01, math.Inf(1)))
	r, err := Solve(p)
	require.NoError(t, err)
	// Bran gives a unit of nitrogen for (0.40 − 0.20)/(0.0278 − 0.0015) = 7.60,
	// soy for (0.35 − 0.20)/(0.0190 − 0.0015) = 8.57: bran is at its cap, and a
	// step more of it spares 0.001 · 0.0263/0.0175 of soy.
	require.Len(t, r.Held, 2)
	assert.Equal(t, Bound{Of: "bran", Upper: true}, r.Held[0].Bound)
	assert.InDelta(t, 0.0263/0.0175*0.001*0.15-0.001*0.20, r.Held[0].Gain, 1e-9)
	// A tenth of a percent less nitrogen spares 0.001/0.0175 of soy for pellets.
	assert.Equal(t, Bound{Of: "nitrogen", Target: true}, r.Held[1].Bound)
	assert.InDelta(t, 0.001/0.0175*0.15, r.Held[1].Gain, 1e-9)
}

// A formula that is within all targets is the closest to itself, to the last
// bit, also where it is in no steps of 0.1 %.
func TestHouseFormulaStays(t *testing.T) {
	p := golden(nitrogen(0.008, 0.012))
	for i, share := range []float64{2.0 / 3, 0.99 - 2.0/3 - 0.2, 0.2, 0.01} {
		p.Ingredients[i].House = share
	}
	for _, goal := range []Goal{Closest, LeastSquares} {
		p.Goal = goal
		r, err := Solve(p)
		require.NoError(t, err)
		assert.Equal(t, []float64{2.0 / 3, 0.99 - 2.0/3 - 0.2, 0.2, 0.01}, r.Shares)
		assert.Empty(t, r.Held)
	}
}

// Of formulas that cost the same the one closest to the house formula is taken,
// and at the same distance the one of the first by id.
func TestTiesAreBroken(t *testing.T) {
	p := Problem{Goal: Cheapest, Ingredients: []Ingredient{
		{ID: "c", High: 1, Cost: 1, House: 0.3}, {ID: "a", High: 1, Cost: 1, House: 0.5}, {ID: "b", High: 1, Cost: 1, House: 0.2},
	}}
	r, err := Solve(p)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.3, 0.5, 0.2}, r.Shares, 1e-9)
	p.Goal = Closest
	p.Ingredients[1].High = 0.4 // to b or to c?
	r, err = Solve(p)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{0.3, 0.4, 0.3}, r.Shares, 1e-9)
}

func TestBadProblems(t *testing.T) {
	for want, change := range map[string]func(*Problem){
		"0 ingredients":       func(p *Problem) { p.Ingredients = nil },
		"no goal":             func(p *Problem) { p.Goal = 0 },
		"soy stands":          func(p *Problem) { p.Ingredients[0].ID = "soy" },
		"from 0.4 to 0.3":     func(p *Problem) { p.Ingredients[1].Low = 0.4 },
		"from NaN":            func(p *Problem) { p.Ingredients[1].Low = math.NaN() },
		"from 0 to 1.5":       func(p *Problem) { p.Ingredients[1].High = 1.5 },
		"figure of soy":       func(p *Problem) { p.Ingredients[1].Cost = math.Inf(1) },
		"nitrogen stands":     func(p *Problem) { p.Targets = append(p.Targets, p.Targets[0]) },
		"other ingredients":   func(p *Problem) { p.Targets[0].Top = p.Targets[0].Top[:2] },
		"figure of target":    func(p *Problem) { p.Targets[0].Top[0] = math.NaN() },
		"below 0":             func(p *Problem) { p.Targets[0].Bottom = []float64{1, 1, -1, 1} },
		"is to be from 1 to":  func(p *Problem) { p.Targets[0].Low = 1 },
		"is to be from +Inf":  func(p *Problem) { p.Targets[0].Low, p.Targets[0].High = math.Inf(1), math.Inf(1) },
		"is to be from 0.008": func(p *Problem) { p.Targets[0].High = math.NaN() },
	} {
		p := golden(nitrogen(0.008, 0.012))
		change(&p)
		_, err := Solve(p)
		assert.ErrorContains(t, err, want)
	}
}

// onGrid holds shares to whole steps and to a sum of 1.
func onGrid(t require.TestingT, shares []float64) {
	sum := 0.0
	for _, x := range shares {
		assert.InDelta(t, math.Round(x*steps), x*steps, 1e-9)
		sum += x
	}
	assert.InDelta(t, 1, sum, 1e-9)
}

// drawn is a random problem of up to n ingredients and up to three targets,
// with bounds in whole percents. Many have no solution.
func drawn(t *rapid.T, n int, points bool) Problem {
	percent := func(name string, low, high int) float64 {
		return float64(rapid.IntRange(low, high).Draw(t, name)) / 100
	}
	p := Problem{Goal: rapid.SampledFrom([]Goal{Cheapest, Closest, LeastSquares}).Draw(t, "goal")}
	left := 100
	var n1, c, ash []float64
	for i := range rapid.IntRange(2, n).Draw(t, "n") {
		in := Ingredient{ID: string(rune('a' + i)), Low: percent("low", 0, 30), Cost: percent("cost", 0, 100)}
		if rapid.Bool().Draw(t, "no low") {
			in.Low = 0
		}
		in.High = in.Low + float64(rapid.IntRange(0, int(math.Round(100-100*in.Low))).Draw(t, "width"))/100
		house := rapid.IntRange(0, left).Draw(t, "house")
		left -= house
		in.House = float64(house) / 100
		p.Ingredients = append(p.Ingredients, in)
		n1 = append(n1, float64(rapid.IntRange(1, 60).Draw(t, "N"))/1000)
		c = append(c, percent("C", 40, 55))
		ash = append(ash, percent("ash", 0, 15))
	}
	span := func(name string, top, bottom []float64, scale float64, most int) {
		low := rapid.IntRange(0, most).Draw(t, name+" low")
		high := rapid.IntRange(low, most).Draw(t, name+" high")
		target := Target{ID: name, Top: top, Bottom: bottom, Low: float64(low) * scale, High: float64(high) * scale, Give: scale, Loosen: scale}
		if low == high && !points {
			target.High = math.Inf(1)
		}
		p.Targets = append(p.Targets, target)
	}
	if rapid.Bool().Draw(t, "with N") {
		span("nitrogen", n1, nil, 0.001, 60)
	}
	if rapid.Bool().Draw(t, "with C:N") {
		span("cn", c, n1, 1, 120)
	}
	if rapid.Bool().Draw(t, "with ash") {
		p.Targets = append(p.Targets, Target{ID: "ash", Top: ash, Low: math.Inf(-1), High: percent("ash cap", 1, 15), Loosen: 0.01})
	}
	return p
}

// within reports whether shares keep all bounds of a problem, with some slack.
func within(p Problem, x []float64, slack float64) bool {
	sum := 0.0
	for i, in := range p.Ingredients {
		if x[i] < in.Low-slack || x[i] > in.High+slack {
			return false
		}
		sum += x[i]
	}
	for _, r := range p.rows() {
		if v := r.at(x); v < -slack || r.equal && v > slack {
			return false
		}
	}
	return math.Abs(sum-1) <= slack
}

// Whatever is solved keeps all bounds, before and after rounding, and what is
// said to have no solution has none on a grid.
func TestNeverWorseThanAGrid(t *testing.T) {
	solved, none, stuck := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 4, false)
		r, err := Solve(p)
		best, found := search(p, 50)
		var no *Infeasible
		switch {
		case errors.As(err, &no):
			none++
			if found {
				t.Fatalf("said to have no solution, but the grid has one")
			}
			return
		case errors.Is(err, ErrNotInSteps):
			stuck++
			if _, fine := search(p, steps); fine && len(p.Ingredients) < 4 {
				t.Fatalf("said to have none in steps, but there is one")
			}
			return
		}
		require.NoError(t, err)
		solved++
		require.True(t, within(p, r.Exact, 1e-8), "%v", r.Exact)
		if p.Goal == Cheapest || r.Objective > near {
			onGrid(t, r.Shares)
			require.True(t, within(p, r.Shares, 1e-9), "%v", r.Shares)
		}
		require.GreaterOrEqual(t, r.Rounded, r.Objective-1e-7)
		if found {
			require.LessOrEqual(t, r.Objective, best+1e-7)
		}
		// Rounding brings nothing in that the exact formula does without.
		if best, found := search(p.without(r.Shares), 50); found {
			require.LessOrEqual(t, r.Rounded, best+1e-7, "rounding lost what a coarser grid has")
		}
	})
	t.Logf("%d solved, %d without solution, %d not in steps", solved, none, stuck)
	assert.Greater(t, solved, 5)
	assert.Greater(t, none, 5)
}

// An ingredient that would only serve to round the others is left out.
func TestNoTraces(t *testing.T) {
	p := golden(nitrogen(0.01, math.Inf(1)))
	p.Ingredients = append(p.Ingredients, Ingredient{ID: "cob", High: 0.8, Cost: 0.35})
	p.Targets[0].Top = append(p.Targets[0].Top, 0.0054)
	r, err := Solve(p)
	require.NoError(t, err)
	assert.Zero(t, r.Exact[4])
	assert.Zero(t, r.Shares[4])
}

// search tries all shares in so many steps.
func search(p Problem, n int) (best float64, found bool) {
	best = math.Inf(1)
	x := make([]float64, len(p.Ingredients))
	var from func(i, left int)
	from = func(i, left int) {
		if i == len(x)-1 {
			x[i] = float64(left) / float64(n)
			if within(p, x, 1e-9) {
				best, found = math.Min(best, p.objective(x)), true
			}
			return
		}
		for k := range left + 1 {
			if v := float64(k) / float64(n); v <= p.Ingredients[i].High+1e-9 {
				x[i] = v
				from(i+1, left-k)
			}
		}
	}
	from(0, n)
	return best, found
}
