package room_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

type values = map[string]float64

const (
	sea  = 101325.0
	hour = 3600.0
	mg   = 1e-6 // kg
)

func kelvin(celsius float64) float64 { return float64(unit.FromCelsius(celsius)) }

func eval(t require.TestingT, law *working.Law, in values) float64 {
	v, err := law.At(in)
	require.NoError(t, err)
	return v
}

func state(t require.TestingT, celsius, rh float64) air.State {
	s, err := air.At(kelvin(celsius), rh, sea)
	require.NoError(t, err)
	return s
}

// coil is the water in kg/h that a coil of the surface adp (°C) takes from the
// room for each kW.
func coil(t *testing.T, r air.State, adp float64) float64 {
	return hour * eval(t, room.CoilWater, values{"S": 1000, "T": r.Temperature, "T_coil": kelvin(adp), "W": r.HumidityRatio,
		"W_coil": state(t, adp, 1).HumidityRatio, "c_p": eval(t, air.HeatCapacity, values{"W": r.HumidityRatio})})
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

func heatPerCO2(t require.TestingT) float64 {
	return eval(t, room.HeatPerCO2, values{"H": room.GlucoseHeat, "M": air.MolarMassCO2})
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
	for want, r := range map[float64]room.Rate{0.38: room.SpawnRun, 0.77: room.FastSpawnRun} {
		assert.InDelta(t, want, heatOf(t, r, 21)/hour, 0.006, r.Source)
	}
}

// worked is section (b)'s room of 400 bottles of enoki: 40 m³, 8 °C, 90 %, at sea
// level. It gives the fruit bodies 0.17 kg a bottle and the substrate 0.55 kg.
func worked(t *testing.T) (r room.Room, c room.Contents) {
	// The substrate with the Q10 of 2.9 that section uses here.
	substrate := room.Rate{Per: room.Fruiting.Per, At: room.Fruiting.At, Q10: 2.9}
	slow, err := substrate.For(kelvin(8))
	require.NoError(t, err)
	assert.InDelta(t, 24, slow/mg*hour, 0.5)
	bodies, err := room.FruitBodies.For(kelvin(8))
	require.NoError(t, err)
	assert.InDelta(t, 113, bodies/mg*hour, 1)
	resting := eval(t, room.Emission, values{"f": 1, "r": slow, "m": 220}) + eval(t, room.Emission, values{"f": 1, "r": bodies, "m": 68})
	assert.InDelta(t, 13e-3, resting*hour, 0.1e-3)
	co2 := room.GrowingFactor * 13e-3 / hour // 26 g/h, as the section goes on
	return room.Room{Free: 40, Pressure: sea, Temperature: kelvin(8), Humidity: 0.9, CO2Most: 1000e-6, Fan: 100 / hour,
			Coil: kelvin(3), Shell: []room.Surface{{Name: "shell", Area: 72, U: 0.3, Resistance: room.AtWall, Beyond: kelvin(25)}}, Machines: 200},
		room.Contents{CO2: co2, Heat: eval(t, room.MetabolicHeat, values{"E": co2, "h": heatPerCO2(t)}),
			Water: eval(t, room.CropWater, values{"k": room.DefaultTranspiration, "m": 68})}
}

var summer = room.Weather{Temperature: kelvin(25), Humidity: 0.6, CO2: air.Outdoor}

func TestWorkedRoomCarbon(t *testing.T) {
	r, c := worked(t)
	assert.InDelta(t, 77, c.Heat, 0.5)
	assert.InDelta(t, 0.10, c.Water*hour, 0.005)
	for _, want := range []struct{ set, low, high float64 }{{800, 18, 36}, {1000, 12, 24}, {2000, 4.3, 8.6}, {3000, 2.6, 5.3}, {5000, 1.5, 3.0}} {
		r.CO2Most = want.set * 1e-6
		d, err := room.On(r, c, summer, people.PermissibleCO2)
		require.NoError(t, err)
		assert.InDelta(t, want.high, d.Carbon.Needed*hour, 0.02*want.high, "%v ppm", want.set)
		half := c
		half.CO2 /= 2
		d, err = room.On(r, half, summer, people.PermissibleCO2)
		require.NoError(t, err)
		assert.InDelta(t, want.low, d.Carbon.Needed*hour, 0.03*want.low, "%v ppm", want.set)
	}
	r.CO2Most, r.CO2Least = 1000e-6, 2000e-6
	for _, want := range []struct{ leak, ppm float64 }{{0.05, 7230}, {0.10, 3830}, {0.25, 1790}, {0.50, 1110}, {1.00, 770}} {
		r.Leakage = eval(t, air.Leakage, values{"n": want.leak / hour, "V": r.Free})
		d, err := room.On(r, c, summer, people.PermissibleCO2)
		require.NoError(t, err)
		assert.InEpsilon(t, want.ppm, d.Carbon.Ceiling*1e6, 0.006, "%v changes an hour", want.leak)
		assert.Equal(t, want.ppm < 2000, d.Carbon.Unreachable, "%v changes an hour", want.leak)
		assert.InDelta(t, 12, d.Carbon.SealedTime/hour, 0.5)
	}
}

func TestWorkedRoomWaterAndHeat(t *testing.T) {
	r, c := worked(t)
	in := state(t, 8, 0.9)
	const flow = 24 / hour
	// Fresh air of 24 m³/h: 0.09 L/h at 0 °C 80 %, 0.14 at −10 °C 80 %, −0.18 at 25
	// °C 60 %; the total load +268 W at 25 °C and −129 W at 0 °C.
	for _, x := range []struct{ celsius, rh, water, load float64 }{{0, 0.8, 0.09, -129}, {-10, 0.8, 0.14, 0}, {25, 0.6, -0.18, 268}} {
		out := state(t, x.celsius, x.rh)
		got := hour * eval(t, room.FreshWater, values{"Q": flow, "v": in.Volume, "W": in.HumidityRatio, "W_out": out.HumidityRatio})
		assert.InDelta(t, x.water, got, 0.006, "%v °C", x.celsius)
		if x.load != 0 {
			assert.InDelta(t, x.load, eval(t, room.FreshTotal, values{"Q": flow, "v": in.Volume, "h_out": out.Enthalpy, "h": in.Enthalpy}), 1.5, "%v °C", x.celsius)
		}
	}
	r.Humidifier = room.Steam
	d, err := room.On(r, c, summer, people.PermissibleCO2)
	require.NoError(t, err)
	assert.InDelta(t, 367, d.Heat.Shell, 1)
	assert.InDelta(t, 140, d.Heat.Fresh, 5)
	assert.InDelta(t, 277, d.Heat.Inside, 1)
	assert.InDelta(t, 800, d.Heat.Sensible-d.Heat.Humidifier, 30)
	assert.InDelta(t, 0.75, d.Water.Coil*hour, 0.04)
	// The section's 0.5 to 0.8 L/h net, and 1.3 to 1.5 kW with the latent part.
	assert.InDelta(t, 0.65, d.Water.Duty*hour, 0.15)
	assert.InDelta(t, 1400, d.Heat.Sensible+d.Heat.Latent, 100)
	size := eval(t, room.HumidifierSize, values{"x": 1.5, "m": d.Water.Duty})
	assert.InDelta(t, 1.1, size*hour, 0.15)
	// Fog takes the heat for its vapor out of the air, so the coil cools less, dries
	// less, and less fog is needed: the section leaves this out.
	r.Humidifier = room.Fog
	f, err := room.On(r, c, summer, people.PermissibleCO2)
	require.NoError(t, err)
	assert.Less(t, f.Water.Duty, d.Water.Duty)
	assert.Less(t, f.Heat.Sensible+f.Heat.Latent, d.Heat.Sensible+d.Heat.Latent)
}

// "Same 400 bottles in incubation": grams of CO2 an hour, watts, ppm an hour.
func TestWorkedIncubation(t *testing.T) {
	for _, want := range []struct {
		rate              room.Rate
		grams, watts, ppm float64
	}{{room.SpawnRun, 28, 83, 390}, {room.FastSpawnRun, 56, 166, 770}} {
		e := eval(t, room.Emission, values{"f": 1, "r": want.rate.Per, "m": 220})
		assert.InEpsilon(t, want.grams, e*hour*1000, 0.03)
		assert.InEpsilon(t, want.watts, eval(t, room.MetabolicHeat, values{"E": e, "h": heatPerCO2(t)}), 0.03)
		g := eval(t, air.GasFlow, values{"E": e, "M": air.MolarMassCO2, "V_m": eval(t, air.MolarVolume, values{"T": kelvin(21), "p": sea})})
		assert.InEpsilon(t, want.ppm, 1e6*hour*eval(t, air.SealedRise, values{"G": g, "V": 40}), 0.03)
	}
}
