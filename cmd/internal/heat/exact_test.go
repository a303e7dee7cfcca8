package heat_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/heat"
)

// Matter and body of the reference's table of checks.
const (
	radius       = 0.045
	height       = 0.125
	conductivity = 0.3
	capacity     = 680 * 3150.0
	diffusivity  = conductivity / capacity
	fixed        = 1e6 // W/(m²·K): a wall as good as fixed, Bi 150,000
	hot          = zero + 120
	cold         = zero + 20
)

// plunge is a body at 20 °C that meets surroundings of 120 °C.
func plunge(surfaces heat.Surfaces, time float64, g heat.Grid) heat.Problem {
	return heat.Problem{
		Body: heat.Body{Radius: radius, Height: height}, Surfaces: surfaces,
		Matter: heat.Matter{Conductivity: heat.Constant(conductivity), HeatCapacity: heat.Constant(capacity)},
		Start:  cold, Chamber: heat.Profile{{0, hot}, {time, hot}}, HoldTo: time,
		Dose: heat.Dose{Reference: zero + 121.1, Z: 10}, Grid: g,
	}
}

// worst is the largest difference, over all cells at the end, between a
// solution and an exact one.
func worst(t *testing.T, p heat.Problem, exact func(r, z float64) float64, of func(kelvin float64) float64) float64 {
	r, most := solve(t, p), 0.0
	for i, x := range r.Field.R {
		for j, z := range r.Field.Z {
			if kelvin, ok := r.Field.At(i, j); ok {
				most = math.Max(most, math.Abs(of(kelvin)-exact(x, z)))
			}
		}
	}
	return most
}

func left(kelvin float64) float64 { return (hot - kelvin) / (hot - cold) }

// cases are the bodies of which the solution is known, by time and grid.
var cases = map[string]struct {
	time    float64
	problem func(time float64, g heat.Grid) heat.Problem
	exact   func(time float64) func(r, z float64) float64
	of      func(float64) float64
}{
	"cylinder, Bi endless": {3600,
		func(time float64, g heat.Grid) heat.Problem { return plunge(heat.Surfaces{Side: fixed}, time, g) },
		func(time float64) func(r, z float64) float64 {
			return func(r, _ float64) float64 { return cylinder(fixed*radius/conductivity, radius, diffusivity, time, r) }
		}, left},
	"cylinder, Bi 15": {3600,
		func(time float64, g heat.Grid) heat.Problem { return plunge(heat.Surfaces{Side: 100}, time, g) },
		func(time float64) func(r, z float64) float64 {
			return func(r, _ float64) float64 { return cylinder(15, radius, diffusivity, time, r) }
		}, left},
	"finite cylinder, Bi 15": {3600,
		func(time float64, g heat.Grid) heat.Problem {
			return plunge(heat.Surfaces{Side: 100, Bottom: 100, Top: 100}, time, g)
		},
		func(time float64) func(r, z float64) float64 {
			return func(r, z float64) float64 {
				return cylinder(15, radius, diffusivity, time, r) *
					slab(100*height/2/conductivity, height/2, diffusivity, time, z-height/2)
			}
		}, left},
	"annulus 10 to 45 mm": {900,
		func(time float64, g heat.Grid) heat.Problem {
			p := plunge(heat.Surfaces{Side: fixed, Hole: fixed}, time, g)
			p.Hole = heat.Hole{Radius: 0.010, Depth: height}
			return p
		},
		func(time float64) func(r, z float64) float64 {
			return func(r, _ float64) float64 { return annulus(0.010, radius, diffusivity, time, r) }
		}, left},
	"cylinder, ramp of 100 K an hour": {3600,
		func(time float64, g heat.Grid) heat.Problem {
			p := plunge(heat.Surfaces{Side: fixed}, time, g)
			p.Chamber = heat.Profile{{0, cold}, {time, cold + 100*time/3600}}
			return p
		},
		func(time float64) func(r, z float64) float64 {
			return func(r, _ float64) float64 { return ramp(100.0/3600, radius, diffusivity, time, r) / 100 }
		}, func(kelvin float64) float64 { return (kelvin - cold) / 100 }},
}

// The error against the exact solution, in every cell, falls fourfold when the
// grid is doubled and the step halved. Its size on the default grid stands here.
func TestConvergesAtSecondOrder(t *testing.T) {
	stated := map[string]float64{
		"cylinder, Bi endless":            6.5e-4,
		"cylinder, Bi 15":                 6.0e-4,
		"finite cylinder, Bi 15":          8.0e-4,
		"annulus 10 to 45 mm":             1.3e-3,
		"cylinder, ramp of 100 K an hour": 1.0e-3,
	}
	for name, c := range cases {
		var errors []float64
		for _, fine := range []int{1, 2, 4} {
			g := heat.Grid{Radial: 12 * fine, Axial: 16 * fine, Step: 60 / float64(fine)}
			errors = append(errors, worst(t, c.problem(c.time, g), c.exact(c.time), c.of))
		}
		for i := range 2 {
			ratio := errors[i] / errors[i+1]
			assert.Truef(t, ratio > 3.4 && ratio < 5, "%s: errors %.2g fall by %.2f", name, errors, ratio)
		}
		got := worst(t, c.problem(c.time, heat.DefaultGrid), c.exact(c.time), c.of)
		t.Logf("%-32s %.1e, default grid %.1e", name, errors, got)
		assert.Less(t, got, stated[name], name)
	}
}

// Over Biot numbers from 0.1 to endless and Fourier numbers (by the radius)
// from 0.1 to 1.6, no cell of the default grid is off by more than 0.4 % of the
// jump that the body was plunged through; by Fo 0.2 it is less than 0.15 %.
func TestMeetsSeriesOverBiotAndFourier(t *testing.T) {
	most, early := 0.0, 0.0
	for _, bi := range checks.Every(3, []float64{0.1, 1, 5, 10, 15, 100, 1e5}) {
		for _, fo := range []float64{0.1, 0.2, 0.4, 0.8, 1.6} {
			time := fo * radius * radius / diffusivity
			u := bi * conductivity / radius
			look := func(name string, p heat.Problem, exact func(r, z float64) float64) {
				e := worst(t, p, exact, left)
				if fo == 0.1 {
					early = math.Max(early, e)
				} else {
					most = math.Max(most, e)
				}
				assert.Less(t, e, map[bool]float64{true: 4e-3, false: 1.5e-3}[fo == 0.1], "%s, Bi %v, Fo %v", name, bi, fo)
			}
			look("cylinder", plunge(heat.Surfaces{Side: u}, time, heat.DefaultGrid),
				func(r, _ float64) float64 { return cylinder(bi, radius, diffusivity, time, r) })
			look("finite cylinder", plunge(heat.Surfaces{Side: u, Bottom: u, Top: u}, time, heat.DefaultGrid),
				func(r, z float64) float64 {
					return cylinder(bi, radius, diffusivity, time, r) *
						slab(u*height/2/conductivity, height/2, diffusivity, time, z-height/2)
				})
			p := plunge(heat.Surfaces{Bottom: u}, time, heat.DefaultGrid)
			look("slab with one face", p,
				func(_, z float64) float64 { return slab(u*height/conductivity, height, diffusivity, time, height-z) })
		}
	}
	t.Logf("largest error %.1e of the jump, at Fo 0.1 %.1e", most, early)
}

// Where conductivity and heat capacity have the same dependence g(T) on the
// temperature, the integral of g obeys the equation with constant properties
// (Kirchhoff's transformation): an exact solution with properties that double.
func TestVaryingPropertiesMeetKirchhoff(t *testing.T) {
	g := func(kelvin float64) float64 { return 1 + (kelvin-cold)/(hot-cold) }
	integral := func(kelvin float64) float64 {
		x := (kelvin - cold) / (hot - cold)
		return (x + x*x/2) / 1.5 // 1 when hot
	}
	times := func(f float64) heat.Property {
		p, err := heat.Varying(func(k float64) (float64, error) { return f * g(k), nil }, cold-1, hot+1)
		require.NoError(t, err)
		return p
	}
	var errors []float64
	for _, fine := range []int{1, 2, 4} {
		p := plunge(heat.Surfaces{Side: fixed}, 3600, heat.Grid{Radial: 12 * fine, Axial: 4, Step: 60 / float64(fine)})
		p.Matter = heat.Matter{Conductivity: times(conductivity), HeatCapacity: times(capacity)}
		errors = append(errors, worst(t, p,
			func(r, _ float64) float64 { return 1 - cylinder(fixed, radius, diffusivity, 3600, r) }, integral))
		assert.Less(t, solve(t, p).Energy.Error(), 1e-3)
	}
	t.Logf("%.1e", errors)
	for i := range 2 {
		assert.Greater(t, errors[i]/errors[i+1], 3.4, fmt.Sprintf("%.2g", errors))
	}
	assert.Less(t, errors[1], 2e-3)
}

// With vapor in the pores there is no exact solution: successive halvings must
// come fourfold closer to each other, of the step alone and of grid and step
// together. The grid is looked at through means, for the place of the least
// dose moves with the cells.
func TestVaporConvergesAtSecondOrder(t *testing.T) {
	run := func(g heat.Grid) heat.Outcome {
		p := prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 10*minute)
		p.Matter.Vapor = pores(0.41)
		p.Grid = g
		return solve(t, p).Hold
	}
	ratio := func(name string, least, most float64, v [3]float64) {
		r := (v[0] - v[1]) / (v[1] - v[2])
		t.Logf("%s: %.6g, ratio %.2f", name, v, r)
		assert.Truef(t, r > least && r < most, "%s: %.6g fall by %.2f", name, v, r)
	}
	var dose, core, mean, temperature [3]float64
	for i := range 3 {
		fine := 1 << i
		o := run(heat.Grid{Radial: 24, Axial: 32, Step: 40 / float64(fine)})
		dose[i], core[i] = o.Least, o.Core
		o = run(heat.Grid{Radial: 12 * fine, Axial: 16 * fine, Step: 60 / float64(fine)})
		mean[i], temperature[i] = o.Mean, o.MeanTemperature
	}
	ratio("step, least dose", 3.8, 4.2, dose)
	ratio("step, core", 3.8, 4.2, core)
	ratio("grid and step, mean dose", 3.5, 5.2, mean)
	ratio("grid and step, mean temperature", 3.5, 5.2, temperature)
}
