package spawn_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/spawn"
)

type values = map[string]float64

func TestGrainMeetsPublishedFormulas(t *testing.T) {
	table := checks.Open(t, "substrate")

	for id, grain := range map[string]values{
		"S050": {"G": 100, "W": 150},
		"S051": {"G": 200, "W": 200},
	} {
		table.Row(t, id).Meet(t, 100*checks.Eval(t, spawn.AddedWaterShare, grain))
	}
	table.Row(t, "S052").Meet(t, 100*checks.Eval(t, spawn.GrainMoisture, values{"G": 100, "m_g": 0.1404, "W": 150}))
}

// Substrate reference D4: 400 bottles of 537.2 g at 3 % take 6.446 kg, with 10 %
// spare 7.09 kg, and that is 16 jars of 450 g. A12 prints the spawn of its four
// runs.
func TestSpawnOfTheReference(t *testing.T) {
	for _, c := range []struct{ n, mass, want float64 }{
		{12, 0.5372, 193}, {400, 0.5372, 6446}, {100, 0.697, 2091}, {400, 0.697, 8364},
	} {
		each := checks.Eval(t, spawn.PerVessel, values{"rate": 0.03, "M": c.mass})
		total := checks.Eval(t, spawn.Total, values{"n": c.n, "s": each})
		assert.InDelta(t, c.want, total*1000, 0.51, "substrate reference A12, %v bottles", c.n)
	}
	ready := checks.Eval(t, spawn.WithSpare, values{"S": 6.446, "spare": 0.10})
	assert.InDelta(t, 7.09, ready, 0.0051)
	assert.Equal(t, 16.0, checks.Eval(t, spawn.Jars, values{"S": ready, "usable": 0.45}))
	assert.Equal(t, 2.0, checks.Eval(t, spawn.Jars, values{"S": 0.9, "usable": 0.45}), "what two jars hold takes two")
	// Fewer than two spare jars is an error of the substrate reference, D5.
	assert.Equal(t, 17.0, checks.Eval(t, spawn.JarsReady, values{"J": 15, "J_spare": 16}))
	assert.Equal(t, 20.0, checks.Eval(t, spawn.JarsReady, values{"J": 15, "J_spare": 20}))
	assert.Equal(t, 3.0, checks.Eval(t, spawn.JarsReady, values{"J": 1, "J_spare": 1}))
}

// Jars hold the spawn, and one fewer would not.
func TestJarsAreJustEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := rapid.Float64Range(0.001, 1000).Draw(t, "S")
		usable := rapid.Float64Range(0.05, 5).Draw(t, "usable")
		jars, err := spawn.Jars.At(values{"S": need, "usable": usable})
		require.NoError(t, err)
		assert.GreaterOrEqual(t, jars*usable, need*(1-2e-9))
		assert.Less(t, (jars-1)*usable, need)
	})
}

// Grain formulas of books say 60 % where the grain is really wetter.
func Example() {
	printed, _ := spawn.AddedWaterShare.At(map[string]float64{"G": 0.100, "W": 0.150})
	truly, _ := spawn.GrainMoisture.At(map[string]float64{"G": 0.100, "m_g": 0.14, "W": 0.150})
	fmt.Printf("printed %.0f %%, truly %.1f %%\n", 100*printed, 100*truly)
	// Output: printed 60 %, truly 65.6 %
}
