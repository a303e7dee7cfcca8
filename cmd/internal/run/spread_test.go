package run

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// scattered is the method of an 850 mL bottle at 420 m, its case made by the laws
// from the values that it is drawn around.
func scattered(t testing.TB) Scatter {
	at := func(l *working.Law, in map[string]float64) float64 {
		v, err := l.At(in)
		require.NoError(t, err)
		return v
	}
	s := Scatter{Gauge: 103421, Density: 720, Moisture: 0.65, Wall: 0.0012, OfWall: 0.2, Target: 900, Floor: 180}
	c := Case{Radius: 0.042, Height: 0.142, BoreRadius: 0.0086, BoreDepth: 0.126, Start: 293.15,
		Boiling: 371.8, Ambient: 96400, ComeUp: 1500, Vent: 600, Hold: 7200}
	c.Chamber = at(steam.ChamberTemperature, map[string]float64{"p_air": c.Ambient, "p_gauge": s.Gauge, "y": 0})
	c.AirFilled = at(vessel.Porosity, map[string]float64{"rho": s.Density, "m": s.Moisture})
	dry := at(heat.DryHeatCapacity, map[string]float64{"T": at(Midway, map[string]float64{"T_1": c.Start, "T_2": c.Chamber})})
	c.HeatCapacity = at(heat.VolumetricHeatCapacity, map[string]float64{"rho": s.Density,
		"c": at(heat.MoistHeatCapacity, map[string]float64{"w": s.Moisture, "c_dry": dry})})
	c.Side = at(heat.Wall, map[string]float64{"h": SteamFilm, "s": s.Wall, "k": s.OfWall})
	c.Base = c.Side
	s.Case = c
	s.Intervals = Usual(GaugeError(3447, s.Gauge, 206843), 0, 0.03, 0.015)
	return s
}

// rough is a grid for what holds on any grid.
var rough = heat.Grid{Radial: 8, Axial: 12, Step: 240}

// fixed makes inputs the same in all samples, at the middle of their intervals.
func (s Scatter) fixed(which ...Input) Scatter {
	for _, in := range which {
		v := s.Intervals[in].at(0.5)
		s.Intervals[in] = Interval{Low: v, High: v}
	}
	return s
}

func TestSpreadIsTheSameEachTimeAndOrdered(t *testing.T) {
	s := scattered(t)
	one, err := s.spread(rough)
	require.NoError(t, err)
	two, err := s.spread(rough)
	require.NoError(t, err)
	a, err := json.Marshal(one)
	require.NoError(t, err)
	b, err := json.Marshal(two)
	require.NoError(t, err)
	assert.Equal(t, string(a), string(b))
	// What a store gives back is the same spread.
	var back Spread
	require.NoError(t, json.Unmarshal(a, &back))
	assert.Equal(t, *one, back)
	ordered(t, one)
}

// ordered holds a spread to what any has.
func ordered(t *testing.T, s *Spread) {
	t.Helper()
	assert.Equal(t, 20, s.Runs)
	assert.Equal(t, 400, s.Vessels)
	require.NotNil(t, s.Fallen)
	for _, x := range []Samples{s.All, s.Still, *s.Fallen} {
		assert.Greater(t, x.F0.P5, 0.0)
		assert.Less(t, x.F0.P5, x.F0.P50)
		assert.Less(t, x.F0.P50, x.F0.P95)
		assert.LessOrEqual(t, x.UnderFloor, x.UnderTarget)
	}
	// Without vapor every vessel is slower, and so is one whose bore fell in.
	for _, x := range []Samples{s.Still, *s.Fallen} {
		assert.Less(t, x.F0.P5, s.All.F0.P5)
		assert.Less(t, x.F0.P50, s.All.F0.P50)
		assert.Less(t, x.F0.P95, s.All.F0.P95)
		assert.GreaterOrEqual(t, x.UnderTarget, s.All.UnderTarget)
	}
}

// Each sample with a fallen bore gets less than the same one with an open bore.
func TestAFallenBoreIsWorseInEverySample(t *testing.T) {
	s := scattered(t)
	draws := s.draws()[:60]
	open, err := s.doses(draws, rough, false)
	require.NoError(t, err)
	fallen, err := s.doses(draws, rough, true)
	require.NoError(t, err)
	for i := range open {
		assert.Less(t, fallen[i], open[i])
	}
}

func TestALongerHoldNeverLowersAPercentile(t *testing.T) {
	checks.Cases(t, 20)
	rapid.Check(t, func(r *rapid.T) {
		s := scattered(t)
		s.Case.Hold = rapid.Float64Range(600, 14400).Draw(r, "hold")
		s.Gauge = rapid.Float64Range(50e3, 130e3).Draw(r, "gauge")
		longer := s
		longer.Case.Hold += rapid.Float64Range(1, 7200).Draw(r, "more")
		draws := s.draws()
		assert.Equal(r, draws, longer.draws(), "both meet with the same luck")
		some := draws[:spreadVessels]
		short, err := s.doses(some, rough, false)
		require.NoError(r, err)
		long, err := longer.doses(some, rough, false)
		require.NoError(r, err)
		a, b := percentilesOf(short), percentilesOf(long)
		assert.GreaterOrEqual(r, b.P5, a.P5)
		assert.GreaterOrEqual(r, b.P50, a.P50)
		assert.GreaterOrEqual(r, b.P95, a.P95)
	})
}

// With nothing drawn, all samples are the case itself: here the slow one, bit for
// bit as package heat solves it on the same grid.
// Samples are compared with all of their digits (Solve keeps six).
func TestWithoutScatterAllSamplesAreTheCase(t *testing.T) {
	s := scattered(t).fixed(GaugeOff, Air, ComeUp, Density, Moisture)
	for in, v := range map[Input]float64{Conductivity: LowConductivity, Vapor: 0, Bore: AirInBore} {
		s.Intervals[in] = Interval{Low: v, High: v}
	}
	// Outside CI on a grid that takes a tenth of the time.
	grid := heat.DefaultGrid
	if !checks.Whole() {
		grid = rough
	}
	least := func(a Assumption) float64 {
		p := s.Case.problem(a)
		p.Grid = grid
		r, err := heat.Solve(p)
		require.NoError(t, err)
		return r.Hold.Least
	}
	want := least(Slow)
	got, err := s.spread(grid)
	require.NoError(t, err)
	assert.Equal(t, Percentiles{want, want, want}, got.All.F0)
	assert.Equal(t, got.All, got.Still)
	assert.Zero(t, got.Between)
	assert.Empty(t, got.Influences)
	assert.Equal(t, least(Collapsed), got.Fallen.F0.P50)

	// And the quick one.
	for in, v := range map[Input]float64{Conductivity: UsualConductivity, Vapor: 1, Bore: SteamInBore} {
		s.Intervals[in] = Interval{Low: v, High: v}
	}
	want = least(Quick)
	doses, err := s.doses(s.draws()[:3], grid, false)
	require.NoError(t, err)
	assert.Equal(t, []float64{want, want, want}, doses)
}

func TestTheShareBetweenRuns(t *testing.T) {
	s := scattered(t)
	share := func(s Scatter) float64 {
		doses, err := s.doses(s.draws(), rough, false)
		require.NoError(t, err)
		return between(doses)
	}
	assert.Less(t, share(s.fixed(GaugeOff, Air, ComeUp)), 0.01, "runs alike")
	assert.InDelta(t, 1, share(s.fixed(Density, Moisture, Conductivity, Vapor, Bore)), 1e-9, "vessels alike")
	both := share(s)
	assert.Greater(t, both, 0.02)
	assert.Less(t, both, 0.98)
}

// Bad runs and bad vessels, counted by hand: of twenty vessels one may be under
// the target, two make a bad run.
func TestBadRunsAndBadVessels(t *testing.T) {
	s := Scatter{Target: 10, Floor: 5}
	doses := slices.Repeat([]float64{20}, 60)
	doses[3] = 9                // a good run with one bad vessel
	doses[20], doses[21] = 9, 4 // a bad run; the third has none
	got := s.samples(doses, 20)
	assert.InDelta(t, 1.0/3, got.BadRuns, 1e-12)
	assert.InDelta(t, 1.0/40, got.BadVessels, 1e-12)
	assert.InDelta(t, 3.0/60, got.UnderTarget, 1e-12)
	assert.InDelta(t, 1.0/60, got.UnderFloor, 1e-12)
	all := s.samples(slices.Repeat([]float64{1}, 40), 20)
	assert.Equal(t, 1.0, all.BadRuns)
	assert.Zero(t, all.BadVessels)
}

// The ten pairs of the usual textbook example, an IQ beside hours of television
// a week: rho = −29/165 (from memory; 6·194 = 1164 squared differences, 1 −
// 1164/990). A tie counts at its mean rank.
func TestSpearman(t *testing.T) {
	iq := []float64{106, 86, 100, 101, 99, 103, 97, 113, 112, 110}
	hours := []float64{7, 0, 27, 50, 28, 29, 20, 12, 6, 17}
	assert.InDelta(t, -29.0/165, spearman(iq, hours), 1e-12)
	assert.InDelta(t, 1, spearman([]float64{1, 2, 3}, []float64{1, 10, 1000}), 1e-12)
	assert.InDelta(t, -1, spearman([]float64{1, 2, 3}, []float64{5, 4, 3}), 1e-12)
	assert.Equal(t, []float64{0, 1.5, 1.5, 3}, ranks([]float64{1, 2, 2, 3}))
	assert.Zero(t, spearman([]float64{1, 1, 1}, []float64{1, 2, 3}))
}

// By hand, definition 7: the 5th percentile of 0, 1, …, 100 is 5; of 1 and 2 it
// is 1.05.
func TestPercentiles(t *testing.T) {
	var all []float64
	for i := range 101 {
		all = append(all, float64(100-i))
	}
	assert.Equal(t, Percentiles{5, 50, 95}, percentilesOf(all))
	p := percentilesOf([]float64{2, 1})
	assert.InDelta(t, 1.05, p.P5, 1e-12)
	assert.InDelta(t, 1.95, p.P95, 1e-12)
}

// The sample has one value in each layer of an interval, and stays inside.
func TestDraws(t *testing.T) {
	s := scattered(t)
	s.Intervals[Air] = Interval{Even, 0, 0.1}
	draws := s.draws()
	require.Len(t, draws, 400)
	for in, v := range s.Intervals {
		for k, d := range draws {
			assert.GreaterOrEqual(t, d[in], v.Low)
			assert.LessOrEqual(t, d[in], v.High)
			if Input(in).EachRun() {
				assert.Equal(t, draws[k/spreadVessels*spreadVessels][in], d[in], "once a run")
			}
		}
	}
	for run := range slices.Chunk(draws, spreadVessels) {
		var layers [spreadVessels]int
		for _, d := range run {
			layers[int(d[Vapor]*spreadVessels)]++
		}
		for _, n := range layers {
			assert.Equal(t, 1, n)
		}
	}
}

// Shares of the standard normal distribution cut off at two standard deviations:
// half below the middle, and 68.27/95.45 within one (tables of the distribution).
func TestBell(t *testing.T) {
	v := Interval{Bell, -2, 2}
	assert.InDelta(t, 0, v.at(0.5), 1e-12)
	within := 0.6826895 / 0.9544997
	assert.InDelta(t, 1, v.at(0.5+within/2), 1e-6)
	assert.InDelta(t, -1, v.at(0.5-within/2), 1e-6)
	assert.InDelta(t, -2, v.at(1e-12), 1e-6)
	assert.InDelta(t, math.Sqrt(5*300), Interval{Decades, 5, 300}.at(0.5), 1e-9)
}

// The grid of a spread against the default one, for bottles with a bore and
// without, and a hold at which the percentiles lie around the target.
func TestGridOfSpreadIsFineEnough(t *testing.T) {
	for _, bored := range []bool{true, false} {
		t.Run(fmt.Sprintf("bored %v", bored), func(t *testing.T) {
			s := scattered(t)
			s.Case.Hold = 5400
			if !bored {
				s.Case.BoreRadius, s.Case.BoreDepth = 0, 0
				s.Case.Hold = 9000
			}
			var some [][inputs]float64
			for i, d := range s.draws() {
				if i%9 == 0 {
					d[Vapor] *= float64(i % 2) // every other without vapor
					some = append(some, d)
				}
			}
			some = checks.Every(3, some)
			fine, err := s.doses(some, heat.DefaultGrid, false)
			require.NoError(t, err)
			coarse, err := s.doses(some, spreadGrid, false)
			require.NoError(t, err)
			for i := range some {
				assert.InDelta(t, fine[i], coarse[i], math.Max(0.02*fine[i], 3))
			}
		})
	}
}

func TestSpreadRefuses(t *testing.T) {
	s := scattered(t)
	s.Case.Ambient = math.NaN()
	_, err := SpreadOf(s)
	assert.Error(t, err)
	s = scattered(t)
	s.Case.Radius = -1
	_, err = SpreadOf(s)
	assert.ErrorContains(t, err, "radius")
}

// Some 0.9 s of one core.
func BenchmarkSpread(b *testing.B) {
	s := scattered(b)
	for b.Loop() {
		if _, err := s.spread(spreadGrid); err != nil {
			b.Fatal(err)
		}
	}
}
