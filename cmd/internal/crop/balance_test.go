package crop_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/crop"
	"bottlecrop/cmd/internal/substrate"
)

// Substrate reference E4: of 188 g a fifth is 37.6 g; burnt, it gives 61 g of
// carbon dioxide and 21 g of water.
func TestBalanceOfTheReference(t *testing.T) {
	burnt := checks.Eval(t, crop.Respired, values{"r": 0.20, "D": 0.188})
	assert.InDelta(t, 37.6*g, burnt, 1e-9)
	assert.InDelta(t, 61*g, checks.Eval(t, crop.Made, values{"k": substrate.CarbonDioxidePerPolysaccharide, "D_resp": burnt}), 0.5*g)
	assert.InDelta(t, 21*g, checks.Eval(t, crop.Made, values{"k": substrate.WaterPerPolysaccharide, "D_resp": burnt}), 0.5*g)
}

// A bottle of 537.2 g at 65 % with 16.1 g of spawn at 47.5 %, 159.8 g of crop a
// tenth of it dry, and 7.5 % evaporated, with a calculator:
//
//	dry spent  188.0 - 15.98 - 37.6 = 134.4 g
//	wet spent  537.2 + 16.1 - 37.6 + 20.9 - 159.8 - 40.3 = 336.5 g
//	moisture   1 - (134.4 + 8.45) / 336.5 = 57.5 %
func TestSpentSubstrateByHand(t *testing.T) {
	inCrop := checks.Eval(t, crop.DryInCrop, values{"Y": 159.8 * g, "d_f": 0.10})
	spent := checks.Eval(t, crop.DrySpent, values{"D": 188.0 * g, "D_crop": inCrop, "D_resp": 37.6 * g})
	assert.InDelta(t, 134.42*g, spent, 0.005*g)
	gone := checks.Eval(t, crop.Evaporated, values{"e": 0.075, "M": 537.2 * g})
	assert.InDelta(t, 40.29*g, gone, 0.005*g)
	wet := checks.Eval(t, crop.SpentWet, values{
		"M": 537.2 * g, "s": 16.1 * g, "D_resp": 37.6 * g, "W_resp": 20.9 * g, "Y": 159.8 * g, "E": gone})
	assert.InDelta(t, 336.5*g, wet, 0.05*g)
	grain := checks.Eval(t, crop.DryIn, values{"s": 16.1 * g, "m_s": 0.475})
	assert.InDelta(t, 8.45*g, grain, 0.005*g)
	assert.InDelta(t, 0.575, checks.Eval(t, crop.SpentMoisture, values{"D_all": spent + grain, "M_spent": wet}), 0.0005)
}

// What goes in comes out: dry matter and water close, each by itself, for any
// vessel and any crop.
func TestBalanceCloses(t *testing.T) {
	at := func(t require.TestingT, law interface {
		At(map[string]float64) (float64, error)
	}, in values) float64 {
		v, err := law.At(in)
		require.NoError(t, err)
		return v
	}
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(rt, name) }
		wet, m := draw("M", 0.1, 3), draw("m", 0.5, 0.75)
		dry := wet * (1 - m)
		s, ms := draw("s", 0, 0.1), draw("m_s", 0.4, 0.55)
		y, df := draw("Y", 0, 2)*dry, draw("d_f", 0.08, 0.12)
		burnt := at(rt, crop.Respired, values{"r": draw("r", 0.1, 0.35), "D": dry})
		made := at(rt, crop.Made, values{"k": substrate.WaterPerPolysaccharide, "D_resp": burnt})
		gone := at(rt, crop.Evaporated, values{"e": draw("e", 0.05, 0.1), "M": wet})
		inCrop := at(rt, crop.DryInCrop, values{"Y": y, "d_f": df})
		left := at(rt, crop.DrySpent, values{"D": dry, "D_crop": inCrop, "D_resp": burnt})
		grain := at(rt, crop.DryIn, values{"s": s, "m_s": ms})
		all := at(rt, crop.SpentWet, values{"M": wet, "s": s, "D_resp": burnt, "W_resp": made, "Y": y, "E": gone})
		water := at(rt, crop.WaterIn, values{"wet": all, "dry": left + grain})

		assert.InDelta(rt, dry+grain, inCrop+burnt+left+grain, 1e-12, "dry matter")
		in := at(rt, crop.WaterIn, values{"wet": wet, "dry": dry}) + at(rt, crop.WaterIn, values{"wet": s, "dry": grain}) + made
		out := at(rt, crop.WaterIn, values{"wet": y, "dry": inCrop}) + gone + water
		assert.InDelta(rt, in, out, 1e-12, "water")
	})
}
