package hygiene_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/hygiene"
	"bottlecrop/cmd/internal/unit"
)

const ml, ppm = 1e-6, 1e-6

// CDC, WHO and the rest of the reference's rows on dilutions, hot water and air.
func TestPublished(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	// One part in so many: what one part of a volume comes to.
	inParts := func(label, parts float64) float64 {
		stock := checks.Eval(t, hygiene.Available, map[string]float64{"C": label / 100, "s": 1})
		return checks.Eval(t, hygiene.Made, map[string]float64{"V_1": 1 / parts, "C_1": stock, "V": 1}) / ppm
	}
	table.Row(t, "C097").Meet(t, inParts(5.25, 100), inParts(6.15, 100))
	table.Row(t, "C098").Meet(t, inParts(5.25, 10))
	table.Row(t, "C099").Meet(t, inParts(5, 100))
	table.Row(t, "C100").Meet(t, checks.Eval(t, hygiene.StockFor, map[string]float64{"V": 2e-3, "C_2": 500 * ppm, "C_1": 0.06})/ml)
	table.Row(t, "C101").Meet(t, hygiene.NoRinse/ppm)
	table.Row(t, "C103").Meet(t, hygiene.ParticlesOfBench)
	table.Row(t, "C104").Meet(t, 100*hygiene.ParticlesOfBench) // two classes on: a hundred times as many
	table.Row(t, "C105").Meet(t, checks.Eval(t, hygiene.StockFor, map[string]float64{"V": 1e-3, "C_2": 0.70, "C_1": 0.95})/ml)

	// C102 is a sentence: immersion, 77 °C for 30 s.
	assert.Equal(t, "77 degC for 30 s", table.Row(t, "C102").Expected)
	assert.InDelta(t, 77, unit.Temperature(hygiene.HotWater.Value).Celsius(), 1e-9)
	assert.InDelta(t, 171, hygiene.HotWater.Value*9/5-459.67, 0.5, "the Food Code's own 171 °F")
	assert.Equal(t, 30.0, hygiene.HotWaterFor.Value)
}

// A US tablespoon, half a fluid ounce, of 5.25 % in a gallon of water is 204 ppm, and
// so over what goes without a rinse: the reference, section (f).
func TestTablespoonInAGallon(t *testing.T) {
	ounce := unit.SizeOf(unit.VolumeOf, "fl oz")
	made := checks.Eval(t, hygiene.Made, map[string]float64{"V_1": 0.5 * ounce, "C_1": 0.0525, "V": 128.5 * ounce})
	assert.InDelta(t, 204, made/ppm, 0.5)
	assert.Greater(t, made, hygiene.NoRinse)
}

// ISO 14644-1, table 1 (from memory): its figures are those of the formula on three digits,
// so each may be off by half of its third one; where it has 100,000, by nothing.
func TestParticlesOfTheStandard(t *testing.T) {
	for _, c := range []struct{ class, size, want, within float64 }{
		{5, 0.5, 3520, 5}, {6, 0.5, 35200, 50}, {7, 0.5, 352000, 500}, {8, 0.5, 3520000, 5000}, {5, 0.1, 100000, 1e-9}, {5, 0.3, 10200, 50}, {5, 1, 832, 0.5}, {7, 1, 83200, 50}, {7, 5, 2930, 5},
	} {
		assert.InDelta(t, c.want, checks.Eval(t, hygiene.Particles, map[string]float64{"N": c.class, "D": c.size}), c.within, "%+v", c)
	}
	assert.InDelta(t, 3517, checks.Eval(t, hygiene.Particles, map[string]float64{"N": 5, "D": 0.5}), 0.5)
}

// OIML R 22, table of density against strength by volume at 20 °C, kg/m³ (from
// memory), and the density of water at 20 °C.
func TestDensityOfEthanol(t *testing.T) {
	for strength, want := range map[float64]float64{
		0: 998.20, 0.10: 984.71, 0.20: 973.56, 0.40: 948.05, 0.50: 930.14, 0.60: 909.11, 0.70: 885.56, 0.80: 859.27, 0.90: 829.18, 0.96: 807.42, 1: 789.24,
	} {
		rho, err := hygiene.EthanolDensity(strength)
		require.NoError(t, err)
		assert.InDelta(t, want, rho, 0.01, "%v", strength)
	}
	// The reference's own: 1 L of 95 % to 70 % takes about 391 mL of water, not 357.
	v := 0.95 / 0.70 * 1e-3
	water := checks.Eval(t, hygiene.WaterFor, map[string]float64{"V": v, "C_2": 0.70, "V_1": 1e-3, "C_1": 0.95})
	assert.InDelta(t, 391, water/ml, 0.5)
	rest := checks.Eval(t, hygiene.Rest, map[string]float64{"V": v, "V_1": 1e-3})
	assert.InDelta(t, 357, rest/ml, 0.5)
	assert.InDelta(t, 391.0/357-1, checks.Eval(t, hygiene.Shrinks, map[string]float64{"W": water, "V": v, "V_1": 1e-3}), 0.002)
}

// What is mixed has the strength that was wanted, and what a measure shows is near it.
func TestDilutionsComeOut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		strong := rapid.Float64Range(0.01, 1).Draw(rt, "stock")
		weak := strong * rapid.Float64Range(0.001, 1).Draw(rt, "of it")
		v := rapid.Float64Range(1e-4, 0.2).Draw(rt, "volume")
		stock := checks.Eval(rt, hygiene.StockFor, map[string]float64{"V": v, "C_2": weak, "C_1": strong})
		assert.LessOrEqual(rt, stock, v*(1+1e-12))
		assert.InEpsilon(rt, weak, checks.Eval(rt, hygiene.Made, map[string]float64{"V_1": stock, "C_1": strong, "V": v}), 1e-12)
		assert.InDelta(rt, v, stock+checks.Eval(rt, hygiene.Rest, map[string]float64{"V": v, "V_1": stock}), 1e-12)
		step := 1e-6
		marked := checks.Eval(rt, hygiene.OnMark, map[string]float64{"V": stock, "step": step})
		assert.LessOrEqual(rt, math.Abs(marked-stock), step/2*(1+1e-9))
	})
}

// Ethanol and water shrink as they mix, at every strength, and what goes in weighs
// what comes out.
func TestEthanolShrinks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		strong := rapid.Float64Range(0.75, 0.96).Draw(rt, "stock")
		weak := rapid.Float64Range(0.55, 0.7).Draw(rt, "wanted")
		in := map[string]float64{"V": 1e-3, "C_2": weak, "C_1": strong}
		in["V_1"] = checks.Eval(rt, hygiene.StockFor, map[string]float64{"V": 1e-3, "C_2": weak, "C_1": strong})
		water := checks.Eval(rt, hygiene.WaterFor, in)
		assert.Greater(rt, water, 1e-3-in["V_1"])
		assert.Less(rt, water, 1.2*(1e-3-in["V_1"]))
	})
	_, err := hygiene.EthanolDensity(1.2)
	assert.ErrorContains(t, err, "strength of the ethanol is 1.2; 0 to 1 is taken")
}

// A face of 0.61 by 1.22 m at 0.45 m/s gives 0.335 m³/s: the reference, section (f).
func TestBench(t *testing.T) {
	assert.InDelta(t, 0.335, checks.Eval(t, hygiene.Flow, map[string]float64{"v": 0.45, "w": 1.22, "h": 0.61}), 0.0005)
	assert.InDelta(t, 0.2, checks.Eval(t, hygiene.Uneven, map[string]float64{"v": 0.45, "v_low": 0.42, "v_high": 0.54}), 1e-9)
	assert.InDelta(t, 0.2, checks.Eval(t, hygiene.Uneven, map[string]float64{"v": 0.45, "v_low": 0.36, "v_high": 0.48}), 1e-9)
}

func TestSpeedsOfAFace(t *testing.T) {
	in := map[string]float64{"v1": 0.42, "v2": 0.45, "v3": 0.54}
	assert.InDelta(t, 0.47, checks.Eval(t, hygiene.MeanOf(3), in), 1e-12)
	assert.Equal(t, 0.42, checks.Eval(t, hygiene.LowestOf(3), in))
	assert.Equal(t, 0.54, checks.Eval(t, hygiene.HighestOf(3), in))
	assert.Equal(t, "(v1 + v2 + v3) / 3", hygiene.MeanOf(3).Formula)
}

// By mass a strong bleach is more than by volume: 10 % by mass at 1.16 kg/L has 116
// grams in a liter, by the meaning of the words.
func TestBasisOfLabel(t *testing.T) {
	assert.InDelta(t, 116_000, checks.Eval(t, hygiene.Available, map[string]float64{"C": 0.10, "s": 1.16})/ppm, 1e-6)
}
