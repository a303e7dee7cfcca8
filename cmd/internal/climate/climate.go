// Package climate works out a room of the farm with what stands in it, on the
// summer and the winter day that the farm is designed for: carbon dioxide and the
// fresh air against it, how long people may stay, heat, water, and what drips.
//
// Every number is a quantity of a ledger with its law, so that a page can tell how it
// came about and limits can run over it. What the farm has not written down of a
// room is not judged: a room without walls has no heat balance.
//
// Of a vessel, its wet substrate with the spawn breathes; and in the stage of
// fruiting also the mushrooms, with the usual yield, as on the last day before
// harvest. In pinning they weigh next to nothing and count as nothing. From pinning
// on all tissue grows, so what is published of tissue after harvest and of substrate
// in bags counts room.GrowingFactor times; spawn runs were measured as they grow,
// and what a farm has measured of its own is taken as it is.
package climate

import (
	"slices"
	"sync"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Standing is one kind of thing that stands in a room.
type Standing struct {
	Process *process.Process
	Stage   string // as in process.Stage
	Vessels int
}

// Subject is the subject of its quantities.
func (s Standing) Subject() string { return s.Process.Input.Protocol.Name + "." + s.Stage }

// stage is the stage with its climate.
func (s Standing) stage() process.Stage {
	i := slices.IndexFunc(s.Process.Stages, func(st process.Stage) bool { return st.ID == s.Stage })
	if i < 0 {
		return process.Stage{}
	}
	return s.Process.Stages[i]
}

// Site is what all rooms of a farm share: the pressure of the air, the weather of the
// two days, and what the farm and the library know of how species breathe.
type Site struct {
	Farm   protocol.Farm
	Ledger *working.Ledger
	Tests  []*Test
	// Call says in a reader's language what grows of a protocol in a stage; without it
	// the stage has its id.
	Call    func(title, stage string) string
	library protocol.Library
	asked   sync.Mutex                 // of habits
	habits  map[string]*working.Ledger // by protocol
}

// NewSite works out what all rooms share.
func NewSite(f protocol.Farm, lib protocol.Library) *Site {
	l := working.NewLedger(nil)
	s := &Site{Farm: f, Ledger: l, library: lib, habits: map[string]*working.Ledger{}}
	process.Pressure(l, f)
	process.OutdoorCO2(l, f)
	if w := f.Outdoor; w != nil {
		s.day(Summer, w.Summer)
		s.day(Winter, w.Winter)
	}
	for i := range f.ClosedBoxes {
		s.Tests = append(s.Tests, s.test(i))
	}
	return s
}

// called is what stands in a room by its name.
func (s *Site) called(x Standing) string {
	title := x.Process.Input.Protocol.Title
	if s.Call == nil {
		return title + " (" + x.Stage + ")"
	}
	return s.Call(title, x.Stage)
}

// The days that a room is worked out for.
const (
	Summer = "summer"
	Winter = "winter"
)

func (s *Site) day(name string, w protocol.Weather) {
	l := s.Ledger
	t := l.Given(name+"_air", unit.TemperatureOf, float64(w.Air), protocol.InFarm("outdoor."+name+".air"))
	rh := l.Given(name+"_humidity", unit.ShareOf, float64(w.Humidity), protocol.InFarm("outdoor."+name+".humidity"))
	vapor := l.Derive(name+"_vapor", unit.AbsolutePressureOf, air.VaporPressure, working.Bind("RH", rh), working.Bind("T", t))
	ratio := l.Derive(name+"_ratio", unit.HumidityRatioOf, air.HumidityRatio, working.Bind("p_v", vapor), working.Bind("p", l.Get("air_pressure")))
	l.Derive(name+"_heat_capacity", unit.SpecificHeatOf, air.HeatCapacity, working.Bind("W", ratio))
}

// Room is a room with what stands in it. It is not changed once made.
type Room struct {
	protocol.Room
	Index    int // in the farm's list
	Standing []Standing
	Site     *Site
	Names    map[string]string // words for the subjects of quantities
	Ledger   *working.Ledger
	Findings []protocol.Finding
}

// Settled reports whether the farm has given the room its setpoints, without which
// nothing of its air can be worked out.
func Settled(r protocol.Room) bool { return r.Air != nil && r.Humidity != nil && r.CO2Most != nil }

// grows reports whether a stage of a vessel may have its place in a room.
func grows(r protocol.Room) bool {
	return slices.ContainsFunc(r.For, func(s string) bool { return s != protocol.RoomCooling && s != protocol.RoomBench })
}

// Work works out the i-th room of the farm with what stands in it. The room has to be
// Settled.
func Work(s *Site, i int, standing []Standing) *Room {
	r := stand(s, i, standing)
	if r.Ledger.Value("room_free") > 0 { // else a limit says what is wrong
		r.carbon()
		r.people()
		r.dew()
		if s.Farm.Outdoor != nil && len(r.Walls) > 0 {
			r.heat()
		}
	}
	r.judge()
	return r
}

// GivesOff is the CO2 in kg/s that what stands in the i-th room gives off, and whether
// that can be told: what Work begins with, without all that rests on it.
func GivesOff(s *Site, i int, standing []Standing) (float64, bool) {
	return stand(s, i, standing).Value("co2_given")
}

// stand begins a room: its air, its vessels, and what these give off.
func stand(s *Site, i int, standing []Standing) *Room {
	r := &Room{
		Room: s.Farm.Rooms[i], Index: i, Standing: standing, Site: s,
		Names: map[string]string{}, Ledger: working.NewLedger(s.Ledger),
	}
	r.setpoint()
	r.place()
	if r.Ledger.Value("room_free") > 0 {
		r.breath()
	}
	return r
}

// given enters a value that the farm has written down of the room.
func (r *Room) given(name string, k unit.Kind, v float64, key string) *working.Quantity {
	return r.Ledger.Given(name, k, v, protocol.InFarm(protocol.RoomKey(r.Index, key)))
}

// constant enters a value of ours or of a publication.
func (r *Room) constant(name string, k unit.Kind, v float64, source string) *working.Quantity {
	return r.Ledger.GivenOf(name, "", k, v, working.Origin{}, source)
}

// Value is a quantity's value, and whether there is one.
func (r *Room) Value(name string) (float64, bool) {
	q := r.Ledger.Get(name)
	if q == nil {
		return 0, false
	}
	return q.Value, true
}

// setpoint enters the air that the room is held at, and works out what is in it.
func (r *Room) setpoint() {
	l := r.Ledger
	t := r.given("room_air", unit.TemperatureOf, float64(*r.Air), "air")
	rh := r.given("room_humidity", unit.ShareOf, float64(*r.Humidity), "humidity")
	r.given("room_co2", unit.PartsPerMillion, float64(*r.CO2Most), "co2_most")
	p := l.Get("air_pressure")
	vapor := l.Derive("room_vapor", unit.AbsolutePressureOf, air.VaporPressure, working.Bind("RH", rh), working.Bind("T", t))
	w := l.Derive("room_ratio", unit.HumidityRatioOf, air.HumidityRatio, working.Bind("p_v", vapor), working.Bind("p", p))
	l.Derive("room_dew_point", unit.TemperatureOf, air.DewPoint, working.Bind("p_v", vapor))
	l.Derive("room_above_dew", unit.TemperatureDifference, room.AboveDew, working.Bind("T_s", t), working.Bind("T_dew", l.Get("room_dew_point")))
	l.Derive("room_specific_volume", unit.SpecificVolumeOf, air.SpecificVolume, working.Bind("T", t), working.Bind("W", w), working.Bind("p", p))
	l.Derive("room_heat_capacity", unit.SpecificHeatOf, air.HeatCapacity, working.Bind("W", w))
	l.Derive("room_molar_volume", unit.MolarVolumeOf, air.MolarVolume, working.Bind("T", t), working.Bind("p", p))
}
