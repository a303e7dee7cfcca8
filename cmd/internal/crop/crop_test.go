package crop_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/crop"
)

type values = map[string]float64

const (
	g = 1e-3 // kg
	L = 1e-3 // m³
)

func TestEfficiencyMeetsPublishedTrials(t *testing.T) {
	table := checks.Open(t, "substrate")
	for _, id := range []string{"S037", "S044"} {
		r := table.Row(t, id)
		dry := checks.Eval(t, crop.DryFromEfficiency, values{"Y": r.Input(t, "yield") * g, "BE": r.Input(t, "BE") / 100})
		r.Meet(t, dry/g)
	}
	for _, r := range table.Run(t, "S040..S043") {
		be := checks.Eval(t, crop.BiologicalEfficiency, values{"Y": r.Input(t, "yield") * g, "D": r.Input(t, "dry") * g})
		r.Meet(t, 100*be)
	}
	table.Row(t, "S048").Meet(t, 100*checks.Eval(t, crop.BiologicalEfficiency, values{"Y": 177.1 * g, "D": 243.95 * g}))
}

func TestControlsBehindPublishedIncreases(t *testing.T) {
	table := checks.Open(t, "substrate")
	table.Row(t, "S038").Meet(t, checks.Eval(t, crop.PercentIncreaseBase, values{"x": 134.72, "inc": 0.3997}))
	table.Row(t, "S039").Meet(t, checks.Eval(t, crop.PercentIncreaseBase, values{"x": 44.91, "inc": 0.3853}))
}

func TestYieldDensityMeetsPublishedTrials(t *testing.T) {
	table := checks.Open(t, "substrate")
	table.Row(t, "S046").Meet(t, checks.Eval(t, crop.YieldDensity, values{"Y": 177.1 * g, "V": 1.1 * L}))
	table.Row(t, "S047").Meet(t, checks.Eval(t, crop.YieldDensity, values{"Y": 472.13 * g, "V": 1.2 * L}))
}

func TestExpectedUsesMeetsClosedForm(t *testing.T) {
	r := checks.Open(t, "substrate").Row(t, "S065")
	r.Meet(t, checks.Eval(t, crop.ExpectedUses, values{"p": r.Input(t, "p"), "N": r.Input(t, "N")}))
}

// At 65 % moisture and 100 % efficiency the crop holds 0.48 of the water, with
// a tenth of it dry (substrate reference E3).
func TestWaterUseOfTheReference(t *testing.T) {
	use := checks.Eval(t, crop.WaterUse, values{"Y": 0.188, "d_f": 0.10, "D": 0.188, "m": 0.65})
	assert.InDelta(t, 0.48, use, 0.0051)
}

// 188 g dry at 70 % is 131.6 g; of 400 bottles 5 % are lost and 8 % of the crop
// is cut off (arithmetic).
func TestFromBottleToSold(t *testing.T) {
	each := checks.Eval(t, crop.FreshPerVessel, values{"BE": 0.70, "D": 0.188})
	assert.InDelta(t, 0.1316, each, 1e-9)
	all := checks.Eval(t, crop.BatchYield, values{"n": 400, "c": 0.05, "Y": each})
	assert.InDelta(t, 380*0.1316, all, 1e-9)
	assert.InDelta(t, 380*0.1316*0.92, checks.Eval(t, crop.Sold, values{"Y": all, "trim": 0.08}), 1e-9)
}

// The mean life lies between one round (or none, where none is allowed) and the
// cap, falls as breakage rises, and reaches the cap as breakage vanishes.
func TestExpectedUsesIsALife(t *testing.T) {
	uses := func(t require.TestingT, p float64, n int) float64 {
		v, err := crop.ExpectedUses.At(values{"p": p, "N": float64(n)})
		require.NoError(t, err)
		return v
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 500).Draw(t, "N")
		p := rapid.Float64Range(0, 0.99).Draw(t, "p")
		u := uses(t, p, n)
		assert.GreaterOrEqual(t, u, 1-1e-12)
		assert.LessOrEqual(t, u, float64(n)*(1+1e-12))
		assert.GreaterOrEqual(t, u, uses(t, p+0.01, n)-1e-9)

		// Term by term: the chance to be there for round k is (1 − p)^(k−1).
		sum := 0.0
		for k := range n {
			sum += math.Pow(1-p, float64(k))
		}
		assert.InEpsilon(t, sum, u, 1e-9)
	})
	assert.Equal(t, 60.0, uses(t, 0, 60))
	assert.InDelta(t, 60, uses(t, 1e-17, 60), 1e-9, "1 - (1 - p)^N would be 0 here")
	assert.Equal(t, 1.0, uses(t, 1, 60))
	assert.Equal(t, 0.0, uses(t, 1, 0))
	assert.Equal(t, 0.0, uses(t, 0, 0))
	for _, bad := range []values{{"p": -0.1, "N": 60}, {"p": 1.1, "N": 60}, {"p": 0.1, "N": -1}, {"p": math.NaN(), "N": 1}} {
		_, err := crop.ExpectedUses.At(bad)
		assert.Error(t, err, "%v", bad)
	}
}

// Bottles of which one in a hundred breaks in a round, retired after 60.
func Example() {
	u, _ := crop.ExpectedUses.At(map[string]float64{"p": 0.01, "N": 60})
	fmt.Printf("%.1f rounds\n", u)
	// Output: 45.3 rounds
}
