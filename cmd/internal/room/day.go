package room

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/working"
)

// Surface is a part of a room's shell.
type Surface struct {
	Name       string
	Area       float64 // m²
	U          float64 // W/(m²·K)
	Resistance float64 // m²·K/W of the air at it: AtWall, AtCeiling or AtFloor
	Beyond     float64 // K on its other side
}

// Humidifier is how a humidifier makes vapor.
type Humidifier int

const (
	Fog   Humidifier = iota // droplets that dry in the air and cool it: ultrasonic, spray, disk
	Steam                   // boils
)

// Room is a room at its setpoint, with what it is equipped with.
type Room struct {
	Free        float64 // m³ of free air
	Pressure    float64 // Pa, of the place
	Temperature float64 // K, setpoint
	Humidity    float64 // 0 to 1, setpoint
	CO2Least    float64 // share that the crop wants at least; 0 where it wants none
	CO2Most     float64 // share that it bears, or people do
	Leakage     float64 // m³/s that come in with the fan off
	Fan         float64 // m³/s that the fan can bring, besides
	Coil        float64 // K, apparatus dew point of the cooling coil
	Humidifier  Humidifier
	Shell       []Surface
	Machines    float64 // W of lights, fans and pumps in the room
	People      float64 // people in the room, on the average
}

// Contents is what stands in a room on a day, as a whole.
type Contents struct {
	CO2  float64 // kg/s given off
	Heat float64 // W given off: MetabolicHeat of that CO2
	Water,
	Soaked float64 // kg/s of water given off by the crop, and taken up by walls and floors that dry
	Coldest float64 // K of what is brought in colder than the room, bottles or supply air; 0 for none
}

// Weather is the air outside.
type Weather struct {
	Temperature float64 // K
	Humidity    float64 // 0 to 1
	CO2         float64 // share
}

// Carbon is what happens to the CO2.
type Carbon struct {
	Flow        float64 // m³/s given off
	Needed      float64 // m³/s of fresh air that hold CO2Most, leakage included
	FromFan     float64 // m³/s of that which the fan has to bring
	FanTooSmall bool    // the fan can't: the room goes to WithFan
	WithFan     float64 // share at last with the fan running all the time
	Ceiling     float64 // share at last with the fan off; 1 at most
	Unreachable bool    // Ceiling is below CO2Least: the room leaks too much for what the crop wants
	SealedTime  float64 // s from CO2Most to the limit for workers, fan off and nothing leaking; infinite where nothing breathes
}

// Water is where the water goes, kg/s.
type Water struct {
	Fresh float64 // to bring the fresh air to the room's humidity; below 0 it brings water in
	Coil  float64 // taken out by the cooling coil
	Duty  float64 // of the humidifier
}

// Heat is where the heat goes, W into the room.
type Heat struct {
	Fresh      float64 // sensible, of fresh air
	Shell      float64 // through walls, floor and ceiling
	Inside     float64 // machines, people and crop
	Humidifier float64 // sensible: below 0 for fog
	Sensible   float64 // sum of these: cooling where above 0, heating where below
	Latent     float64 // of the water that the coil takes out
}

// Wet is a surface with what it has to the dew point.
type Wet struct {
	Name        string
	Temperature float64 // K
	Margin      float64 // K above the dew point; below 0 it drips
}

// Day is a room on a day.
type Day struct {
	Inside, Outside air.State
	Carbon          Carbon
	Water           Water
	Heat            Heat
	Surfaces        []Wet // each of the shell in its order, then "coldest" where there is something cold
}

// Coldest is the name of what is brought in cold, among a Day's surfaces.
const Coldest = "coldest"

// On works out a room on a day. The fan runs just as much as CO2Most asks for, or
// as much as it can. Limit is the share of CO2 for workers that SealedTime counts to.
func On(r Room, c Contents, w Weather, limit float64) (Day, error) {
	var d Day
	var err error
	if err = check(r, c, w, limit); err != nil {
		return d, fmt.Errorf("room: %w", err)
	}
	if d.Inside, err = air.At(r.Temperature, r.Humidity, r.Pressure); err != nil {
		return d, fmt.Errorf("room: %w", err)
	}
	if d.Outside, err = air.At(w.Temperature, w.Humidity, r.Pressure); err != nil {
		return d, fmt.Errorf("outdoors: %w", err)
	}
	l := &laws{}
	d.Carbon = carbon(l, r, c, w, limit)
	flow := r.Leakage + math.Min(d.Carbon.FromFan, r.Fan)
	d.moisture(l, r, c, flow)
	for _, s := range r.Shell {
		t := l.at(SurfaceTemperature, inputs{"T": r.Temperature, "U": s.U, "R": s.Resistance, "T_out": s.Beyond})
		d.Surfaces = append(d.Surfaces, Wet{s.Name, t, t - d.Inside.DewPoint})
	}
	if c.Coldest > 0 {
		d.Surfaces = append(d.Surfaces, Wet{Coldest, c.Coldest, c.Coldest - d.Inside.DewPoint})
	}
	return d, l.err
}

func check(r Room, c Contents, w Weather, limit float64) error {
	const concentration = "a share from 0 to 1, not ppm"
	for _, x := range []struct {
		quantity, unit     string
		found, least, most float64
		why                string
	}{
		{"free volume", "m³", r.Free, 0.1, 1e6, ""},
		{"outdoor CO2", "", w.CO2, 0, 0.005, concentration},
		{"CO2 wanted at least", "", r.CO2Least, 0, 0.2, concentration},
		{"CO2 setpoint", "", r.CO2Most, math.Nextafter(w.CO2, 1), 0.2, "above the outdoor air's; a share from 0 to 1, not ppm"},
		{"leakage", "m³/s", r.Leakage, 0, 1e4, ""},
		{"fan", "m³/s", r.Fan, 0, 1e4, ""},
		{"machines", "W", r.Machines, 0, 1e7, ""},
		{"people", "", r.People, 0, 1000, ""},
		{"CO2 of the crop", "kg/s", c.CO2, 0, 1, ""},
		{"heat of the crop", "W", c.Heat, 0, 1e7, ""},
		{"water of the crop", "kg/s", c.Water, 0, 10, ""},
		{"water taken up", "kg/s", c.Soaked, 0, 10, ""},
		{"limit for workers", "", limit, 0, 0.2, concentration},
	} {
		if err := working.Within(x.quantity, x.unit, x.found, x.least, x.most, x.why); err != nil {
			return err
		}
	}
	if r.Humidifier != Fog && r.Humidifier != Steam {
		return fmt.Errorf("humidifier is %d; Fog or Steam is taken", r.Humidifier)
	}
	return nil
}

type inputs = map[string]float64

// laws evaluates laws and keeps the first error; what failed is no number.
type laws struct{ err error }

func (l *laws) at(law *working.Law, in inputs) float64 {
	v, err := law.At(in)
	if err != nil {
		if l.err == nil {
			l.err = fmt.Errorf("room: %w", err)
		}
		return math.NaN()
	}
	return v
}

func carbon(l *laws, r Room, c Contents, w Weather, limit float64) Carbon {
	var k Carbon
	mole := l.at(air.MolarVolume, inputs{"T": r.Temperature, "p": r.Pressure})
	k.Flow = l.at(air.GasFlow, inputs{"E": c.CO2, "M": air.MolarMassCO2, "V_m": mole})
	k.Needed = l.at(air.FreshAir, inputs{"G": k.Flow, "C_set": r.CO2Most, "C_out": w.CO2})
	k.FromFan = math.Max(0, k.Needed-r.Leakage)
	k.FanTooSmall = k.FromFan > r.Fan
	steady := func(flow float64) float64 {
		if k.Flow == 0 {
			return w.CO2
		}
		if flow == 0 {
			return 1
		}
		return math.Min(1, l.at(air.Steady, inputs{"C_out": w.CO2, "G": k.Flow, "Q": flow}))
	}
	k.WithFan, k.Ceiling = steady(r.Leakage+r.Fan), steady(r.Leakage)
	k.Unreachable = k.Ceiling < r.CO2Least
	k.SealedTime = math.Inf(1)
	// A cubic millimeter in eleven days is nothing, and would take longer than
	// there are numbers for.
	if k.Flow > 1e-15 {
		k.SealedTime = l.at(air.SealedTime, inputs{"V": r.Free, "C_0": r.CO2Most, "C_lim": limit, "G": k.Flow})
	}
	return k
}

// moisture works out heat and water, which hang together: the more the coil
// cools the more it dries, and fog that makes up for it cools in its place. Both
// are linear in the humidifier's duty as long as the coil cools.
func (d *Day) moisture(l *laws, r Room, c Contents, flow float64) {
	in, out := d.Inside, d.Outside
	d.Water.Fresh = l.at(FreshWater, inputs{"Q": flow, "v": in.Volume, "W": in.HumidityRatio, "W_out": out.HumidityRatio})
	d.Heat.Fresh = l.at(FreshSensible, inputs{"Q": flow, "v": in.Volume, "T_out": out.Temperature, "T": in.Temperature,
		"c_p": l.at(air.HeatCapacity, inputs{"W": out.HumidityRatio})})
	for _, s := range r.Shell {
		d.Heat.Shell += l.at(Through, inputs{"U": s.U, "A": s.Area, "T_out": s.Beyond, "T": in.Temperature})
	}
	d.Heat.Inside = r.Machines + r.People*PersonHeat + c.Heat
	before := d.Heat.Fresh + d.Heat.Shell + d.Heat.Inside

	vapor := l.at(VaporHeat, inputs{"T": in.Temperature})
	brings := -vapor // J of sensible heat with a kg of vapor
	if r.Humidifier == Steam {
		brings = l.at(SteamHeat, inputs{"T": in.Temperature})
	}
	dries := l.perWatt(r, in)
	duty := func(coil float64) float64 {
		return l.at(Humidify, inputs{"m_fresh": d.Water.Fresh, "m_coil": coil, "m_soak": c.Soaked, "m_crop": c.Water})
	}
	// With the coil cooling: duty = rest + dries·(before + brings·duty).
	rest := math.Max(0, d.Water.Fresh) + c.Soaked - c.Water
	m := math.Max(0, (rest+dries*before)/(1-dries*brings))
	if before+brings*m <= 0 {
		m = duty(0)
	}
	d.Heat.Humidifier = brings * m
	d.Heat.Sensible = before + d.Heat.Humidifier
	d.Water.Coil = dries * math.Max(0, d.Heat.Sensible)
	d.Water.Duty = duty(d.Water.Coil)
	d.Heat.Latent = d.Water.Coil * vapor
}

// perWatt is the water in kg that the room's coil takes out with a J of sensible
// heat.
func (l *laws) perWatt(r Room, in air.State) float64 {
	full := l.at(air.HumidityRatio, inputs{"p_v": l.at(air.Saturation, inputs{"T": r.Coil}), "p": r.Pressure})
	return l.at(CoilWater, inputs{"S": 1, "T": in.Temperature, "T_coil": r.Coil, "W": in.HumidityRatio, "W_coil": full,
		"c_p": l.at(air.HeatCapacity, inputs{"W": in.HumidityRatio})})
}
