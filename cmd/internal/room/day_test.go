package room_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/working"
)

// drawn is a random room with what stands in it, on a random day.
func drawn(t *rapid.T) (room.Room, room.Contents, room.Weather) {
	draw := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	setpoint := draw("setpoint", 4, 25)
	r := room.Room{Free: draw("free", 5, 500), Pressure: draw("p", 60e3, 104e3), Temperature: kelvin(setpoint), Humidity: draw("rh", 0.5, 0.97),
		CO2Least: draw("least", 0, 5e-3), CO2Most: draw("most", 6e-4, 6e-3), Leakage: draw("leakage", 0, 0.02), Fan: draw("fan", 0, 0.3),
		Coil: kelvin(setpoint - draw("coil", 1, 12)), Humidifier: rapid.SampledFrom([]room.Humidifier{room.Fog, room.Steam}).Draw(t, "humidifier"),
		Machines: draw("machines", 0, 2000), People: draw("people", 0, 3)}
	w := room.Weather{Temperature: kelvin(draw("weather", -15, 38)), Humidity: draw("weather rh", 0.2, 1), CO2: air.Outdoor}
	for _, name := range []string{"wall", "ceiling"} {
		r.Shell = append(r.Shell, room.Surface{Name: name, Area: draw(name, 5, 200), U: draw(name+" U", 0.15, 3), Resistance: room.AtWall, Beyond: w.Temperature})
	}
	c := room.Contents{CO2: draw("co2", 0, 3e-5), Heat: draw("heat", 0, 300), Water: draw("water", 0, 1e-4), Soaked: draw("soaked", 0, 1e-5), Coldest: kelvin(draw("coldest", 0, 25))}
	return r, c, w
}

// Over a room at its setpoint nothing is lost or made: water that comes in goes
// out, and so does heat.
func TestBalancesClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, c, w := drawn(t)
		d, err := room.On(r, c, w, people.PermissibleCO2)
		require.NoError(t, err)

		// Water: what comes in is what the coil, dry walls and fresh air take, but for
		// what is in excess where the humidifier rests, or outdoor air is damper.
		excess := d.Water.Duty + c.Water - c.Soaked - d.Water.Coil - d.Water.Fresh
		assert.GreaterOrEqual(t, excess, -1e-12)
		if d.Water.Duty > 0 && d.Water.Fresh >= 0 {
			assert.InDelta(t, 0, excess, 1e-12)
		}
		// Heat: sensible and latent of fresh air are its whole, from the enthalpies.
		flow := r.Leakage + math.Min(d.Carbon.FromFan, r.Fan)
		total := eval(t, room.FreshTotal, values{"Q": flow, "v": d.Inside.Volume, "h_out": d.Outside.Enthalpy, "h": d.Inside.Enthalpy})
		latent := -d.Water.Fresh * (2501000 + 1860*(r.Temperature-273.15))
		assert.InDelta(t, total, d.Heat.Fresh+latent, 1e-6*math.Max(1, math.Abs(total)))
		assert.InDelta(t, d.Heat.Sensible, d.Heat.Fresh+d.Heat.Shell+d.Heat.Inside+d.Heat.Humidifier, 1e-6)
		// Fog only moves heat from sensible to latent: it costs what its vapor takes.
		if r.Humidifier == room.Fog {
			assert.InDelta(t, -d.Water.Duty*eval(t, room.VaporHeat, values{"T": r.Temperature}), d.Heat.Humidifier, 1e-6)
		} else {
			assert.GreaterOrEqual(t, d.Heat.Humidifier, 0.0)
		}
		if d.Heat.Sensible <= 0 {
			assert.Zero(t, d.Water.Coil)
			assert.Zero(t, d.Heat.Latent)
		}
	})
}

// Dry air as warm as the room: little is to cool, and fog to make up for the
// dryness takes more heat than there is, so the coil rests and a heater runs.
func TestFogMayAskForHeat(t *testing.T) {
	r, c := worked(t)
	r.Temperature, r.Coil, r.Shell, r.Machines = kelvin(15), kelvin(8), nil, 20
	c.Heat = 40
	dry := room.Weather{Temperature: kelvin(15), Humidity: 0.2, CO2: air.Outdoor}
	d, err := room.On(r, c, dry, people.PermissibleCO2)
	require.NoError(t, err)
	assert.Greater(t, d.Heat.Fresh+d.Heat.Inside, 0.0)
	assert.Less(t, d.Heat.Sensible, 0.0)
	assert.Zero(t, d.Water.Coil)
	assert.InDelta(t, d.Water.Fresh-c.Water, d.Water.Duty, 1e-12)
	assert.InDelta(t, -d.Water.Duty*eval(t, room.VaporHeat, values{"T": r.Temperature}), d.Heat.Humidifier, 1e-9)
}

// Two people more are 200 W more, as section (a) of the reference counts them.
func TestPeopleWarmTheRoom(t *testing.T) {
	r, c := worked(t)
	alone, err := room.On(r, c, summer, people.PermissibleCO2)
	require.NoError(t, err)
	r.People = 2
	with, err := room.On(r, c, summer, people.PermissibleCO2)
	require.NoError(t, err)
	assert.InDelta(t, 200, with.Heat.Inside-alone.Heat.Inside, 1e-9)
}

// Section (a) of the reference: fog takes 0.69 kW per L/h out of the air, steam
// brings about 0.05.
func TestHeatOfHumidifiers(t *testing.T) {
	const literPerHour = 1 / hour // kg/s
	assert.InDelta(t, 0.69, literPerHour/1000*eval(t, room.VaporHeat, values{"T": kelvin(8)}), 0.005)
	// 100 °C to 8 °C at 1.86 kJ/(kg·K), by hand.
	assert.InDelta(t, 0.04753, literPerHour/1000*eval(t, room.SteamHeat, values{"T": kelvin(8)}), 0.00001)
}

func TestCarbonHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, c, w := drawn(t)
		d, err := room.On(r, c, w, people.PermissibleCO2)
		require.NoError(t, err)
		k := d.Carbon
		assert.LessOrEqual(t, k.WithFan, k.Ceiling)
		if c.CO2 > 0 {
			// With the air that is needed the room is at its setpoint.
			assert.InEpsilon(t, r.CO2Most, eval(t, air.Steady, values{"C_out": w.CO2, "G": k.Flow, "Q": k.Needed}), 1e-9)
			assert.Equal(t, k.FanTooSmall, k.WithFan > r.CO2Most*(1+1e-9))
			// Marched from the setpoint in the sealed room, the limit is passed at its time.
			if r.CO2Most < people.PermissibleCO2 && !math.IsInf(k.SealedTime, 1) {
				end := eval(t, air.After, values{"C_0": r.CO2Most, "Q": 0, "t": k.SealedTime, "V": r.Free, "C_out": w.CO2, "G": k.Flow})
				assert.InEpsilon(t, people.PermissibleCO2, end, 1e-9)
			} else if r.CO2Most >= people.PermissibleCO2 && k.Flow > 1e-15 {
				assert.Zero(t, k.SealedTime)
			}
		}
		more := c
		more.CO2 += 1e-6
		m, err := room.On(r, more, w, people.PermissibleCO2)
		require.NoError(t, err)
		assert.Greater(t, m.Carbon.Needed, k.Needed)
		assert.Less(t, m.Carbon.SealedTime, math.Max(k.SealedTime, 1e-9))
		// Where the air is thin, as much CO2 is a greater share of it.
		high := r
		high.Pressure *= 0.9
		h, err := room.On(high, more, w, people.PermissibleCO2)
		require.NoError(t, err)
		assert.InEpsilon(t, m.Carbon.Needed/0.9, h.Carbon.Needed, 1e-9)
	})
}

func TestSurfacesDripBelowTheDewPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, c, w := drawn(t)
		d, err := room.On(r, c, w, people.PermissibleCO2)
		require.NoError(t, err)
		require.Len(t, d.Surfaces, len(r.Shell)+1)
		for i, s := range r.Shell {
			x := d.Surfaces[i]
			assert.Equal(t, s.Name, x.Name)
			// The wall is between its two sides, and drips just where it is thinner than
			// the dew point lets it be.
			assert.GreaterOrEqual(t, x.Temperature, math.Min(r.Temperature, s.Beyond)-1e-9)
			assert.LessOrEqual(t, x.Temperature, math.Max(r.Temperature, s.Beyond)+1e-9)
			if s.Beyond < r.Temperature-0.1 {
				most := eval(t, room.MostConductance, values{"T": r.Temperature, "T_dew": d.Inside.DewPoint, "R": s.Resistance, "T_out": s.Beyond})
				if math.Abs(s.U-most) > 1e-9 {
					assert.Equal(t, s.U > most, x.Margin < 0)
				}
			}
		}
		last := d.Surfaces[len(d.Surfaces)-1]
		assert.Equal(t, room.Coldest, last.Name)
		assert.InDelta(t, c.Coldest-d.Inside.DewPoint, last.Margin, 1e-12)
	})
}

// Margins to the dew point of section (a) of this project's climate reference.
func TestMarginsOfTheReference(t *testing.T) {
	for _, x := range []struct{ celsius, rh, margin float64 }{{8, 0.90, 1.54}, {8, 0.95, 0.75}, {15, 0.90, 1.63}, {15, 0.95, 0.79}} {
		s := state(t, x.celsius, x.rh)
		assert.InDelta(t, x.margin, s.Temperature-s.DewPoint, 0.0051)
	}
}

func TestNothingBreathes(t *testing.T) {
	r, _ := worked(t)
	d, err := room.On(r, room.Contents{}, summer, people.PermissibleCO2)
	require.NoError(t, err)
	assert.True(t, math.IsInf(d.Carbon.SealedTime, 1))
	assert.Zero(t, d.Carbon.Needed)
	assert.Equal(t, summer.CO2, d.Carbon.Ceiling)
	assert.Len(t, d.Surfaces, 1)
}

// What is put into a closed box comes out of the law again.
func TestClosedBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(20, 300).Draw(t, "rate") * mg / hour
		mass, box, taken := 16*0.55, 0.12, 16*0.85e-3
		mole := eval(t, air.MolarVolume, values{"T": kelvin(16), "p": sea})
		g := eval(t, air.GasFlow, values{"E": eval(t, room.Emission, values{"f": 1, "r": rate, "m": mass}), "M": air.MolarMassCO2, "V_m": mole})
		const time = 1800
		end := eval(t, air.After, values{"C_0": 500e-6, "Q": 0, "t": time, "V": box - taken, "C_out": 0, "G": g})
		got := eval(t, room.ClosedBox, values{"V": box, "V_x": taken, "C_1": 500e-6, "C_2": end, "t": time, "V_m": mole, "m": mass})
		assert.InEpsilon(t, rate, got, 1e-9)
	})
}

// 400 bottles: a bottle takes about 1.1 L with its neck (the reference's room has
// 40 m³). Its dry matter is 0.2 kg: at 13 g/h for 400 bottles over 21 days a tenth
// of it is gone.
func TestRoomAndDryMatter(t *testing.T) {
	assert.InDelta(t, 40-0.44-1, eval(t, room.Free, values{"V": 40, "n": 400, "V_v": 1.1e-3, "V_s": 1}), 1e-9)
	assert.InDelta(t, 0.011, eval(t, room.Filled, values{"n": 400, "V_v": 1.1e-3, "V": 40}), 1e-9)
	lost := eval(t, room.DryLoss, values{"C": 13e-3 * 24 * 21 / 400, "D": 0.2})
	assert.InDelta(t, 13e-3*24*21/400*30/44/0.2, lost, 1e-4)
	assert.Less(t, lost, 0.35)
}

func TestOutsideTheRangeIsAnError(t *testing.T) {
	r, c := worked(t)
	for name, change := range map[string]func(*room.Room, *room.Contents, *room.Weather){
		"setpoint of outdoors":   func(r *room.Room, _ *room.Contents, w *room.Weather) { r.CO2Most = w.CO2 },
		"ppm":                    func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.CO2Most = 1000 },
		"percent":                func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.Humidity = 90 },
		"no volume":              func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.Free = 0 },
		"coil as warm as room":   func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.Coil = r.Temperature },
		"no wall at all":         func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.Shell[0].U = 0 },
		"a crop that takes CO2":  func(_ *room.Room, c *room.Contents, _ *room.Weather) { c.CO2 = -1 },
		"no number":              func(_ *room.Room, c *room.Contents, _ *room.Weather) { c.Heat = math.NaN() },
		"kilopascals":            func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.Pressure = 101.325 },
		"a fan that blows out":   func(r *room.Room, _ *room.Contents, _ *room.Weather) { r.Fan = -1 },
		"weather of another sun": func(_ *room.Room, _ *room.Contents, w *room.Weather) { w.Temperature = 900 },
	} {
		room2, contents, weather := r, c, summer
		room2.Shell = append([]room.Surface{}, r.Shell...)
		change(&room2, &contents, &weather)
		_, err := room.On(room2, contents, weather, people.PermissibleCO2)
		var e working.RangeError
		assert.True(t, errors.As(err, &e), "%s: %v", name, err)
	}
	odd := r
	odd.Humidifier = 7
	_, err := room.On(odd, c, summer, people.PermissibleCO2)
	assert.EqualError(t, err, "room: humidifier is 7; Fog or Steam is taken")

	for name, at := range map[string]func() (float64, error){
		"a hot crop":   func() (float64, error) { return room.FruitBodies.For(kelvin(41)) },
		"a frozen one": func() (float64, error) { return room.FruitBodies.For(kelvin(-1)) },
		"a wild Q10":   func() (float64, error) { return room.RateAt.At(values{"r": 1, "Q10": 6, "T": 290, "T_ref": 290}) },
		"a long box": func() (float64, error) {
			return room.ClosedBox.At(values{"V": 1, "V_x": 0, "C_1": 0, "C_2": 0.03, "t": 600, "V_m": 0.02, "m": 1})
		},
		"grams":          func() (float64, error) { return room.CropWater.At(values{"k": 1.5, "m": 1}) },
		"a small margin": func() (float64, error) { return room.HumidifierSize.At(values{"x": 0.5, "m": 1}) },
		"a warm wall": func() (float64, error) {
			return room.MostConductance.At(values{"T": 280, "T_dew": 279, "R": 0.13, "T_out": 290})
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
