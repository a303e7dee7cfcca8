package spawn_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/spawn"
)

const day = 86400.0

// Hydrated turns GrainMoisture round: grain at the published masses, taken to the
// moisture that these give, takes up the published water.
func TestHydratedIsTheTrueMoistureTurnedRound(t *testing.T) {
	// Substrate reference D3: 100 g of rye at 14.04 % with 150 mL is truly 65.6 %.
	s := checks.Eval(t, spawn.Hydrated, values{"G": 0.100, "m_g": 0.1404, "m": 0.65616})
	assert.InDelta(t, 0.250, s, 1e-5)
	assert.InDelta(t, 0.150, checks.Eval(t, spawn.TakenUp, values{"S": s, "G": 0.100}), 1e-5)
	// 220 g with 180 g of water is 400 g; at 14 % of its own it is 52.7 %.
	m := checks.Eval(t, spawn.GrainMoisture, values{"G": 0.220, "m_g": 0.14, "W": 0.180})
	assert.InDelta(t, 0.527, m, 5e-4)
	rapid.Check(t, func(t *rapid.T) {
		in := values{"G": rapid.Float64Range(0.01, 10).Draw(t, "G"), "m_g": rapid.Float64Range(0.05, 0.2).Draw(t, "m_g"),
			"m": rapid.Float64Range(0.3, 0.7).Draw(t, "m")}
		s, err := spawn.Hydrated.At(in)
		assert.NoError(t, err)
		back, err := spawn.GrainMoisture.At(values{"G": in["G"], "m_g": in["m_g"], "W": s - in["G"]})
		assert.NoError(t, err)
		assert.InDelta(t, in["m"], back, 1e-12)
	})
}

// Substrate reference D3: 1 g of gypsum to 200 g of rye; a jar of 946 mL is two
// thirds full with 400 to 500 g, and 95 % of it comes out.
func TestAJar(t *testing.T) {
	assert.InDelta(t, 0.001, checks.Eval(t, spawn.GypsumIn, values{"G": 0.200, "y": 0.005}), 1e-12)
	assert.InDelta(t, 0.4275, checks.Eval(t, spawn.UsableInJar, values{"k": spawn.ComesOut, "S": 0.450}), 1e-9)
	for _, s := range []float64{0.400, 0.450, 0.500} {
		full := checks.Eval(t, spawn.JarFilled, values{"S": s, "rho": spawn.WetDensity, "V": 946e-6})
		assert.InDelta(t, 2.0/3, full, 0.085)
	}
}

// Substrate reference D4: 16 jars come from 2 of the generation before and these
// from 1 plate; with 14 days a generation and 3 to spare the last jars are
// inoculated on day -17 and soaked on -19, those before on -34 and -36, and the
// plate is streaked 12 days before, on -46.
func TestChainOfTheReference(t *testing.T) {
	for _, ratio := range []float64{8, 9, 10} {
		assert.Equal(t, 2.0, checks.Eval(t, spawn.Mothers, values{"J": 16, "E": ratio}))
	}
	assert.Equal(t, 1.0, checks.Eval(t, spawn.Mothers, values{"J": 2, "E": 4}))
	assert.Equal(t, 2.0, checks.Eval(t, spawn.PlatesReady, values{"P": 1}))
	assert.Equal(t, 3.0, checks.Eval(t, spawn.MothersWithSpare, values{"J": 2, "spare": 0.10}))
	given := checks.Eval(t, spawn.Given, values{"t": 14 * day, "t_safe": spawn.Safety})
	back := func(next, time float64) float64 {
		return checks.Eval(t, spawn.Before, values{"t_next": next, "t": time})
	}
	last := back(0, given)
	first := back(last, given)
	assert.Equal(t, 17*day, last)
	assert.Equal(t, 19*day, back(last, spawn.Preparation))
	assert.Equal(t, 34*day, first)
	assert.Equal(t, 36*day, back(first, spawn.Preparation))
	assert.Equal(t, 46*day, back(first, 12*day))
	// A jar that took 10 days waits 7: cold, it is good for 30.
	assert.Equal(t, 7*day, checks.Eval(t, spawn.Waits, values{"t_given": given, "t_short": 10 * day}))
}

// The forward plan turned round gives the vessels that it was made for. Short of a
// ten-thousandth of the spawn of all, no scale shows, it gives one fewer; less than
// that of a single vessel is the last bits of a number.
func TestServesTurnsThePlanRound(t *testing.T) {
	for _, each := range []float64{0.016116, 0.02091, 0.0269} {
		for n := 12.0; n <= 1000; n++ {
			total := checks.Eval(t, spawn.Total, values{"n": n, "s": each})
			ready := checks.Eval(t, spawn.WithSpare, values{"S": total, "spare": 0.10})
			assert.Equal(t, n, checks.Eval(t, spawn.Serves, values{"S": ready, "s": each, "spare": 0.10}))
			assert.Equal(t, n-1, checks.Eval(t, spawn.Serves, values{"S": ready * (1 - 1e-4), "s": each, "spare": 0.10}))
		}
	}
}
