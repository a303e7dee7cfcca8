package climate

import (
	"math"
	"slices"

	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
)

// What a card takes for off, besides what room says of air and humidity: design choices,
// no source.
const (
	co2Off  = 1.25 // times the setpoint
	dampest = 0.99 // above it any meter shows anything
)

// Span is a low and a high value, in SI units.
type Span struct{ Low, High float64 }

// Card is what the card at a room's door says: setpoints with their bands, where an
// alarm is to sound, and what is reckoned for the people who go in. A zero is something
// that the room does not have.
type Card struct {
	Air                Span    // K, within which it is well
	Humidity           Span    // shares, likewise
	CO2                float64 // share, the setpoint
	CO2High            float64 // share at which the fan fails the crop; 0 where the workers' limit comes first
	CO2Low             float64 // share under which the crop gets too much fresh air
	Alarm, Loud, Never float64 // shares: leave, all out, nobody goes in
	Enter              float64 // share under which people may go in
	Purge              float64 // s before that, rounded up to minutes
	Stay               float64 // s in a shift, rounded down
	FanOff             float64 // s from the setpoint to Alarm with no fresh air, rounded down; 0 where nothing breathes
	Water              float64 // m³ a day for the humidifier, rounded up to whole liters
}

// Stale reports whether the room is held at or above the workers' limit, so that it has
// to be purged before each visit.
func (c Card) Stale() bool { return c.CO2 >= c.Alarm }

// Card is what the room's card says.
func (r *Room) Card() Card {
	t, rh, set := float64(*r.Air), float64(*r.Humidity), float64(*r.CO2Most)
	c := Card{
		Air:      Span{t - room.AirGive, t + room.AirGive},
		Humidity: Span{rh - room.HumidityGive, math.Min(rh+room.HumidityGive, dampest)},
		CO2:      set, Alarm: people.PermissibleCO2, Loud: people.AlarmCO2, Never: people.ShortTermCO2, Enter: people.PermissibleCO2,
	}
	const hundred = 100e-6
	if high := unit.Up(set*co2Off/hundred) * hundred; high < c.Alarm {
		c.CO2High = high
	}
	// So little more than outdoors is no reason to run a fan less.
	if least, ok := r.Value("co2_wanted"); ok && least >= 2*r.Ledger.Value("outdoor_co2") && least < set {
		c.CO2Low = least
	}
	if s, ok := r.Value("purge_needed"); ok {
		c.Enter, c.Purge = people.WarnCO2, unit.Up(math.Max(s, float64(r.Purge))/unit.Minute)*unit.Minute
	}
	if s, ok := r.Value("stay_most"); ok {
		c.Stay = down(s)
	}
	if s, ok := r.Value("sealed_time"); ok {
		c.FanOff = down(s)
	}
	summer, warm := r.Value(Summer + "_duty")
	winter, _ := r.Value(Winter + "_duty")
	if duty := math.Max(summer, winter); warm && duty > 0 {
		const liter = 1e-3 // m³, and a kg of water
		c.Water = unit.Up(duty*unit.Day) * liter
	}
	return c
}

// down rounds a time down to quarters of an hour, and from three hours on to hours:
// what is told of it errs on the safe side. Less than a quarter is told in minutes.
func down(s float64) float64 {
	step := 15 * unit.Minute
	switch {
	case s >= 3*unit.Hour:
		step = unit.Hour
	case s < step:
		step = unit.Minute
	}
	return unit.Down(s/step) * step
}

// MayStand lists what may stand in a room, protocol by protocol.
func MayStand(r protocol.Room, processes []*process.Process) []Standing {
	var out []Standing
	for _, p := range processes {
		for _, st := range p.Stages {
			if slices.ContainsFunc(p.Rooms(st), func(x protocol.Room) bool { return x.ID == r.ID }) {
				out = append(out, Standing{Process: p, Stage: st.ID})
			}
		}
	}
	return out
}
