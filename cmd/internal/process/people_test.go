package process_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// lab is a room of 40 m³ with a clean bench, and nothing that ventilates it.
func lab() protocol.Room {
	return protocol.Room{ID: "lab", Name: "Lab", For: []string{protocol.RoomBench}, Volume: 40}
}

// rules are the ids of what is found, with how bad each is.
func rules(p *process.Process) map[string]protocol.Severity {
	out := map[string]protocol.Severity{}
	for _, f := range p.Findings {
		out[f.Rule] = f.Severity
	}
	return out
}

// The farm's example of the climate reference, section (c): 16 bottles of 55 g
// filled with 550 g in a crate of 1.2 kg that is 46 cm deep, twice a minute for two
// hours, hands at 15 cm on the floor and at 150 cm on the top shelf, fair grip. Its
// weight limits are 6.7 and 7.4 kg, its index 1.6. (It prints a reach of 43 cm for
// both ends. By its own rule the hands are 48 cm off where they are below 25 cm, and
// only so does one get its 6.7 kg.)
func TestCrateOfTheClimateReference(t *testing.T) {
	in := input(t, "enoki-850")
	v := in.Library.Vessels["bottle-850"]
	v.Empty, v.LidMass = 0.055, 0
	in.Library.Vessels = map[string]protocol.Vessel{v.ID: v}
	mass := unit.Mass(0.55)
	in.Protocol.Fill.Mass, in.Protocol.Fill.Density = &mass, nil
	in.Protocol.Spawn.ShareOfWet = 1e-6 // the reference's crate has none
	floor := unit.Length(0)
	in.Farm.Grain = nil
	in.Farm.Crate = &protocol.Crate{Vessels: 16, Empty: 1.2, Lifted: &protocol.Lifted{
		Depth: 0.46, Hands: 0.15, Grip: string(people.Fair), From: &floor, Lifts: unit.Rate(2 / unit.Minute), Stretch: 2 * unit.Hour}}
	in.Farm.Rooms = []protocol.Room{{ID: "grow", For: []string{"incubation"}, Volume: 60, ShelfHighest: 1.35}}
	in.Farm.Bench = nil
	p := planned(t, in)
	assert.InDelta(t, 10.9, p.Value("crate_mass"), 0.05)
	assert.InDelta(t, 0.48, p.Value("lift_reach_from"), 1e-9)
	assert.InDelta(t, 0.43, p.Value("lift_reach_top"), 1e-9)
	assert.InDelta(t, 0.58, p.Value("lift_horizontal_top"), 0.005)
	assert.InDelta(t, 6.7, p.Value("lift_start_top"), 0.05)
	assert.InDelta(t, 7.4, p.Value("lift_end_top"), 0.05)
	assert.InDelta(t, 6.7, p.Value("lift_limit"), 0.05)
	assert.InDelta(t, 1.6, p.Value("lift_index"), 0.05)
	assert.Equal(t, 1.0, p.Value("lift_outside_scope"), "incubation is damper than the equation's rooms")
	assert.Nil(t, p.Ledger.Get("lift_limit_low"), "nobody said where the lowest shelf is")
	assert.Equal(t, protocol.Warning, rules(p)["lift.index"])

	// All that the package works out in one go agrees with the ledger.
	j, err := people.Judge(people.Lift{Mass: p.Value("crate_heaviest"), From: people.Grip{Reach: 0.48, Height: 0.15}, To: people.Grip{Reach: 0.43, Height: 1.5},
		Frequency: 2 / unit.Minute, Duration: 2 * unit.Hour, Coupling: people.Fair, Destination: true}, people.Metric)
	require.NoError(t, err)
	assert.InEpsilon(t, j.Limit, p.Value("lift_limit"), 1e-9)
	assert.InEpsilon(t, j.Index, p.Value("lift_index"), 1e-9)
}

// The demo's crate by hand: picked up from a trolley at 45 cm and held 15 cm above
// its base, so at 60 cm, to a shelf at 150 cm, so at 165 cm, and to one at 20 cm, so
// at 35 cm; 26 cm deep, so 33 cm away; good grip; twice a minute for an hour.
// HM = 25/33, VM = 1 - 0.3|V - 0.75|, DM = 0.82 + 0.045/D, FM = 0.91 (the manual's
// table 5). To the top: 23 × 0.758 × 0.73 × 0.863 × 0.91 = 9.99 kg at its end; to
// the bottom: 23 × 0.758 × 0.88 × 1 × 0.91 = 13.95 kg at its end. Ten quart jars
// of it weigh more than that, and ten bottles less.
func TestDemoCrateByHand(t *testing.T) {
	in := input(t, "enoki-quart")
	jars := planned(t, in)
	assert.InDelta(t, 13.07, jars.Value("lift_start_top"), 0.01)
	assert.InDelta(t, 9.99, jars.Value("lift_end_top"), 0.01)
	assert.InDelta(t, 15.14, jars.Value("lift_start_low"), 0.01)
	assert.InDelta(t, 13.95, jars.Value("lift_end_low"), 0.01)
	assert.InDelta(t, 9.99, jars.Value("lift_limit"), 0.01)
	assert.Greater(t, jars.Value("lift_index"), 1.0)
	assert.Equal(t, protocol.Warning, rules(jars)["lift.index"])
	// Spawn comes to what goes to the shelves: by hand from the demo's own figures.
	n, m, s := 10.0, jars.Value("fill_mass"), jars.Value("spawn_in_vessel")
	want := n*(jars.Value("vessel_empty")+jars.Value("vessel_lid")+m*(1+jars.Value("mass_change"))+s) + 1.2
	assert.InDelta(t, want, jars.Value("crate_spawned"), 1e-9)
	assert.InEpsilon(t, jars.Value("crate_heaviest"), max(want, jars.Value("crate_mass")), 1e-9)

	bottles := planned(t, input(t, "enoki-850"))
	assert.Less(t, bottles.Value("lift_index"), 1.0)
	assert.NotContains(t, rules(bottles), "lift.index")
}

// Where no mass at all may be lifted, that is refused, and not divided by.
func TestShelfOutOfReach(t *testing.T) {
	in := input(t, "enoki-850")
	for i := range in.Farm.Rooms {
		in.Farm.Rooms[i].ShelfHighest = 1.9
	}
	p := planned(t, in)
	assert.Equal(t, protocol.Error, rules(p)["lift.none"])
	assert.Nil(t, p.Ledger.Get("lift_index"))
	assert.NoError(t, p.Ledger.Err())
}

// The climate reference, section (c): 1 mL of 70 % ethanol in a m³ gives about 288
// ppm at 20 °C, so 3.5 mL reach the limit of 1000 ppm, and 29 mL a quarter of what
// can explode. At the sea, in 40 m³: 140 mL and 1160 mL; 40 mL a m² are wiped.
func TestAlcoholInASealedRoom(t *testing.T) {
	with := func(wiped float64, change func(*process.Input)) *process.Process {
		in := input(t, "enoki-850")
		sea := unit.Length(0)
		in.Farm.Altitude = &sea
		in.Farm.Rooms = append(in.Farm.Rooms[:0:0], in.Farm.Rooms...)
		in.Farm.Rooms = append(in.Farm.Rooms, lab())
		in.Farm.Bench = &protocol.Bench{Room: "lab", Alcohol: protocol.Ethanol, Wiped: unit.Area(wiped)}
		if change != nil {
			change(&in)
		}
		return planned(t, in)
	}
	p := with(1, nil)
	assert.InDelta(t, 40e-6, p.Value("alcohol_at_once"), 1e-12)
	assert.InDelta(t, 288e-6, p.Value("vapor_sealed"), 0.5e-6)
	assert.InDelta(t, 140e-6, p.Value("alcohol_most"), 2e-6)
	// Spread over a shift, sealed: half of what is there at its end.
	assert.InEpsilon(t, p.Value("vapor_sealed"), p.Value("vapor_at_end"), 1e-9)
	assert.InEpsilon(t, p.Value("vapor_sealed")/2, p.Value("vapor_mean"), 1e-9)

	for _, c := range []struct {
		wiped    float64 // m²
		rule     string
		severity protocol.Severity
	}{
		{6.8, "", 0},                                // 272 mL: 979 ppm as a mean, 5.9 % of the explosive limit
		{7.1, "vapor.shift", protocol.Warning},      // 284 mL: 1022 ppm
		{11.4, "", 0},                               // below, with fresh air that clears the shift: 9.95 %
		{11.6, "vapor.explosive", protocol.Warning}, // 10.1 %
		{28.6, "vapor.explosive", protocol.Warning}, // 24.97 %
		{28.8, "vapor.explosive_never", protocol.Error},
	} {
		p := with(c.wiped, func(in *process.Input) {
			if c.wiped > 10 {
				fan := unit.AirFlow(1000.0 / unit.Hour)
				in.Farm.Rooms[len(in.Farm.Rooms)-1].Fan = &fan
			}
		})
		seen := map[string]protocol.Severity{}
		for _, rule := range []string{"vapor.shift", "vapor.explosive", "vapor.explosive_never"} {
			if s, found := rules(p)[rule]; found {
				seen[rule] = s
			}
		}
		want := map[string]protocol.Severity{}
		if c.rule != "" {
			want[c.rule] = c.severity
		}
		assert.Equal(t, want, seen, "%v m²", c.wiped)
	}

	sprayed := with(0.5, func(in *process.Input) {
		b := in.Farm.Bench
		b.Strokes, b.Stroke, b.Times, b.Alcohol = 20, 1e-6, 3, protocol.Isopropanol
	})
	assert.InDelta(t, 40e-6, sprayed.Value("alcohol_at_once"), 1e-12)
	assert.InDelta(t, 120e-6, sprayed.Value("alcohol_in_shift"), 1e-12)
	assert.InDelta(t, 400e-6, sprayed.Value("alcohol_permissible"), 1e-12)

	assert.Equal(t, protocol.Error, rules(with(1, func(in *process.Input) { in.Farm.Bench.Flame = true }))["flame.alcohol"])
	assert.NotContains(t, rules(with(0, func(in *process.Input) { in.Farm.Bench.Flame = true })), "flame.alcohol", "nothing that could burn")
}

// Fresh air by hand: 200 m³/h in 40 m³ are five changes an hour. What comes off over
// a shift settles soon at its flow over the fresh air.
func TestFreshAirTakesVaporAway(t *testing.T) {
	in := input(t, "enoki-850")
	r := lab()
	fan, leaks := unit.AirFlow(192/unit.Hour), unit.AirChanges(0.2/unit.Hour)
	r.Fan, r.Leakage = &fan, &leaks
	in.Farm.Rooms = append(append(in.Farm.Rooms[:0:0], in.Farm.Rooms...), r)
	in.Farm.Bench = &protocol.Bench{Room: "lab", Alcohol: protocol.Ethanol, Wiped: 2, Times: 4}
	p := planned(t, in)
	assert.InEpsilon(t, 200/unit.Hour, p.Value("bench_fresh_air"), 1e-9)
	steady := p.Value("vapor_given_off") / p.Value("bench_fresh_air")
	assert.InEpsilon(t, steady, p.Value("vapor_at_end"), 1e-6)
	// The mean is lower by the fortieth part of the shift that a change takes.
	assert.InEpsilon(t, steady*(1-1.0/40), p.Value("vapor_mean"), 1e-6)
	assert.Equal(t, p.Value("vapor_sealed"), p.Value("vapor_highest"), "one time at once is worse than the shift's end")
}

// 29 CFR 1910.95 lets people work 8 h at 90 dB(A), and NIOSH 98-126 takes half of
// the time for each 3 dB(A); a plan makes a warning of what is refused without one.
func TestNoiseOfAShift(t *testing.T) {
	for _, c := range []struct {
		level, hours float64
		plan         string
		mean         float64
		rule         string
		severity     protocol.Severity
	}{
		{79, 8, "", 79, "", 0},
		{86, 2, "", 80, "", 0},
		{87, 2, "", 81, "noise.loud", protocol.Warning},
		{90, 8, "", 90, "noise.loud", protocol.Warning},
		{97, 2, "", 91, "noise.never", protocol.Error},
		{97, 2, "Ear muffs, a hearing test each year", 91, "noise.planned", protocol.Warning},
		{91, 2, "Ear muffs, a hearing test each year", 85, "", 0},
	} {
		in := input(t, "enoki-850")
		in.Farm.Noise = []protocol.Noise{{ID: "mixer", Name: "Mixer", Station: "mixing", Level: unit.SoundLevel(c.level), Time: unit.Duration(c.hours * unit.Hour), Plan: c.plan}}
		p := planned(t, in)
		name := "noise_mean"
		if c.plan != "" {
			name = "noise_planned"
		}
		assert.InDelta(t, c.mean, p.Ledger.ValueOf(name, "mixer"), 1e-9)
		worst, rule := protocol.Severity(0), ""
		for r, s := range rules(p) {
			if strings.HasPrefix(r, "noise.") && s > worst {
				worst, rule = s, r
			}
		}
		assert.Equal(t, c.rule, rule, "%+v", c)
		assert.Equal(t, c.severity, worst, "%+v", c)
	}
}

// NIOSH 2016-106 and the limits of ACGIH (both from memory) have 25 °C for who is new
// to heat and 28 °C for who is used to it, at moderate work of 300 W.
func TestHeatAtTheSterilizer(t *testing.T) {
	for reading, want := range map[float64][]string{24.5: nil, 26: {"heat.alert"}, 29: {"heat.alert", "heat.limit"}} {
		in := input(t, "enoki-850")
		heat, shift := unit.FromCelsius(reading), *in.Farm.Shift
		shift.Heat, in.Farm.Shift = &heat, &shift
		p := planned(t, in)
		assert.InDelta(t, 273.15+25, p.Value("heat_alert"), 0.1)
		assert.InDelta(t, 273.15+28, p.Value("heat_limit"), 0.3)
		var got []string
		for _, rule := range []string{"heat.alert", "heat.limit"} {
			if s, found := rules(p)[rule]; found {
				assert.Equal(t, protocol.Warning, s)
				got = append(got, rule)
			}
		}
		assert.Equal(t, want, got, "%v °C", reading)
	}
}
