package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/heat"
)

// anyProblem draws vessels, matter and runs that a farm could have; with vapor
// half the time.
func anyProblem(t *rapid.T) heat.Problem {
	number := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	comeUp := number("come-up, min", 16, 90) * minute
	p := prototype("bottle 850 mL", number("altitude, m", 0, 4000), 0, number("k", 0.12, 0.81), comeUp, number("hold, min", 15, 120)*minute)
	p.Body = heat.Body{Radius: number("radius, m", 0.02, 0.1), Height: number("height, m", 0.05, 0.3)}
	p.Matter.HeatCapacity = heat.Constant(number("heat capacity", heat.LeastBulkHeatCapacity, heat.MostBulkHeatCapacity))
	p.Surfaces = heat.Surfaces{Side: number("side", 5, 1000), Bottom: number("bottom", 0, 1000), Top: number("top", 0, 200),
		Hole: number("hole", 5, 2000)}
	if rapid.Bool().Draw(t, "has hole") {
		p.Hole = heat.Hole{Radius: p.Body.Radius * number("hole of radius", 0.1, 0.55), Depth: p.Body.Height * number("hole of height", 0.3, 1)}
	}
	if rapid.Bool().Draw(t, "vapor") {
		p.Matter.Vapor = pores(number("air", 0.05, 0.6))
	}
	p.Grid = heat.Grid{Radial: 12, Axial: 12, Step: 60}
	return p
}

// Whatever the vessel: heat is conserved, no place leaves the temperatures of
// start and surroundings by more than a hundredth of their difference, doses
// never fall, and the least is the least.
func TestAnySolutionIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { sound(t, anyProblem(t)) })
}

// So it is where next to nothing is left under a hole, which once gave temperatures
// without end.
func TestThinFloorsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		p.Hole = heat.Hole{Radius: p.Body.Radius * rapid.Float64Range(0.1, 0.55).Draw(t, "radius"),
			Depth: p.Body.Height - rapid.Float64Range(0, 2e-3).Draw(t, "floor")}
		p.Matter.Vapor = pores(0.6)
		sound(t, p)
	})
}

func sound(t *rapid.T, p heat.Problem) {
	r := solve(t, p)
	assert.Less(t, r.Energy.Error(), 1e-9)
	least, most := p.Start, r.Chamber[len(r.Chamber)-1]
	slack := (most - least) / 100
	for i := range r.Field.R {
		for j := range r.Field.Z {
			if k, ok := r.Field.At(i, j); ok {
				assert.True(t, k >= least-slack && k <= most+slack, "%v K at %v %v", k, i, j)
			}
		}
	}
	for i := range r.Least[1:] {
		assert.GreaterOrEqual(t, r.Least[i+1], r.Least[i])
	}
	n := len(r.Times) - 1
	assert.InEpsilon(t, r.Hold.Least, r.Slowest.Dose[n], 1e-9)
	assert.Equal(t, r.Hold.Core, r.Slowest.Temperature[n])
	assert.LessOrEqual(t, r.Hold.Least, r.Hold.Mean)
	assert.LessOrEqual(t, r.Hold.Mean, r.Hold.Most)
	assert.Equal(t, p.HoldTo, r.Times[n])
}

// More hold never lowers a dose, and the hold for a dose gives that dose.
func TestMoreHoldNeverLowersADose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		short := solve(t, p).Hold.Least
		p.HoldTo += rapid.Float64Range(0, 60).Draw(t, "more, min") * minute
		long := solve(t, p).Hold.Least
		assert.GreaterOrEqual(t, long, short*(1-1e-9))

		h, err := heat.Holds(p, p.HoldTo-p.HoldFrom+60, 0)
		require.NoError(t, err)
		after, err := h.After(p.HoldTo - p.HoldFrom)
		require.NoError(t, err)
		assert.InDelta(t, long, after, math.Max(5e-3*long, 1))
		hold, err := h.For(long)
		require.NoError(t, err)
		back, err := h.After(hold)
		require.NoError(t, err)
		if hold > 0 {
			assert.InEpsilon(t, long, back, 1e-9)
		}
	})
}

// A face that lets more heat through never makes a dose smaller.
func TestHigherConductanceIsNeverSlower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		before := solve(t, p).Hold.Least
		more := rapid.Float64Range(1, 10).Draw(t, "times")
		face := rapid.SampledFrom([]*float64{&p.Surfaces.Side, &p.Surfaces.Bottom, &p.Surfaces.Top, &p.Surfaces.Hole}).Draw(t, "face")
		*face *= more
		assert.GreaterOrEqual(t, solve(t, p).Hold.Least, before*(1-2e-3))
	})
}

// A hole full of steam is never slower than one full of air, nor that than none:
// with what the error of so coarse a grid may be.
func TestHolesNeverSlow(t *testing.T) {
	checks.Cases(t, 40)
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		p.Grid = heat.Grid{Radial: 16, Axial: 20, Step: 60}
		p.Hole = heat.Hole{Radius: p.Body.Radius * rapid.Float64Range(0.1, 0.55).Draw(t, "radius"),
			Depth: p.Body.Height - 0.012}
		dose := func(u float64) float64 {
			p.Surfaces.Hole = u
			return solve(t, p).Hold.Least
		}
		steamed, aired := dose(300), dose(10)
		p.Hole = heat.Hole{}
		collapsed := solve(t, p).Hold.Least
		assert.GreaterOrEqual(t, steamed, aired*(1-1e-3))
		assert.GreaterOrEqual(t, aired, math.Min(collapsed*0.985, collapsed-3))
	})
}

// The same problem gives the same bits, also when several are solved at once.
func TestSameBitsOnEveryRun(t *testing.T) {
	p := prototype("bottle 1.1 L", 0, 0.016, 0.3, 40*minute, 90*minute)
	p.Matter.Vapor = pores(0.41)
	first := solve(t, p)
	results := make(chan *heat.Result)
	for range 4 {
		go func() {
			r, _ := heat.Solve(p)
			results <- r
		}()
	}
	for range 4 {
		r := <-results
		assert.Equal(t, first.Slowest, r.Slowest)
		assert.Equal(t, first.Least, r.Least)
		assert.Equal(t, first.Uptake, r.Uptake)
		assert.Equal(t, first.Hold, r.Hold)
		assert.Equal(t, first.Energy, r.Energy)
	}
}

// A body heated alike from both ends stays its own mirror image.
func TestSymmetry(t *testing.T) {
	for _, vapor := range []*heat.Vapor{nil, pores(0.3)} {
		p := prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 30*minute)
		p.Surfaces = heat.Surfaces{Side: 105, Bottom: 60, Top: 60}
		p.Matter.Vapor = vapor
		f := solve(t, p).Field
		for i := range f.R {
			for j := range f.Z {
				a, _ := f.At(i, j)
				b, _ := f.At(i, len(f.Z)-1-j)
				assert.InDelta(t, a, b, 1e-8)
			}
		}
	}
}

// The time loop allocates nothing: twice the steps, as many allocations.
func TestTimeLoopAllocatesNothing(t *testing.T) {
	for _, vapor := range []*heat.Vapor{nil, pores(0.3)} {
		count := func(hold float64) float64 {
			p := prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, hold)
			p.Matter.Vapor = vapor
			solve(t, p)
			return testing.AllocsPerRun(5, func() { solve(t, p) })
		}
		assert.InDelta(t, count(60*minute), count(180*minute), 2)
	}
}

// flat is a low wide body on a base that takes heat in fast, with a hole that leaves a
// floor under it and vapor in its pores: steps of a minute are too long for it.
func flat(height, floor float64) heat.Problem {
	p := prototype("bottle 850 mL", 0, 0, 0.25, 27*minute, 30*minute)
	p.Body = heat.Body{Radius: 0.1, Height: height}
	p.Hole = heat.Hole{Radius: 0.025, Depth: height - floor}
	p.Surfaces = heat.Surfaces{Side: 20, Bottom: 1000, Top: 1, Hole: 5}
	p.Matter.Vapor = pores(0.35)
	return p
}

// Where a step is too long, shorter ones are taken, and give what still shorter ones give.
// Too many of them are refused.
func TestStepsThatAreTooLongAreHalved(t *testing.T) {
	for _, floor := range []float64{0, 1e-7, 3e-5, 1.01e-3, 5e-3, 2e-2} {
		p := flat(0.05, floor)
		got := solve(t, p)
		most := got.Chamber[len(got.Chamber)-1]
		for i := range got.Field.R {
			for j := range got.Field.Z {
				if k, ok := got.Field.At(i, j); ok {
					assert.LessOrEqual(t, k, most+1, "floor %v", floor)
				}
			}
		}
		p.Grid = heat.DefaultGrid
		p.Grid.Step = 2
		want := solve(t, p).Hold.Least
		assert.InDelta(t, want, got.Hold.Least, math.Max(0.01*want, 3), "floor %v", floor)
	}
	_, err := heat.Holds(flat(0.05, 5e-3), 2.4e6, 0) // 40,000 minutes, of which no more steps can be made
	assert.ErrorContains(t, err, "number of cells times steps")
}
