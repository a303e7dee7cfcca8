package substrate_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/substrate"
)

// By hand: 35 kg of dry matter weigh 100 kg at 65 % and 83.33 kg at 58 %; between
// them lie 16.67 kg of water.
func TestWaterForReadingByHand(t *testing.T) {
	assert.InDelta(t, 16.667, checks.Eval(t, substrate.WaterForReading, values{"D": 35, "m": 0.65, "r": 0.58}), 5e-4)
}

// By hand, with A2 of the substrate reference, Q2 = Q1 (g - M1) / (M2 - g): goods
// of 9 %, 38.46 kg of them with 35 kg dry, went into a mix that reads 68 % and so
// weighs 109.4 kg. 109.4 × 0.03 / 0.56 = 5.86 kg of the same goods, 15.2 % of
// what went in.
func TestGoodsForReadingByHand(t *testing.T) {
	f := checks.Eval(t, substrate.GoodsForReading, values{"D": 35, "W_in": 35 * 0.09 / 0.91, "m": 0.65, "r": 0.68})
	assert.InDelta(t, 0.1523, f, 5e-5)
	assert.InDelta(t, 5.859, f*35/0.91, 5e-4)
}

// Published (Cornell Waste Management Institute, Composting in Schools, as read in
// the substrate reference, A2): 10 kg at 77 % want 6.8 kg of leaves at 35 % to come
// to 60 %. 10 kg at 77 % hold 2.3 kg dry; of goods with as much dry matter at 35 %
// there were 2.3 / 0.65 kg.
func TestGoodsForReadingAsPublished(t *testing.T) {
	f := checks.Eval(t, substrate.GoodsForReading, values{"D": 2.3, "W_in": 2.3 * 0.35 / 0.65, "m": 0.60, "r": 0.77})
	assert.InDelta(t, 6.8, f*2.3/0.65, 0.005)
}

// A mix is right once it got what its reading calls for: from the definition of
// moisture, water over all.
func TestCorrectedMixIsRight(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dry := rapid.Float64Range(0.1, 1000).Draw(rt, "dry")
		m := rapid.Float64Range(0.5, 0.75).Draw(rt, "moisture")
		goods := rapid.Float64Range(0, 0.45).Draw(rt, "moisture of the goods")
		off := rapid.Float64Range(0.001, 0.1).Draw(rt, "off")

		low := m - off
		water := checks.Eval(t, substrate.WaterForReading, values{"D": dry, "m": m, "r": low})
		assert.Positive(rt, water)
		in := dry*low/(1-low) + water
		assert.InDelta(rt, m, in/(in+dry), 1e-9)

		high := m + off
		brought := dry * goods / (1 - goods)
		f := checks.Eval(t, substrate.GoodsForReading, values{"D": dry, "W_in": brought, "m": m, "r": high})
		assert.Positive(rt, f)
		in = dry*high/(1-high) + f*brought
		assert.InDelta(rt, m, in/(in+dry*(1+f)), 1e-9)
	})
}

// No reading of the table is one that is right, none between them is left out.
func TestReadings(t *testing.T) {
	dry, wet := substrate.Readings(0.65, substrate.MoistureGive)
	assert.Equal(t, []int{58, 59, 60, 61, 62, 63}, dry)
	assert.Equal(t, []int{67, 68, 69}, wet)
	dry, wet = substrate.Readings(0.6535, substrate.MoistureGive) // 63.85 to 66.85 % is right
	assert.Equal(t, []int{58, 59, 60, 61, 62, 63}, dry)
	assert.Equal(t, []int{67, 68, 69}, wet)
	rapid.Check(t, func(rt *rapid.T) {
		m, give := rapid.Float64Range(0.45, 0.8).Draw(rt, "moisture"), rapid.Float64Range(0.005, 0.03).Draw(rt, "give")
		dry, wet := substrate.Readings(m, give)
		for p := dry[0]; p <= wet[len(wet)-1]; p++ {
			r := float64(p) / 100
			assert.Equal(rt, r < m-give-1e-11, slices.Contains(dry, p), "%d %%", p)
			assert.Equal(rt, r > m+give+1e-11, slices.Contains(wet, p), "%d %%", p)
		}
	})
}
