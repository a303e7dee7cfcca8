package heat_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/heat"
)

// cooled is a run that ends in room air at 20 °C: pressure off in 20 minutes,
// then unloaded, with 10 W/(m²·K) all round.
func cooled() heat.Problem {
	p := prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 90*minute)
	off, out := p.HoldTo+20*minute, p.HoldTo+21*minute
	process := p.Chamber[3].Temperature
	p.Chamber = append(p.Chamber, heat.Point{Time: p.HoldTo, Temperature: process},
		heat.Point{Time: off, Temperature: zero + 98}, heat.Point{Time: out, Temperature: zero + 20})
	p.Later = &heat.Later{At: out, Surfaces: heat.Surfaces{Side: 10, Bottom: 10, Top: 10, Hole: 10}}
	p.End = p.HoldTo + 600*minute
	return p
}

func TestCooling(t *testing.T) {
	p := cooled()
	r := solve(t, p)
	assert.Equal(t, r.Hold.Least, r.Final.Least, "cooling does not count")
	assert.Equal(t, r.Hold.Least, r.Least[len(r.Least)-1])
	assert.Less(t, r.Energy.Error(), 1e-9)
	assert.InDelta(t, zero+20, r.Final.MeanTemperature, 5)

	ready, ok := r.CoolTo(zero+30, p.HoldTo)
	require.True(t, ok)
	assert.Greater(t, ready, p.HoldTo+120*minute)
	at, err := r.At(heat.Place{R: 0.03, Z: 0.06})
	require.NoError(t, err)
	for i, time := range r.Times {
		if time >= ready {
			assert.LessOrEqual(t, at[i], zero+30.0)
		}
	}
	_, ok = r.CoolTo(zero+19, p.HoldTo)
	assert.False(t, ok, "colder than the room")

	p.Dose.CountAfterHold = true
	counted := solve(t, p)
	assert.InEpsilon(t, r.Hold.Least, counted.Hold.Least, 1e-12, "the hold is the same")
	assert.Greater(t, counted.Final.Least, counted.Hold.Least*1.05)

	// A profile that goes on at the temperature of the hold gives the same hold.
	p = cooled()
	h, err := heat.Holds(p, 90*minute, 0)
	require.NoError(t, err)
	assert.InEpsilon(t, r.Hold.Least, must(h.After(90*minute)), 1e-9)
}

// A lumped body cools exponentially: with Bi 0.02 the core follows
// exp(−U·A·t/C) within a percent of the difference (Incropera, section 5.1).
func TestCoolingOfALumpedBody(t *testing.T) {
	p := plunge(heat.Surfaces{Side: 5}, 3600, heat.DefaultGrid)
	p.Matter.Conductivity = heat.Constant(10)
	r := solve(t, p)
	want := math.Exp(-5 * 2 / (radius * capacity) * 3600)
	assert.InDelta(t, want, left(r.Hold.Core), 0.01)
}

// One log read every 10 s tells the same as the corners that it follows, and a
// noisy one nearly so.
func TestLoggedSeries(t *testing.T) {
	p := prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 90*minute)
	want := solve(t, p)
	corners := p.Chamber
	var logged, noisy heat.Profile
	for time := 0.0; time <= p.HoldTo; time += 10 {
		logged = append(logged, heat.Point{Time: time, Temperature: corners.At(time)})
		noise := math.Mod(float64(len(noisy))*0.618, 1) - 0.5
		noisy = append(noisy, heat.Point{Time: time, Temperature: corners.At(time) + noise})
	}
	p.Chamber = logged
	assert.InEpsilon(t, want.Hold.Least, solve(t, p).Hold.Least, 1e-9)
	p.Chamber = noisy
	assert.InEpsilon(t, want.Hold.Least, solve(t, p).Hold.Least, 2e-3)
}

// What the surface takes up, step by step, is what the matter has in the end:
// 541 g less the hole, 3150 J/(kg·K), nearly 101 K.
func TestUptake(t *testing.T) {
	r := solve(t, prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 300*minute))
	sum := 0.0
	for i := range r.Times[1:] {
		sum += r.Uptake[i+1] * (r.Times[i+1] - r.Times[i])
	}
	assert.InEpsilon(t, r.Energy.In, sum, 1e-9)
	assert.InEpsilon(t, 0.541*3150*101, sum, 0.01)
	assert.InEpsilon(t, r.Energy.Stored, sum, 1e-9)
}

// The place of the slowest cell, as the reference has it: on the axis near
// mid-height without a hole, about half way to the side with one.
func TestPlaceOfTheSlowest(t *testing.T) {
	at := solve(t, prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 90*minute)).Hold.Slowest
	assert.Less(t, at.R, 0.002)
	assert.InDelta(t, 0.0625, at.Z, 0.015)
	at = solve(t, prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 90*minute)).Hold.Slowest
	assert.InDelta(t, (0.008+0.045)/2, at.R, 0.005)

	// Too cold to count anywhere: the coldest place is the slowest all the same.
	p := prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 90*minute)
	p.Dose.Reference, p.Dose.Z = 449, 4
	r := solve(t, p)
	assert.Zero(t, r.Hold.Least)
	assert.Less(t, r.Hold.Slowest.R, 0.002)
	assert.InDelta(t, 0.0625, r.Hold.Slowest.Z, 0.015)
}

// A probe reads what the cells around it have; the chamber is no probe's place.
func TestProbe(t *testing.T) {
	p := prototype("bottle 850 mL", 0, 0.016, 0.3, 40*minute, 20*minute)
	r := solve(t, p)
	n := len(r.Times) - 1
	for _, c := range [][2]int{{10, 20}, {3, 3}, {23, 31}, {0, 0}} {
		want, ok := r.Field.At(c[0], c[1])
		require.True(t, ok)
		got, err := r.At(heat.Place{R: r.Field.R[c[0]], Z: r.Field.Z[c[1]]})
		require.NoError(t, err)
		assert.InDelta(t, want, got[n], 1e-9)
	}
	// Straight lines between centers are off by their sag only: beside the wall
	// and under the floor of the hole too.
	fine := p
	fine.Grid = heat.Grid{Radial: 96, Axial: 128, Step: 15}
	f := solve(t, fine)
	for _, place := range []heat.Place{{R: 0.0265, Z: 0.07}, {R: 0.0122, Z: 0.1}, {R: 0.004, Z: 0.006}, {R: 0.009, Z: 0.0121}, {R: 0.044, Z: 0.124}} {
		got, err := r.At(place)
		require.NoError(t, err)
		want, err := f.At(place)
		require.NoError(t, err)
		assert.InDelta(t, want[len(want)-1], got[n], 1, "%v", place)
	}
	for _, place := range []heat.Place{{R: 0, Z: 0.06}, {R: 0.046, Z: 0.06}, {R: 0.02, Z: -0.001}, {R: math.NaN(), Z: 0.06}} {
		_, err := r.At(place)
		assert.Error(t, err, "%v", place)
	}
	_, ok := r.Field.At(0, 31)
	assert.False(t, ok, "the hole has no temperature of its own")
}

// The table of powers against math.Pow, over all that it covers and past it.
func TestDoseRateIsRight(t *testing.T) {
	for _, z := range []float64{1, 7.6, 10, 50} {
		for kelvin := 260.0; kelvin < 445; kelvin += 1.37 {
			p := plunge(heat.Surfaces{}, 60, heat.Grid{Radial: 4, Axial: 4, Step: 60})
			p.Start, p.Chamber = kelvin, heat.Profile{{0, kelvin}, {60, kelvin}}
			p.Dose.Z = z
			want := 60 * math.Pow(10, (kelvin-p.Dose.Reference)/z)
			if want < 60e-16 {
				want = 0
			}
			assert.InDelta(t, want, solve(t, p).Hold.Least, 2e-7*want+1e-18, "z %v, %v K", z, kelvin)
		}
	}
}

// A bottle with an open bore in a canner at 15 psi, and the hold that it would
// need.
func ExampleSolve() {
	c := func(celsius float64) float64 { return celsius + 273.15 }
	p := heat.Problem{
		Body:     heat.Body{Radius: 0.045, Height: 0.125},
		Hole:     heat.Hole{Radius: 0.008, Depth: 0.113},
		Matter:   heat.Matter{Conductivity: heat.Constant(0.30), HeatCapacity: heat.Constant(680 * 3150)},
		Surfaces: heat.Surfaces{Side: 105, Bottom: 91, Top: 15, Hole: 300},
		Start:    c(20),
		Chamber:  heat.Profile{{0, c(20)}, {1200, c(100)}, {1800, c(100)}, {2400, c(121)}},
		HoldFrom: 2400, HoldTo: 2400 + 90*60,
		Dose: heat.Dose{Reference: c(121.1), Z: 10},
	}
	r, err := heat.Solve(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("slowest place %.0f mm from the axis: %.1f °C, F0 %.0f min\n",
		r.Hold.Slowest.R*1000, r.Hold.Core-273.15, r.Hold.Least/60)
	h, err := heat.Holds(p, 600*60, 15*60)
	if err != nil {
		fmt.Println(err)
		return
	}
	hold, err := h.For(15 * 60)
	fmt.Printf("F0 15 after %.0f min %v\n", hold/60, err)
	// Output:
	// slowest place 24 mm from the axis: 120.4 °C, F0 30 min
	// F0 15 after 71 min <nil>
}

// Without doses the temperatures and the heat are the same, to the bit.
func TestCoursesAreThoseOfTheSolution(t *testing.T) {
	p := cooled()
	p.Matter.Vapor = pores(0.41)
	full := solve(t, p)
	bare, err := heat.Courses(p)
	require.NoError(t, err)
	place := heat.Place{R: 0.03, Z: 0.06}
	want, err := full.At(place)
	require.NoError(t, err)
	got, err := bare.At(place)
	require.NoError(t, err)
	assert.Equal(t, want, got)
	assert.Equal(t, full.Times, bare.Times)
	assert.Equal(t, full.Uptake, bare.Uptake)
	assert.Equal(t, full.Energy, bare.Energy)
	assert.Equal(t, full.Hold.MeanTemperature, bare.Hold.MeanTemperature)
	assert.Zero(t, bare.Hold.Least)
	assert.Zero(t, bare.Slowest)
	p.Body.Radius = -1
	_, err = heat.Courses(p)
	assert.ErrorContains(t, err, "radius")
}
