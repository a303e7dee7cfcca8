package process_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// The spread of a lot is the day's where it was measured, else the farm's, else the
// library's; a mineral counts as dry, and of what nobody stated the most is taken.
func TestWhoseSpreadCounts(t *testing.T) {
	in := input(t, "enoki-850")
	of := func(id string) float64 {
		p, err := process.Plan(in)
		require.NoError(t, err)
		return p.Ledger.ValueOf("moisture_spread", id)
	}
	assert.InDelta(t, 0.015, of("soy-hull"), 1e-12)
	in.Farm.MoistureSpread = map[string]unit.WetShare{"soy-hull": 0.008}
	assert.InDelta(t, 0.008, of("soy-hull"), 1e-12)
	in.Measured = map[string]unit.WetShare{"soy-hull": 0.1}
	assert.InDelta(t, 0.005, of("soy-hull"), 1e-12)

	in.Library.Ingredients = map[string]protocol.Ingredient{}
	for id, x := range input(t, "enoki-850").Library.Ingredients {
		x.Spread = nil
		in.Library.Ingredients[id] = x
	}
	assert.InDelta(t, 0.05, of("wheat-bran"), 1e-12)
	assert.Zero(t, of("gypsum"))
}

// A spread moves no amount, and the range of a mix lies about its moisture. Where lots
// differ by more than a mix may be off, a warning names the worst of them.
func TestWideSpreadWarns(t *testing.T) {
	in := input(t, "enoki-850")
	narrow, err := process.Plan(in)
	require.NoError(t, err)
	in.Farm.MoistureSpread = map[string]unit.WetShare{"wheat-bran": 0.3}
	wide, err := process.Plan(in)
	require.NoError(t, err)
	for _, id := range []string{"moisture_mixed", "nitrogen", "dry_in_vessel"} {
		assert.Equal(t, narrow.Value(id), wide.Value(id), id)
	}
	assert.InDelta(t, wide.Value("moisture_mixed"), (wide.Value("moisture_mixed_low")+wide.Value("moisture_mixed_high"))/2, 1e-12)
	const rule = "moisture.spread"
	assert.NotContains(t, found(t, input(t, "enoki-850")), rule)
	f, ok := found(t, in)[rule]
	require.True(t, ok)
	assert.Equal(t, protocol.Warning, f.Severity)
	assert.Equal(t, "moisture_spread_wb.wheat-bran", f.Origin.Key)
	assert.Equal(t, unit.ShareOf, limit.MeasureOf("moisture_spread_mixed").Kind)
}

// Published (Cornell Waste Management Institute, Composting in Schools, as read in the
// substrate reference, A1): 10 g wet and 2.3 g dry are 77 %.
func TestSampleMoisture(t *testing.T) {
	m, err := process.SampleMoisture(0.010, 0.0023)
	require.NoError(t, err)
	assert.InDelta(t, 0.77, float64(m), 1e-12)
	m, err = process.SampleMoisture(0.1, 0.1)
	require.NoError(t, err)
	assert.Zero(t, m)
	for _, bad := range [][2]float64{{0.086, 0.1}, {0, 0}, {0.1, 0}, {-1, -2}, {math.NaN(), 1}, {1, math.NaN()}} {
		_, err := process.SampleMoisture(bad[0], bad[1])
		assert.Error(t, err, "%v", bad)
	}
}
