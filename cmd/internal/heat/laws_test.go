package heat_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/working"
)

type values = map[string]float64

// The series that the solver is held to have the published roots and
// coefficients.
func TestSeriesMeetPublishedTables(t *testing.T) {
	table := checks.Open(t, "sterilization")
	for i, r := range table.Run(t, "T053..T060") {
		term := slabTerm
		if i%2 == 1 {
			term = cylinderTerm
		}
		root, c := term(1, r.Input(t, "Bi"))
		r.Meet(t, root, c)
	}
	for _, r := range table.Run(t, "T061..T062") {
		r.Meet(t, zeroJ0(int(r.Input(t, "n"))))
	}
	for _, r := range table.Run(t, "T063..T065") {
		k := r.Input(t, "b/a")
		r.Meet(t, annulusRoot(1, k), annulusRoot(2, k), annulusRoot(3, k))
	}
}

func TestPropertiesMeetPublishedTables(t *testing.T) {
	table := checks.Open(t, "sterilization")
	r := table.Row(t, "T066")
	r.Meet(t, checks.Eval(t, heat.SolidWoodConductivity, values{"G": r.Input(t, "G"), "M": r.Input(t, "M") / 100}))
	table.Row(t, "T067").Meet(t, heat.LeastBulkConductivity, heat.MostBulkConductivity)
	table.Row(t, "T068").Meet(t, heat.LeastBulkHeatCapacity/1e6, heat.MostBulkHeatCapacity/1e6)
	r = table.Row(t, "T069")
	r.Meet(t, checks.Eval(t, heat.DryHeatCapacity, values{"T": r.Input(t, "T")})/1000)
}

// The worked figures of the sterilization reference, section (d): 62 % moisture,
// 680 kg/m³, mean 70 °C; walls of 1.8 mm polypropylene and 3.5 mm glass under a
// film of 2000 W/(m²·K), which it prints to 5 W/(m²·K).
func TestPropertiesMeetReference(t *testing.T) {
	dry := checks.Eval(t, heat.DryHeatCapacity, values{"T": zero + 70})
	c := checks.Eval(t, heat.MoistHeatCapacity, values{"w": 0.62, "c_dry": dry})
	assert.InDelta(t, 3150, c, 10)
	volumetric := checks.Eval(t, heat.VolumetricHeatCapacity, values{"rho": 680, "c": c})
	assert.Greater(t, volumetric, heat.LeastBulkHeatCapacity)
	assert.Less(t, volumetric, heat.MostBulkHeatCapacity)
	assert.InDelta(t, 105, checks.Eval(t, heat.Wall, values{"h": 2000, "s": 0.0018, "k": 0.2}), 1)
	assert.InDelta(t, 250, checks.Eval(t, heat.Wall, values{"h": 2000, "s": 0.0035, "k": 1.0}), 5)
	// Solid wood of this bulk would have 0.24, which the Handbook refuses.
	_, err := heat.SolidWoodConductivity.At(values{"G": 0.258, "M": 1.63})
	assert.Error(t, err)
}

// Diffusivity of water vapor in air at 25 °C and one atmosphere: 0.25 to 0.26
// cm²/s (CRC Handbook of Chemistry and Physics; Cussler, Diffusion, table 5.1-1:
// 0.260; from memory).
func TestVaporDiffusivity(t *testing.T) {
	assert.InDelta(t, 0.255e-4, checks.Eval(t, heat.VaporDiffusivity, values{"T": zero + 25, "P": 101325}), 0.007e-4)
}

// The slope of the density of saturated steam, from the steam tables' specific
// volumes (ASME International Steam Tables, m³/kg, from memory): 20 °C 57.76 and
// 25 °C 43.34; 95 °C 1.9806, 100 °C 1.6719; 115 °C 1.0358 and 120 °C 0.8913.
func TestVaporSlope(t *testing.T) {
	for _, c := range []struct{ low, high, vLow, vHigh, tolerance float64 }{
		{20, 25, 57.76, 43.34, 0.005}, {95, 100, 1.9806, 1.6719, 0.03}, {115, 120, 1.0358, 0.8913, 0.045},
	} {
		want := (1/c.vHigh - 1/c.vLow) / (c.high - c.low)
		got := checks.Eval(t, heat.VaporSlope, values{"T": zero + (c.low+c.high)/2})
		assert.InEpsilon(t, want, got, c.tolerance, "%v °C", c.low)
		assert.Less(t, got, want*1.005, "on the slow side")
	}
}

// vaporAt is the law for air-filled space of the share a.
func vaporAt(t testing.TB, celsius, pressure, a, tau float64) float64 {
	k := zero + celsius
	return checks.Eval(t, heat.VaporConductivity, values{
		"tau": tau, "a": a, "L": checks.Eval(t, steam.Latent, values{"T": k}),
		"D":     checks.Eval(t, heat.VaporDiffusivity, values{"T": k, "P": pressure}),
		"slope": checks.Eval(t, heat.VaporSlope, values{"T": k}),
		"P":     pressure, "p_v": must(steam.SaturationPressure(k)), "n": heat.DefaultMostFactor,
	})
}

// De Vries (Thermal properties of soils, in van Wijk, Physics of Plant
// Environment, 1963; from memory): in a wet pore air and vapor together conduct
// as well as water, 0.65 W/(m·K), at about 59 °C. He had a diffusivity 17 %
// above ours there; with his, the law comes to 0.61, with ours to 0.52.
func TestVaporMeetsDeVries(t *testing.T) {
	const air = 0.028 // W/(m·K), still air at 59 °C (from memory)
	k := zero + 59.0
	theirs := 5.893e-6 * math.Pow(k, 2.3) / 101325
	ours := checks.Eval(t, heat.VaporDiffusivity, values{"T": k, "P": 101325})
	pore := vaporAt(t, 59, 101325, 1, 1)
	assert.InDelta(t, 0.65, air+pore*theirs/ours, 0.05)
	assert.Less(t, air+pore, 0.65, "the slow side")
	assert.Greater(t, air+pore, 0.5)
}

// What the solver uses is the law, with the pressure of the chamber.
func TestSolverUsesTheLawOfVapor(t *testing.T) {
	v := pores(0.41)
	for _, c := range []struct{ matter, chamber float64 }{{20, 20}, {60, 95}, {95, 99}, {100, 121}, {119, 121}, {121, 60}} {
		total := math.Max(101325, must(steam.SaturationPressure(zero+c.chamber)))
		assert.InEpsilon(t, vaporAt(t, c.matter, total, 0.41, heat.DefaultTortuosity),
			v.Conductivity(zero+c.matter, zero+c.chamber), 2e-4, "%v", c)
	}
	assert.Zero(t, v.Conductivity(281, 300))
	assert.Less(t, v.Conductivity(283, 300), 0.02)
}

// Vapor never slows heat: with it a dose is never less, and with more air in
// the matter it is more.
func TestVaporSpeedsHeat(t *testing.T) {
	p := prototype("bottle 850 mL", 0, 0, 0.3, 40*minute, 90*minute)
	doses := []float64{solve(t, p).Hold.Least / minute}
	for _, air := range []float64{0, 0.15, 0.3, 0.45} {
		p.Matter.Vapor = pores(air)
		doses = append(doses, solve(t, p).Hold.Least/minute)
	}
	assert.InEpsilon(t, doses[0], doses[1], 1e-9, "no air, no vapor")
	for i := range doses[1 : len(doses)-1] {
		assert.Less(t, doses[i+1], doses[i+2])
	}
	t.Logf("F0 after 90 min, min: %.4g", doses)
}

func TestLawsRefuseWhatTheyDoNotHoldFor(t *testing.T) {
	for name, c := range map[string]struct {
		law *working.Law
		in  values
	}{
		"wood too hot":  {heat.DryHeatCapacity, values{"T": 421}},
		"wood too cold": {heat.DryHeatCapacity, values{"T": 279}},
		"more than wet": {heat.MoistHeatCapacity, values{"w": 1.01, "c_dry": 1400}},
		"percent":       {heat.MoistHeatCapacity, values{"w": 62, "c_dry": 1400}},
		"light wood":    {heat.SolidWoodConductivity, values{"G": 0.258, "M": 0.1}},
		"wet wood":      {heat.SolidWoodConductivity, values{"G": 0.5, "M": 0.26}},
		"thick wall":    {heat.Wall, values{"h": 10, "s": 2, "k": 1}},
		"cold vapor":    {heat.VaporDiffusivity, values{"T": 280, "P": 1e5}},
		"hot vapor":     {heat.VaporDiffusivity, values{"T": 451, "P": 1e5}},
		"no number":     {heat.DryHeatCapacity, values{"T": math.NaN()}},
	} {
		_, err := c.law.At(c.in)
		var r working.RangeError
		require.True(t, errors.As(err, &r), "%s: %v", name, err)
		assert.False(t, r.Found >= r.Least && r.Found <= r.Most, name)
	}
	_, err := heat.VaporSlope.At(values{"T": 273.15})
	assert.Error(t, err, "under the ice point")
}
