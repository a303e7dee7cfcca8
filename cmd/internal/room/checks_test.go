package room_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
)

type values = map[string]float64

const (
	sea  = 101325.0
	hour = 3600.0
	mg   = 1e-6 // kg
)

func kelvin(celsius float64) float64 { return float64(unit.FromCelsius(celsius)) }

func state(t require.TestingT, celsius, rh float64) air.State {
	s, err := air.At(kelvin(celsius), rh, sea)
	require.NoError(t, err)
	return s
}

// coil is the water in kg/h that a coil of the surface adp (°C) takes from the
// room for each kW.
func coil(t *testing.T, r air.State, adp float64) float64 {
	return hour * checks.Eval(t, room.CoilWater, values{"S": 1000, "T": r.Temperature, "T_coil": kelvin(adp), "W": r.HumidityRatio,
		"W_coil": state(t, adp, 1).HumidityRatio, "c_p": checks.Eval(t, air.HeatCapacity, values{"W": r.HumidityRatio})})
}

// The inputs of these rows are written as sentences: a room of 8 °C and 90 %,
// outdoors 0 °C and 80 %, 24 m³/h, a coil of 3 °C.
func TestWaterMeetsChecks(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	in, out := state(t, 8, 0.9), state(t, 0, 0.8)
	r := table.Row(t, "C045")
	r.Meet(t, hour*checks.Eval(t, room.FreshWater, values{"Q": r.Input(t, "Q") / hour, "v": in.Volume, "W": in.HumidityRatio, "W_out": out.HumidityRatio}))
	table.Row(t, "C046").Meet(t, coil(t, in, 3))
}

// The coil rule of section (a) of this project's climate reference, worked out
// there by a separate prototype.
func TestCoilRuleOfTheReference(t *testing.T) {
	for _, c := range []struct {
		celsius, rh, dew float64
		water            [5]float64 // at −5, 0, 3, 5 and 6 °C, in kg/h for each kW
	}{
		{8, 0.90, 6.46, [5]float64{0.96, 0.98, 0.92, 0.69, 0.34}},
		{12, 0.85, 9.56, [5]float64{1.02, 1.07, 1.07, 1.01, 0.95}},
		{15, 0.92, 13.71, [5]float64{1.28, 1.41, 1.49, 1.54, 1.56}},
	} {
		r := state(t, c.celsius, c.rh)
		assert.InDelta(t, c.dew, r.DewPoint-273.15, 0.0051)
		for i, adp := range []float64{-5, 0, 3, 5, 6} {
			assert.InDelta(t, c.water[i], coil(t, r, adp), 0.0051, "%v °C, coil %v °C", c.celsius, adp)
		}
	}
}

// A heat in J/(kg·h) of a rate, at a temperature in °C.
func heatOf(t *testing.T, r room.Rate, celsius float64) float64 {
	per, err := r.For(kelvin(celsius))
	require.NoError(t, err)
	return hour * checks.Eval(t, room.MetabolicHeat, values{"E": per, "h": heatPerCO2(t)})
}

// oysterRun is the spawn run of oysters, 260 mg/(kg·h) at 21 °C in the reference.
var oysterRun = room.Rate{Per: 260 * mg / hour, At: kelvin(21), Q10: room.SpawnRun.Q10, Source: "oyster"}

func heatPerCO2(t *testing.T) float64 {
	return checks.Eval(t, room.HeatPerCO2, values{"H": room.GlucoseHeat, "M": air.MolarMassCO2})
}

func TestRespirationMeetsPublishedHeats(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	table.Row(t, "C051").Meet(t, heatPerCO2(t)/1e6)
	table.Row(t, "C052").Meet(t, heatOf(t, room.FruitBodies, 15))
	table.Row(t, "C053").Meet(t, heatOf(t, room.FruitBodies, 3.5))
	// As the reference derives them: 235 and 71 mg/(kg·h), Q10 2.85.
	assert.InDelta(t, 235, room.FruitBodies.Per/mg*hour, 1)
	assert.InDelta(t, 2.85, room.FruitBodies.Q10, 0.005)
	cold, err := room.FruitBodies.For(kelvin(3.5))
	require.NoError(t, err)
	assert.InDelta(t, 71, cold/mg*hour, 0.5)
	// 0.38 W/kg of the default spawn run, 0.77 of oyster.
	for want, r := range map[float64]room.Rate{0.38: room.SpawnRun, 0.77: oysterRun} {
		assert.InDelta(t, want, heatOf(t, r, 21)/hour, 0.006, r.Source)
	}
}

// "Same 400 bottles in incubation": grams of CO2 an hour, watts, ppm an hour.
func TestWorkedIncubation(t *testing.T) {
	for _, want := range []struct {
		rate              room.Rate
		grams, watts, ppm float64
	}{{room.SpawnRun, 28, 83, 390}, {oysterRun, 56, 166, 770}} {
		e := checks.Eval(t, room.Emission, values{"f": 1, "r": want.rate.Per, "m": 220})
		assert.InEpsilon(t, want.grams, e*hour*1000, 0.03)
		assert.InEpsilon(t, want.watts, checks.Eval(t, room.MetabolicHeat, values{"E": e, "h": heatPerCO2(t)}), 0.03)
		g := checks.Eval(t, air.GasFlow, values{"E": e, "M": air.MolarMassCO2, "V_m": checks.Eval(t, air.MolarVolume, values{"T": kelvin(21), "p": sea})})
		assert.InEpsilon(t, want.ppm, 1e6*hour*checks.Eval(t, air.SealedRise, values{"G": g, "V": 40}), 0.03)
	}
}
