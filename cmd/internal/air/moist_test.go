package air_test

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/working"
)

// Two hundred states by an independent program (testdata/psychrolib.js.txt says
// how they were made): −10 to 50 °C, 5 to 100 %, 70 to 103 kPa. It seeks dew
// point and wet bulb to 0.001 °C; the rest agrees to the last digits.
func TestMeetsIndependentProgramOverAGrid(t *testing.T) {
	f, err := os.Open("testdata/psychrolib.csv")
	require.NoError(t, err)
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, 201)
	for _, line := range lines[1:] {
		v := make([]float64, len(line))
		for i := range line {
			v[i], err = strconv.ParseFloat(line[i], 64)
			require.NoError(t, err)
		}
		s, err := air.At(kelvin(v[0]), v[1], v[2])
		require.NoError(t, err, line)
		for i, got := range []float64{s.VaporPressure, s.HumidityRatio} {
			assert.InEpsilon(t, v[3+i], got, 1e-9, line)
		}
		assert.InDelta(t, v[5], celsius(s.DewPoint), 0.0011, line)
		assert.InDelta(t, v[6], celsius(s.WetBulb), 0.0011, line)
		assert.InDelta(t, v[7], s.Enthalpy, 1e-4, line)
		assert.InEpsilon(t, v[8], s.Volume, 1e-9, line)
		assert.InEpsilon(t, v[9], s.Density, 1e-9, line)
	}
}

// The two equations for water, of IAPWS and of Hyland and Wexler, as the comment
// of SaturationPressure says of them; and the two halves of the latter at the
// triple point.
func TestSaturationAgreesWithSteam(t *testing.T) {
	for c := 0.01; c <= 100; c += 0.5 {
		a, b := must(air.SaturationPressure(kelvin(c))), must(steam.SaturationPressure(kelvin(c)))
		assert.InEpsilon(t, b, a, 2e-4, "%v °C", c)
	}
	ice, water := must(air.SaturationPressure(273.16)), must(air.SaturationPressure(273.16+1e-9))
	assert.InEpsilon(t, ice, water, 2e-8)
	// 611.657 Pa is the triple point's pressure (IAPWS R14-08, section 2).
	assert.InDelta(t, 611.657, ice, 1e-3)
	// Test value of IAPWS R14-08 for ice: 8.947 352 Pa at 230 K.
	assert.InEpsilon(t, 8.94735, must(air.SaturationPressure(230)), 1e-3)
}

func drawn(t *rapid.T) (celsius, rh, p float64) {
	return rapid.Float64Range(-30, 50).Draw(t, "t"), rapid.Float64Range(0.02, 1).Draw(t, "rh"), rapid.Float64Range(54e3, 108e3).Draw(t, "p")
}

func TestStateHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rh, p := drawn(t)
		s, err := air.At(kelvin(c), rh, p)
		require.NoError(t, err)
		assert.LessOrEqual(t, s.DewPoint, s.WetBulb)
		assert.LessOrEqual(t, s.WetBulb, s.Temperature)
		assert.LessOrEqual(t, s.VaporPressure, must(air.SaturationPressure(s.Temperature))*(1+1e-12))

		// There and back, by each of the ways that there are.
		vapor, err := air.VaporOfRatio.At(values{"W": s.HumidityRatio, "p": p})
		require.NoError(t, err)
		assert.InEpsilon(t, s.VaporPressure, vapor, 1e-12)
		assert.InEpsilon(t, s.VaporPressure, must(air.SaturationPressure(s.DewPoint)), 1e-8)
		back, err := air.RelativeHumidity.At(values{"T": s.Temperature, "p_v": vapor})
		require.NoError(t, err)
		assert.InEpsilon(t, rh, back, 1e-12)
		// Where the wick could be wet or iced, the ratio leads back to neither side.
		if math.Abs(celsius(s.WetBulb)) > 1e-6 {
			w, err := air.RatioFromWetBulb.At(values{"T": s.Temperature, "T_wb": s.WetBulb, "p": p})
			require.NoError(t, err)
			assert.InDelta(t, s.HumidityRatio, w, 1e-9)
		}
		deficit, err := air.Deficit.At(values{"T": s.Temperature, "p_v": s.VaporPressure})
		require.NoError(t, err)
		assert.InDelta(t, must(air.SaturationPressure(s.Temperature))*(1-rh), deficit, 1e-9*s.VaporPressure+1e-9)
		// What a kg of dry air and its water weighs by both ways.
		assert.InEpsilon(t, 1+s.HumidityRatio, s.Density*s.Volume, 1e-12)
		// Dalton and ideal gases, with the gas constants of the Handbook (287.042
		// for air, over 0.621945 for vapor), give the density again.
		dalton := ((p - s.VaporPressure) + 0.621945*s.VaporPressure) / (287.042 * s.Temperature)
		assert.InEpsilon(t, dalton, s.Density, 1e-6)
	})
}

// At a wet bulb the heat is in balance (its definition: adiabatic saturation): air and
// the water that it takes up at the wick, at 4186 J/(kg·K), hold together what the
// saturated air does. Hot air that is dry or wet has a bulb too, though saturated air of
// its own temperature would be vapor by more than half.
func TestWickIsInBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry := rapid.Float64Range(280, 460).Draw(t, "dry bulb")
		most := math.Min(0.5, 0.9*full(t, math.Min(dry, 350)))
		w := most * rapid.Float64Range(0.05, 1).Draw(t, "part")
		wet := checksEval(t, air.WetBulb, values{"T": dry, "W": w, "p": sea})
		if wet < 273.16 {
			return // its wick may be ice
		}
		assert.Less(t, wet, dry)
		saturated := full(t, wet)
		before := checksEval(t, air.Enthalpy, values{"T": dry, "W": w}) + (saturated-w)*4186*(wet-273.15)
		assert.InDelta(t, checksEval(t, air.Enthalpy, values{"T": wet, "W": saturated}), before, 0.1)
	})
}

// full is the humidity ratio of saturated air at sea level.
func full(t require.TestingT, kelvin float64) float64 {
	return checksEval(t, air.HumidityRatio, values{"p_v": must(air.SaturationPressure(kelvin)), "p": sea})
}

func TestWhichWayMoistAirGoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rh, p := drawn(t)
		rh *= 0.98
		s, err := air.At(kelvin(c), rh, p)
		require.NoError(t, err)
		damper, err := air.At(kelvin(c), rh*1.01, p)
		require.NoError(t, err)
		assert.Greater(t, damper.HumidityRatio, s.HumidityRatio)
		assert.Greater(t, damper.DewPoint, s.DewPoint)
		assert.GreaterOrEqual(t, damper.WetBulb, s.WetBulb)
		assert.Greater(t, damper.Enthalpy, s.Enthalpy)
		assert.Less(t, damper.Density, s.Density) // vapor is lighter than air
		warmer, err := air.At(kelvin(c+0.5), rh, p)
		require.NoError(t, err)
		assert.Greater(t, warmer.DewPoint, s.DewPoint)
		assert.Greater(t, warmer.Enthalpy, s.Enthalpy)
		assert.Less(t, warmer.Density, s.Density)
		thinner, err := air.At(kelvin(c), rh, p*0.99)
		require.NoError(t, err)
		assert.Greater(t, thinner.HumidityRatio, s.HumidityRatio)
		assert.Less(t, thinner.Density, s.Density)
		assert.InDelta(t, s.DewPoint, thinner.DewPoint, 1e-8)
	})
}

// Two streams of air that mix keep their water and their heat.
func TestMixedStreamsClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rh, p := drawn(t)
		a, err := air.At(kelvin(c), rh, p)
		require.NoError(t, err)
		b, err := air.At(kelvin(15), 0.9, p)
		require.NoError(t, err)
		x := rapid.Float64Range(0, 1).Draw(t, "x")
		w := x*a.HumidityRatio + (1-x)*b.HumidityRatio
		h := x*a.Enthalpy + (1-x)*b.Enthalpy
		// The temperature at which air of that water has that heat.
		capacity := checksEval(t, air.HeatCapacity, values{"W": w})
		mixed := kelvin((h - 2501000*w) / capacity)
		back := checksEval(t, air.Enthalpy, values{"T": mixed, "W": w})
		assert.InDelta(t, h, back, 1e-6)
		assert.GreaterOrEqual(t, mixed, math.Min(a.Temperature, b.Temperature)-1e-9)
		assert.LessOrEqual(t, mixed, math.Max(a.Temperature, b.Temperature)+1e-9)
	})
}

func checksEval(t require.TestingT, law *working.Law, in values) float64 {
	v, err := law.At(in)
	require.NoError(t, err)
	return v
}

func TestOutsideTheRangeIsAnError(t *testing.T) {
	nan := math.NaN()
	for name, call := range map[string]func() (float64, error){
		"too cold":             func() (float64, error) { return air.SaturationPressure(173) },
		"too hot":              func() (float64, error) { return air.SaturationPressure(474) },
		"no number":            func() (float64, error) { return air.SaturationPressure(nan) },
		"no vapor":             func() (float64, error) { return air.DewPointOf(0) },
		"percent":              at(air.VaporPressure, values{"RH": 90, "T": 281}),
		"less than none":       at(air.VaporPressure, values{"RH": -0.1, "T": 281}),
		"vacuum":               at(air.HumidityRatio, values{"p_v": 1000, "p": 1000}),
		"mostly vapor":         at(air.HumidityRatio, values{"p_v": 60e3, "p": 101325}),
		"kilopascals":          at(air.SpecificVolume, values{"T": 281, "W": 0.006, "p": 101.325}),
		"celsius":              at(air.Enthalpy, values{"T": 8, "W": 0.006}),
		"grams in a kilogram":  at(air.Enthalpy, values{"T": 281, "W": 6}),
		"wet bulb above air":   at(air.RatioFromWetBulb, values{"T": 281, "T_wb": 282, "p": sea}),
		"drier than dry":       at(air.RatioFromWetBulb, values{"T": 313, "T_wb": 273.2, "p": sea}),
		"air of an oven":       at(air.RatioFromWetBulb, values{"T": 480, "T_wb": 330, "p": sea}),
		"a wick near boiling":  at(air.RatioFromWetBulb, values{"T": 373, "T_wb": 370, "p": sea}),
		"thin air at a wick":   at(air.RatioFromWetBulb, values{"T": 281, "T_wb": 279, "p": 40e3}),
		"thin air by a bulb":   at(air.WetBulb, values{"T": 281, "W": 0.006, "p": 40e3}),
		"celsius by a bulb":    at(air.WetBulb, values{"T": 8, "W": 0.006, "p": sea}),
		"bone-dry":             at(air.WetBulb, values{"T": 281, "W": 0, "p": sea}),
		"steam about a bulb":   at(air.WetBulb, values{"T": 450, "W": 0.6, "p": sea}),
		"fog":                  at(air.WetBulb, values{"T": 281, "W": 0.02, "p": sea}),
		"setpoint of outdoors": at(air.FreshAir, values{"G": 1e-5, "C_set": 425e-6, "C_out": 425e-6}),
		"negative emission":    at(air.FreshAir, values{"G": -1e-5, "C_set": 1e-3, "C_out": 425e-6}),
		"parts per million":    at(air.MassInVolume, values{"C": 5000, "M": 0.044, "V_m": 0.024}),
		"backward in time":     at(air.After, values{"C_0": 0, "Q": 1, "t": -1, "V": 1, "C_out": 0, "G": 0}),
		"suction":              at(air.Mean, values{"C_0": 0, "Q": -1, "t": 1, "V": 1, "C_out": 0, "G": 0}),
		"never reached":        at(air.TimeTo, values{"V": 40, "Q": 0.01, "C_0": 1e-3, "C_lim": 3e-3, "C_ss": 2e-3}),
		"the other way":        at(air.TimeTo, values{"V": 40, "Q": 0.01, "C_0": 1e-3, "C_lim": 0.5e-3, "C_ss": 2e-3}),
		"a leak that sucks":    at(air.Leakage, values{"n": -1, "V": 40}),
		"a cycle of no room":   func() (float64, error) { c, err := air.Cycling(0, 1e-6, 4e-4, 1, 60, 0, 60); return c.High, err },
		"a fan that never ran": func() (float64, error) { c, err := air.Cycling(40, 1e-6, 4e-4, 1, 0, 0, 60); return c.High, err },
	} {
		_, err := call()
		var r working.RangeError
		require.True(t, errors.As(err, &r), "%s: %v", name, err)
		assert.False(t, r.Found >= r.Least && r.Found <= r.Most, name)
	}
	_, err := air.At(kelvin(8), 90, sea)
	assert.ErrorContains(t, err, "relative humidity is 90; 0 to 1 is taken (it is a share from 0 to 1, not a percentage)")
}

func at(law *working.Law, v values) func() (float64, error) {
	return func() (float64, error) { return law.At(v) }
}
