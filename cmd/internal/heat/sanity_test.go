package heat_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/steam"
)

const (
	minute = 60.0
	psi    = 6894.757293168361 // Pa, NIST SP 811
	zero   = 273.15            // K at 0 °C
)

// The vessels of the prototype, as the sterilization reference states them.
var vessels = map[string]struct {
	body     heat.Body
	surfaces heat.Surfaces
	density  float64
}{
	"bottle 850 mL": {heat.Body{Radius: 0.045, Height: 0.125}, heat.Surfaces{Side: 105, Bottom: 91, Top: 15, Hole: 300}, 680},
	"bottle 1.1 L":  {heat.Body{Radius: 0.049, Height: 0.132}, heat.Surfaces{Side: 105, Bottom: 91, Top: 15, Hole: 300}, 680},
	"bag 2.3 kg":    {heat.Body{Radius: 0.0788, Height: 0.130}, heat.Surfaces{Side: 400, Bottom: 200, Top: 30}, 730},
}

// prototype is a case of the sanity tables: come-up to boiling in two thirds of
// what the come-up leaves beside ten minutes of venting, then to the process
// temperature of air-free steam at 15 psi gauge.
func prototype(vessel string, altitude, hole, k, comeUp, hold float64) heat.Problem {
	v := vessels[vessel]
	air := must(steam.StandardPressure(altitude))
	boiling := must(steam.SaturationTemperature(air))
	process := must(steam.SaturationTemperature(air + 15*psi))
	toBoil := (comeUp - 10*minute) * 2 / 3
	p := heat.Problem{
		Body: v.body, Surfaces: v.surfaces,
		Matter:   heat.Matter{Conductivity: heat.Constant(k), HeatCapacity: heat.Constant(v.density * 3150)},
		Start:    zero + 20,
		Chamber:  heat.Profile{{0, zero + 20}, {toBoil, boiling}, {toBoil + 10*minute, boiling}, {comeUp, process}},
		HoldFrom: comeUp, HoldTo: comeUp + hold,
		Dose: heat.Dose{Reference: zero + 121.1, Z: 10},
	}
	if hole > 0 {
		p.Hole = heat.Hole{Radius: hole / 2, Depth: v.body.Height - 0.012}
	}
	return p
}

// must turns a refusal into NaN, which meets nothing.
func must(v float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return v
}

func solve(t require.TestingT, p heat.Problem) *heat.Result {
	r, err := heat.Solve(p)
	require.NoError(t, err)
	return r
}

// sanity is a row of testdata/sanity.csv.
type sanity struct {
	p     heat.Problem
	name  string
	cells map[string]string
}

func (s sanity) number(t *testing.T, column string) float64 {
	v, err := strconv.ParseFloat(strings.TrimPrefix(s.cells[column], "<"), 64)
	require.NoError(t, err, "%s: %s", s.name, column)
	return v
}

func sanityRows(t *testing.T) []sanity {
	f, err := os.Open("testdata/sanity.csv")
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, 1+210)
	var out []sanity
	for _, line := range lines[1:] {
		s := sanity{cells: map[string]string{}}
		for i, column := range lines[0] {
			s.cells[column] = line[i]
		}
		s.name = strings.Join(line[:5], " ")
		s.p = prototype(s.cells["vessel"], s.number(t, "altitude_m"), s.number(t, "hole_mm")/1000,
			s.number(t, "k"), s.number(t, "come_up_min")*minute, s.number(t, "hold_min")*minute)
		out = append(out, s)
	}
	return out
}

// What the prototype found comes out on as many cells and steps as it had, and on
// the default grid, within 2 % of F0 above 1 min, 1 min of hold and 0.1 K. The
// mean is within 1.5 % and 2 %: it counts a thin hot shell that neither grid
// resolves well. Cells of 1.2 mm and steps of 15 s (64 by 96 cells) give up to
// 5 % more than the prototype printed (the bag at k 0.20: 15.1 where it has
// 14.4), so of the mean the table is the side that is off, and low.
func TestPrototypeTables(t *testing.T) {
	for _, s := range checks.Every(11, sanityRows(t)) {
		most, target := 600*minute, 15*minute
		holding, err := heat.Holds(s.p, most, target)
		require.NoError(t, err, s.name)
		assert.InDelta(t, s.number(t, "hold_for_15_min"), must(holding.For(target))/minute, 1, "%s: hold for F0 15", s.name)
		if s.cells["f0_min"] == "" {
			continue
		}
		own := s.p
		own.Grid = heat.Grid{Radial: 20, Axial: 32, Step: 20}
		for grid, r := range map[string]*heat.Result{"default grid": solve(t, s.p), "prototype's grid": solve(t, own)} {
			assert.InDelta(t, s.number(t, "core_C"), r.Hold.Core-zero, 0.1, "%s, %s: core", s.name, grid)
			f0, got := s.number(t, "f0_min"), r.Hold.Least/minute
			switch {
			case s.cells["f0_min"][0] == '<':
				assert.Less(t, skipping(r)/minute, f0, "%s, %s: F0", s.name, grid)
			case f0 > 1:
				assert.InEpsilon(t, f0, got, 0.02, "%s, %s: F0", s.name, grid)
			default:
				assert.InDelta(t, f0, got, 0.02, "%s, %s: F0", s.name, grid)
			}
			if s.cells["mean_f0_min"] != "" {
				tolerance := map[string]float64{"default grid": 0.02, "prototype's grid": 0.015}[grid]
				assert.InEpsilon(t, s.number(t, "mean_f0_min"), r.Hold.Mean/minute, tolerance, "%s, %s: mean F0", s.name, grid)
			}
		}
	}
}

// skipping is the dose of the slowest place as the prototype counted it: rates
// under 10^-3.2 left out. One row differs by it: the bag at k 0.30 at sea level
// has 0.012 min where the table says <0.01, for the prototype left out what came
// below 89.1 °C. This package counts it.
func skipping(r *heat.Result) float64 {
	rate := func(kelvin float64) float64 {
		if x := (kelvin - zero - 121.1) / 10; x >= -3.2 {
			return math.Pow(10, x)
		}
		return 0
	}
	sum, at := 0.0, r.Slowest.Temperature
	for i := 1; i < len(at); i++ {
		sum += (r.Times[i] - r.Times[i-1]) * (rate(at[i-1]) + rate(at[i])) / 2
	}
	return sum
}

// The prototype's sensitivities, listed after its tables: 850 mL, k 0.30, sea
// level.
func TestPrototypeSensitivities(t *testing.T) {
	hold := func(p heat.Problem) float64 {
		h, err := heat.Holds(p, 600*minute, 15*minute)
		require.NoError(t, err)
		return must(h.For(15*minute)) / minute
	}
	bottle := func(hole float64, change func(*heat.Problem)) heat.Problem {
		p := prototype("bottle 850 mL", 0, hole, 0.3, 40*minute, 90*minute)
		change(&p)
		return p
	}
	for side, want := range map[float64]float64{30: 179, 60: 155, 105: 145, 250: 137, 1000: 133} {
		assert.InDelta(t, want, hold(bottle(0, func(p *heat.Problem) { p.Surfaces.Side = side })), 1, "side %v W/m2K", side)
	}
	for density, want := range map[float64]float64{550: 119, 620: 133, 680: 145, 750: 159} {
		assert.InDelta(t, want, hold(bottle(0, func(p *heat.Problem) { p.Matter.HeatCapacity = heat.Constant(density * 3150) })), 1,
			"density %v kg/m3", density)
	}
	// The prototype let the chamber start at 20 °C whatever the matter had: so
	// 35 °C gives its 141 min. A chamber that starts at 35 °C too gives 139.7.
	for start, want := range map[float64]float64{5: 149, 20: 145, 35: 141} {
		assert.InDelta(t, want, hold(bottle(0, func(p *heat.Problem) { p.Start = zero + start })), 1, "start %v C", start)
	}
	for top, want := range map[float64][2]float64{0: {159, 73}, 15: {145, 71}, 200: {141, 70}} {
		for i, hole := range []float64{0, 0.016} {
			assert.InDelta(t, want[i], hold(bottle(hole, func(p *heat.Problem) { p.Surfaces.Top = top })), 1, "top %v W/m2K, hole %v m", top, hole)
		}
	}
	for u, want := range map[float64][2]float64{5: {4.1, 118}, 15: {8.8, 102}, 50: {18.9, 84}, 100: {24.3, 77}, 300: {29.5, 71}, 2000: {32.1, 68}} {
		p := bottle(0.016, func(p *heat.Problem) { p.Surfaces.Hole = u })
		assert.InEpsilon(t, want[0], solve(t, p).Hold.Least/minute, 0.02, "F0, hole %v W/m2K", u)
		assert.InDelta(t, want[1], hold(p), 1, "hole %v W/m2K", u)
	}
	air := must(steam.StandardPressure(0))
	for y, want := range map[float64]float64{0: 145, 0.05: 157, 0.1: 172, 0.2: 222} {
		process := must(steam.SaturationTemperature((air + 15*psi) * (1 - y)))
		assert.InDelta(t, want, hold(bottle(0, func(p *heat.Problem) { p.Chamber[3].Temperature = process })), 1, "air %v", y)
	}
}

// An answer of the default grid is as good as one of four times as many cells
// each way and steps, within 1 % of the dose or 3 s, whichever is more: for the
// vessels and holes of the sanity tables, for vessels far smaller and larger, and
// with vapor in the pores.
func TestDefaultGridIsFineEnough(t *testing.T) {
	fine := heat.Grid{Radial: 4 * heat.DefaultGrid.Radial, Axial: 4 * heat.DefaultGrid.Axial, Step: heat.DefaultGrid.Step / 4}
	worst, where := 0.0, ""
	look := func(name string, p heat.Problem) {
		coarse := solve(t, p).Hold.Least
		p.Grid = fine
		reference := solve(t, p).Hold.Least
		share := math.Abs(coarse-reference) / math.Max(0.01*reference, 3)
		assert.LessOrEqual(t, share, 1.0, "%s: %.3f min, and %.3f min on the finer grid", name, coarse/minute, reference/minute)
		if share > worst {
			worst, where = share, name
		}
	}
	type asked struct {
		name string
		p    heat.Problem
	}
	var looks []asked
	for _, s := range sanityRows(t) {
		if s.cells["altitude_m"] == "0" && s.cells["come_up_min"] == "30" && strings.Contains("0.20 0.40", s.cells["k"]) {
			looks = append(looks, asked{s.name, s.p})
		}
	}
	for _, c := range []struct {
		radius, height, hole, hold float64 // mm, min
		vapor                      bool
	}{
		{45, 125, 0, 20, true}, {45, 125, 20, 10, true}, {49, 132, 20, 20, true}, {78.8, 130, 0, 30, true},
		{10, 100, 0, 3, false}, {20, 50, 12, 5, true}, {20, 80, 20, 5, false}, {30, 120, 20, 10, true}, {100, 60, 0, 150, false},
	} {
		p := prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, c.hold*minute)
		p.Body = heat.Body{Radius: c.radius / 1000, Height: c.height / 1000}
		if c.hole > 0 {
			p.Hole = heat.Hole{Radius: c.hole / 2000, Depth: p.Body.Height - 0.012}
		}
		if c.vapor {
			p.Matter.Vapor = pores(0.41)
		}
		looks = append(looks, asked{fmt.Sprintf("%+v", c), p})
	}
	// A look takes 64 times as long as a run does.
	for _, l := range checks.Every(5, looks) {
		look(l.name, l.p)
	}
	t.Logf("worst: %.0f %% of what is allowed, %s", 100*worst, where)
}

// pores is vapor at sea level in matter with a share of air.
func pores(air float64) *heat.Vapor {
	return &heat.Vapor{AirFilled: air, Tortuosity: heat.DefaultTortuosity, MostFactor: heat.DefaultMostFactor, Ambient: 101325}
}

func benchmark(b *testing.B, p heat.Problem) {
	for b.Loop() {
		if _, err := heat.Solve(p); err != nil {
			b.Fatal(err)
		}
	}
}

// A run of 130 minutes: goal 3 ms.
func BenchmarkLinear(b *testing.B) {
	benchmark(b, prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 90*minute))
}

// The same with vapor in the pores: goal 15 ms.
func BenchmarkVapor(b *testing.B) {
	p := prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 90*minute)
	p.Matter.Vapor = pores(0.41)
	benchmark(b, p)
}

// The hold for F0 15 without a hole, 185 minutes.
func BenchmarkHolds(b *testing.B) {
	p := prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 90*minute)
	for b.Loop() {
		if _, err := heat.Holds(p, 600*minute, 15*minute); err != nil {
			b.Fatal(err)
		}
	}
}
