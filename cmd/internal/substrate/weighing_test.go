package substrate_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/substrate"
)

// Twice as strict as the usual rule of 50 and 20 steps (common practice, no source).
func TestPickScale(t *testing.T) {
	platform := substrate.Scale{Step: 0.010, Capacity: 30}
	bench := substrate.Scale{Step: 0.001, Capacity: 6}
	fine := substrate.Scale{Step: 0.0001, Capacity: 0.5}
	for _, c := range []struct {
		mass   float64
		scales []substrate.Scale
		want   int
	}{
		{41, []substrate.Scale{platform, bench, fine}, 0},
		{1, []substrate.Scale{platform, bench, fine}, 0}, // 100 steps of 10 g
		{0.999, []substrate.Scale{platform, bench, fine}, 1},
		{0.0232, []substrate.Scale{platform, bench, fine}, 2},       // gypsum of 12 bottles
		{0.0232, []substrate.Scale{fine, platform, bench}, 0},       // whatever the order
		{0.0025, []substrate.Scale{platform, fine}, 1},              // 25 steps of 0.1 g
		{0.3, []substrate.Scale{platform}, 0},                       // 30 steps, the finest there is
		{0.1 * 3, []substrate.Scale{{Step: 0.012, Capacity: 1}}, 0}, // 25 steps but for the last bits
		{100, []substrate.Scale{fine}, 0},                           // far above its capacity: many goes
		{41, []substrate.Scale{{}, platform}, 1},
	} {
		got, err := substrate.PickScale(c.mass, c.scales)
		require.NoError(t, err, "%v kg", c.mass)
		assert.Equal(t, c.want, got, "%v kg on %v", c.mass, c.scales)
	}
}

func TestNoScaleWillDo(t *testing.T) {
	var small substrate.TooSmall
	_, err := substrate.PickScale(0.0232, []substrate.Scale{{Step: 0.01, Capacity: 30}, {Step: 0.005, Capacity: 30}})
	require.ErrorAs(t, err, &small)
	assert.Equal(t, substrate.TooSmall{Mass: 0.0232, Least: 0.125}, small)
	for _, bad := range []float64{0, -1, math.NaN()} {
		_, err = substrate.PickScale(bad, []substrate.Scale{{Step: 0.01, Capacity: 30}})
		assert.ErrorAs(t, err, &small, "%v", bad)
	}
	for _, none := range [][]substrate.Scale{nil, {{Step: 0}}, {{Step: math.NaN()}}} {
		_, err = substrate.PickScale(1, none)
		assert.ErrorContains(t, err, "no scale")
	}
}

// A scale that is picked reads the mass to 2 % at worst, and to 0.5 % unless it
// is the finest.
func TestPickedScaleIsFineEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass := rapid.Float64Range(1e-4, 1000).Draw(t, "mass")
		steps := rapid.SliceOfN(rapid.SampledFrom([]float64{0.0001, 0.001, 0.005, 0.01, 0.1, 1}), 1, 6).Draw(t, "steps")
		scales := make([]substrate.Scale, len(steps))
		finest := math.Inf(1)
		for i, s := range steps {
			scales[i] = substrate.Scale{Step: s, Capacity: 1000}
			finest = min(finest, s)
		}
		i, err := substrate.PickScale(mass, scales)
		if err != nil {
			assert.Less(t, mass, 25*finest)
			return
		}
		rounded, err := substrate.Rounded.At(values{"Q": mass, "r": scales[i].Step})
		require.NoError(t, err)
		off := math.Abs(rounded-mass) / mass
		assert.LessOrEqual(t, off, 0.0201)
		if scales[i].Step > finest {
			assert.LessOrEqual(t, off, 0.00501)
		}
	})
}

func TestWeighingsSumExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{0.0001, 0.001, 0.005, 0.01, 0.02, 0.05 * 0.45359237}).Draw(t, "step")
		capacity := step * rapid.Float64Range(1, 5000).Draw(t, "capacity in steps")
		mass := step * rapid.Float64Range(0, 100_000).Draw(t, "mass in steps")
		goes := substrate.Weighings(mass, step, capacity)
		require.Len(t, goes, substrate.WeighingCount(mass, step, capacity))

		sum := 0.0 // in steps, which are whole and so exact
		for _, w := range goes {
			inSteps := w / step
			assert.InDelta(t, math.Round(inSteps), inSteps, 1e-6, "a multiple of the step")
			assert.LessOrEqual(t, w, capacity*(1+1e-9))
			assert.Greater(t, w, 0.0)
			sum += math.Round(inSteps)
		}
		// The nearest step; where a half is missed by a hair, either: 1.055 by 0.01 is no
		// half in binary, and unit.Nearest takes it for one.
		assert.InDelta(t, mass/step, sum, 0.5+1e-9*max(1, mass/step))
		if len(goes) > 0 {
			most := math.Floor(capacity / step * (1 + 1e-9))
			assert.Greater(t, sum, float64(len(goes)-1)*most, "one go fewer would not do")
			assert.InDelta(t, goes[0], goes[len(goes)-1], step*1.001, "equal but for a step")
		}
	})
}

func TestNothingToWeigh(t *testing.T) {
	for _, c := range [][3]float64{
		{0, 0.01, 30}, {0.004, 0.01, 30}, {-1, 0.01, 30}, {1, 0, 30}, {1, 0.01, 0.001}, {math.NaN(), 0.01, 30}, {1, 0.01, math.NaN()}, {math.Inf(1), 0.01, 30},
	} {
		assert.Nil(t, substrate.Weighings(c[0], c[1], c[2]), "%v", c)
		assert.Zero(t, substrate.WeighingCount(c[0], c[1], c[2]), "%v", c)
	}
}

func TestNoLimitIsOneGo(t *testing.T) {
	goes := substrate.Weighings(41.231, 0.01, math.Inf(1))
	require.Len(t, goes, 1)
	assert.InEpsilon(t, 41.23, goes[0], 1e-12)
}

// 41.231 kg of pellets on a scale that reads 10 g and carries 15 kg.
func ExampleWeighings() {
	for _, kg := range substrate.Weighings(41.231, 0.010, 15) {
		fmt.Printf("%.2f kg\n", kg)
	}
	// Output:
	// 13.75 kg
	// 13.74 kg
	// 13.74 kg
}
