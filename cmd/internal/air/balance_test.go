package air_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/air"
)

// room draws a well-mixed room: free volume, fresh air, gas given off, start.
func room(t *rapid.T) values {
	return values{
		"V": rapid.Float64Range(5, 500).Draw(t, "V"), "Q": rapid.Float64Range(0, 0.5).Draw(t, "Q"),
		"G": rapid.Float64Range(0, 1e-4).Draw(t, "G"), "C_0": rapid.Float64Range(4e-4, 0.03).Draw(t, "C_0"),
		"C_out": 425e-6, "t": rapid.Float64Range(0, 1e5).Draw(t, "t"),
	}
}

func with(v values, more values) values {
	out := values{}
	for k, x := range v {
		out[k] = x
	}
	for k, x := range more {
		out[k] = x
	}
	return out
}

// The gas in the room at the end is what was there, came in and was given off,
// less what left, which is Q times the mean times the time.
func TestGasBalanceCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := room(t)
		end, mean := checksEval(t, air.After, v), checksEval(t, air.Mean, v)
		gained := v["V"] * (end - v["C_0"])
		moved := v["t"] * (v["Q"]*(v["C_out"]-mean) + v["G"])
		// Of the whole that moved: what is left over is small beside it.
		scale := v["V"]*v["C_0"] + v["t"]*(v["Q"]*(v["C_out"]+mean)+v["G"])
		assert.InDelta(t, gained, moved, 1e-9*scale)
	})
}

// The mean over a short time, of little air or much, is the integral of After by
// Simpson's rule.
func TestMeanIsTheIntegral(t *testing.T) {
	for _, x := range []float64{1e-6, 1e-3, 0.0099, 0.0101, 0.1, 1, 5} {
		v := values{"V": 40, "Q": 40 * x / 3600, "G": 3.8e-4, "C_0": 1e-3, "C_out": 425e-6, "t": 3600}
		const parts = 2000
		sum := 0.0
		for i := range parts + 1 {
			weight := 2.0 + 2*float64(i%2)
			if i == 0 || i == parts {
				weight = 1
			}
			sum += weight * checksEval(t, air.After, with(v, values{"t": 3600 * float64(i) / parts}))
		}
		assert.InEpsilon(t, sum/(3*parts), checksEval(t, air.Mean, v), 1e-10, "%v changes", x)
	}
}

// Two spans of time in a row are one long one, and a small step of Euler's obeys
// V·dC/dt = G + Q·(C_out − C).
func TestAfterIsTheSolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := room(t)
		half := checksEval(t, air.After, with(v, values{"t": v["t"] / 2}))
		assert.InEpsilon(t, checksEval(t, air.After, v), checksEval(t, air.After, with(v, values{"t": v["t"] / 2, "C_0": half})), 1e-9)
		const step = 1e-3
		slope := (checksEval(t, air.After, with(v, values{"t": step})) - v["C_0"]) / step
		want := (v["G"] + v["Q"]*(v["C_out"]-v["C_0"])) / v["V"]
		assert.InDelta(t, want, slope, math.Abs(want)*step*v["Q"]/v["V"]+1e-12)
	})
}

func TestTimesLeadToTheirConcentration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := room(t)
		v["Q"] += 1e-3
		v["G"] += 1e-7
		end := checksEval(t, air.Steady, values{"C_out": v["C_out"], "G": v["G"], "Q": v["Q"]})
		limit := v["C_0"] + rapid.Float64Range(0.01, 0.99).Draw(t, "way")*(end-v["C_0"])
		time := checksEval(t, air.TimeTo, values{"V": v["V"], "Q": v["Q"], "C_0": v["C_0"], "C_lim": limit, "C_ss": end})
		assert.InEpsilon(t, limit, checksEval(t, air.After, with(v, values{"t": time})), 1e-9)

		set := 425e-6 + rapid.Float64Range(1e-4, 5e-3).Draw(t, "set")
		q := checksEval(t, air.FreshAir, values{"G": v["G"], "C_set": set, "C_out": 425e-6})
		assert.InEpsilon(t, set, checksEval(t, air.Steady, values{"C_out": 425e-6, "G": v["G"], "Q": q}), 1e-12)

		sealed := checksEval(t, air.SealedTime, values{"V": v["V"], "C_lim": 0.05, "C_0": v["C_0"], "G": v["G"]})
		assert.InEpsilon(t, 0.05, checksEval(t, air.After, with(v, values{"Q": 0, "t": sealed})), 1e-9)
		assert.InEpsilon(t, 0.05-v["C_0"], sealed*checksEval(t, air.SealedRise, values{"G": v["G"], "V": v["V"]}), 1e-9)
	})
}

// A sealed room is the limit of one with less and less air.
func TestSealedIsTheLimit(t *testing.T) {
	v := values{"V": 40, "G": 3.8e-6, "C_0": 1e-3, "C_out": 425e-6, "t": 7200}
	for _, law := range []struct {
		name string
		at   func(q float64) float64
	}{
		{"after", func(q float64) float64 { return checksEval(t, air.After, with(v, values{"Q": q})) }},
		{"mean", func(q float64) float64 { return checksEval(t, air.Mean, with(v, values{"Q": q})) }},
	} {
		last := math.Inf(1)
		for _, q := range []float64{1e-3, 1e-5, 1e-7, 1e-9} {
			d := math.Abs(law.at(q) - law.at(0))
			assert.Less(t, d, last, "%s at %v m³/s", law.name, q)
			last = d
		}
		assert.Less(t, last, 1e-9, law.name)
	}
}

// A fan that runs in turns: the saw-tooth comes back to itself, and the mean
// flow carries off what is given off.
func TestCycleComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := room(t)
		on, off := rapid.Float64Range(60, 3600).Draw(t, "on"), rapid.Float64Range(0, 7200).Draw(t, "off")
		running := rapid.Float64Range(0.02, 0.5).Draw(t, "running")
		resting := rapid.SampledFrom([]float64{0, 1e-4, 5e-3}).Draw(t, "resting")
		c, err := air.Cycling(v["V"], v["G"], 425e-6, running, on, resting, off)
		require.NoError(t, err)
		low := checksEval(t, air.After, with(v, values{"C_0": c.High, "Q": running, "t": on}))
		assert.InEpsilon(t, c.Low, low, 1e-12)
		assert.InEpsilon(t, c.High, checksEval(t, air.After, with(v, values{"C_0": low, "Q": resting, "t": off})), 1e-9)
		assert.LessOrEqual(t, c.Low, c.High*(1+1e-9))
		assert.LessOrEqual(t, c.Low, c.Mean*(1+1e-9))
		assert.LessOrEqual(t, c.Mean, c.High*(1+1e-9))
		// Marched through four hundred cycles from outdoor air, it is the same.
		x := 425e-6
		for range 400 {
			x = checksEval(t, air.After, with(v, values{"C_0": x, "Q": running, "t": on}))
			x = checksEval(t, air.After, with(v, values{"C_0": x, "Q": resting, "t": off}))
		}
		left := math.Exp(-400 * running * on / v["V"])
		assert.InDelta(t, c.High, x, 1e-9+left*c.High)
	})
}

// A room of 40 m³ in which 13.62 L of CO2 an hour are given off.
func Example() {
	hour := 3600.0
	g := 13.62e-3 / hour
	fresh, _ := air.FreshAir.At(map[string]float64{"G": g, "C_set": 1000e-6, "C_out": air.Outdoor})
	sealed, _ := air.SealedTime.At(map[string]float64{"V": 40, "C_0": 1000e-6, "C_lim": 5000e-6, "G": g})
	fmt.Printf("%.1f m³/h hold 1000 ppm; sealed, 5000 ppm in %.1f h\n", fresh*hour, sealed/hour)
	// Output: 23.7 m³/h hold 1000 ppm; sealed, 5000 ppm in 11.7 h
}
