package room_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/working"
)

// Section (a) of the reference: fog takes 0.69 kW per L/h out of the air, steam
// brings about 0.05.
func TestHeatOfHumidifiers(t *testing.T) {
	const literPerHour = 1 / hour // kg/s
	assert.InDelta(t, 0.69, literPerHour/1000*checks.Eval(t, room.VaporHeat, values{"T": kelvin(8)}), 0.005)
	// 100 °C to 8 °C at 1.86 kJ/(kg·K), by hand.
	assert.InDelta(t, 0.04753, literPerHour/1000*checks.Eval(t, room.SteamHeat, values{"T": kelvin(8)}), 0.00001)
}

// Margins to the dew point of section (a) of this project's climate reference.
func TestMarginsOfTheReference(t *testing.T) {
	for _, x := range []struct{ celsius, rh, margin float64 }{{8, 0.90, 1.54}, {8, 0.95, 0.75}, {15, 0.90, 1.63}, {15, 0.95, 0.79}} {
		s := state(t, x.celsius, x.rh)
		assert.InDelta(t, x.margin, s.Temperature-s.DewPoint, 0.0051)
	}
}

// What is put into a closed box comes out of the law again.
func TestClosedBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(20, 300).Draw(t, "rate") * mg / hour
		mass, box, taken := 16*0.55, 0.12, 16*0.85e-3
		mole := checks.Eval(t, air.MolarVolume, values{"T": kelvin(16), "p": sea})
		g := checks.Eval(t, air.GasFlow, values{"E": checks.Eval(t, room.Emission, values{"f": 1, "r": rate, "m": mass}), "M": air.MolarMassCO2, "V_m": mole})
		const time = 1800
		end := checks.Eval(t, air.After, values{"C_0": 500e-6, "Q": 0, "t": time, "V": box - taken, "C_out": 0, "G": g})
		got := checks.Eval(t, room.ClosedBox, values{"V": box, "V_x": taken, "C_1": 500e-6, "C_2": end, "t": time, "V_m": mole, "m": mass})
		assert.InEpsilon(t, rate, got, 1e-9)
	})
}

// 400 bottles: a bottle takes about 1.1 L with its neck (the reference's room has
// 40 m³). Its dry matter is 0.2 kg: at 13 g/h for 400 bottles over 21 days a tenth
// of it is gone.
func TestRoomAndDryMatter(t *testing.T) {
	assert.InDelta(t, 40-0.44-1, checks.Eval(t, room.Free, values{"V": 40, "V_v": 0.44, "V_s": 1}), 1e-9)
	assert.InDelta(t, 0.011, checks.Eval(t, room.Filled, values{"V_v": 0.44, "V": 40}), 1e-9)
	// A cylinder of 9.5 by 15 cm with 2 mm below and above, by hand: 1.09 L.
	assert.InDelta(t, 1.09e-3, checks.Eval(t, room.Displaced, values{"d": 0.095, "h": 0.15, "s": 0.002}), 0.005e-3)
	lost := checks.Eval(t, room.DryLoss, values{"C": 13e-3 * 24 * 21 / 400, "D": 0.2})
	assert.InDelta(t, 13e-3*24*21/400*30/44/0.2, lost, 1e-4)
	assert.Less(t, lost, 0.35)
}

// The humidifier's duty solves what it stands for: what the coil takes depends on the
// heat, the heat on the humidifier, and the humidifier on the coil.
func TestDutySolvesTheBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rest := rapid.Float64Range(-1e-4, 3e-4).Draw(t, "rest")
		dries := rapid.Float64Range(0, 5e-7).Draw(t, "dries")
		heat := rapid.Float64Range(-2000, 2000).Draw(t, "heat")
		brings := rapid.SampledFrom([]float64{-2.48e6, 1.7e5}).Draw(t, "brings") // fog, steam
		m := checks.Eval(t, room.Duty, values{"m_0": rest, "k": dries, "S": heat, "b": brings})
		coil := dries * max(0, heat+brings*m)
		assert.InDelta(t, max(0, rest+coil), m, 1e-12)
	})
}

// What a coil takes with heat is what CoilWater says of that heat.
func TestCoilDriesAsCoilWater(t *testing.T) {
	in := state(t, 8, 0.9)
	c := checks.Eval(t, air.HeatCapacity, values{"W": in.HumidityRatio})
	full := state(t, 3, 1).HumidityRatio
	k := checks.Eval(t, room.CoilDries, values{"W": in.HumidityRatio, "W_coil": full, "c_p": c, "T": in.Temperature, "T_coil": kelvin(3)})
	assert.InEpsilon(t, coil(t, in, 3)/hour, checks.Eval(t, room.CoilTakes, values{"S": 1000, "k": k}), 1e-12)
}

func TestOutsideTheRangeIsAnError(t *testing.T) {
	for name, at := range map[string]func() (float64, error){
		"a hot crop":   func() (float64, error) { return room.FruitBodies.For(kelvin(41)) },
		"a frozen one": func() (float64, error) { return room.FruitBodies.For(kelvin(-1)) },
		"a wild Q10":   func() (float64, error) { return room.RateAt.At(values{"r": 1, "Q10": 6, "T": 290, "T_ref": 290}) },
		"a long box": func() (float64, error) {
			return room.ClosedBox.At(values{"V": 1, "V_x": 0, "C_1": 0, "C_2": 0.03, "t": 600, "V_m": 0.02, "m": 1})
		},
		"grams": func() (float64, error) { return room.CropWater.At(values{"k": 1.5, "m": 1}) },
		"a warm wall": func() (float64, error) {
			return room.MostConductance.At(values{"T": 280, "T_dew": 279, "R": 0.13, "T_out": 290})
		},
		"a coil as warm as the room": func() (float64, error) {
			return room.CoilDries.At(values{"c_p": 1, "T": 280, "T_coil": 280, "W": 0, "W_coil": 0})
		},
		"a coil that heats": func() (float64, error) {
			return room.CoilWater.At(values{"S": -1, "c_p": 1, "T": 280, "T_coil": 270, "W": 0, "W_coil": 0})
		},
	} {
		_, err := at()
		var e working.RangeError
		assert.True(t, errors.As(err, &e), "%s: %v", name, err)
	}
}

func ExampleRate_For() {
	r, _ := room.SpawnRun.For(273.15 + 16)
	fmt.Printf("%.0f mg of CO2 an hour and kg at 16 °C\n", r*3600*1e6)
	// Output: 81 mg of CO2 an hour and kg at 16 °C
}
