package climate

import (
	"strconv"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// place works out how much of the room is air.
func (r *Room) place() {
	l := r.Ledger
	volume := r.given("room_volume", unit.VolumeOf, float64(r.Volume), "volume")
	shelves := r.given("room_shelving", unit.VolumeOf, float64(r.Shelving), "shelving")
	if r.Places > 0 {
		r.given("room_places", unit.CountOf, float64(r.Places), "places")
	}
	var counts, each []*working.Quantity
	for _, s := range r.Standing {
		of := s.Subject()
		r.Names[of] = r.Site.called(s)
		n := l.GivenOf("standing", of, unit.CountOf, float64(s.Vessels), working.Origin{}, standsThere)
		counts = append(counts, n)
		outside := l.DeriveOf("standing_outside", of, unit.LengthOf, sterilizer.OutsideWidth,
			working.Bind("D", s.Process.Ledger.Get("vessel_body")), working.Bind("s", s.Process.Ledger.Get("vessel_wall")))
		each = append(each, l.DeriveOf("standing_displaces", of, unit.VolumeOf, room.Displaced,
			working.Bind("d", outside),
			working.Bind("h", s.Process.Ledger.Get("vessel_height")),
			working.Bind("s", s.Process.Ledger.Get("vessel_wall"))))
	}
	vessels := l.Dot("room_vessels_take", unit.VolumeOf, counts, each)
	l.Derive("room_free", unit.VolumeOf, room.Free, working.Bind("V", volume), working.Bind("V_v", vessels), working.Bind("V_s", shelves))
	l.Derive("room_filled", unit.ShareOf, room.Filled, working.Bind("V_v", vessels), working.Bind("V", volume))
}

// standsThere is where the number of vessels in a room is from.
const standsThere = "what stands in the room on the day that is told of"

// breath works out what everything in the room gives off.
func (r *Room) breath() {
	l := r.Ledger
	grows := r.constant("growing_factor", unit.FactorOf, room.GrowingFactor, "tissue that grows beside tissue after harvest: common practice, no source")
	asMeasured := r.constant("no_factor", unit.FactorOf, 1, "measured of what grows")
	var given, bears []*working.Quantity
	for _, s := range r.Standing {
		of := s.Subject()
		p := s.Process.Ledger
		n := l.Of("standing", of)
		substrate := l.DeriveOf("standing_substrate", of, unit.MassOf, room.Substrate,
			working.Bind("n", n), working.Bind("M", p.Get("fill_mass")), working.Bind("S", p.Get("spawn_in_vessel")))
		var mushrooms *working.Quantity
		if s.Stage == protocol.RoomFruiting {
			mushrooms = l.DeriveOf("standing_mushrooms", of, unit.MassOf, room.Mushrooms,
				working.Bind("n", n), working.Bind("Y", p.Get("yield_in_vessel_usual")))
			bears = append(bears, mushrooms)
		}
		emit := func(name string, rate, factor, mass *working.Quantity) {
			given = append(given, l.DeriveOf(name, of, unit.MassFlowOf, room.Emission,
				working.Bind("f", factor), working.Bind("r", rate), working.Bind("m", mass)))
		}
		if rate := r.measured(s); rate != nil {
			emit("breath_substrate", rate, asMeasured, substrate)
			if mushrooms != nil {
				emit("breath_mushrooms", rate, asMeasured, mushrooms)
			}
			continue
		}
		what, factor := protocol.OfSpawnRun, asMeasured
		if s.Stage == protocol.RoomPinning || s.Stage == protocol.RoomFruiting {
			what, factor = protocol.OfFruiting, grows
		}
		emit("breath_substrate", r.published(s, what, "breath_here"), factor, substrate)
		if mushrooms != nil {
			emit("breath_mushrooms", r.published(s, protocol.OfMushrooms, "breath_here_mushrooms"), grows, mushrooms)
		}
	}
	l.Sum("room_mushrooms", unit.MassOf, bears...)
	emission := l.Sum("co2_given", unit.MassFlowOf, given...)
	mole := r.constant("co2_molar_mass", unit.MolarMassOf, air.MolarMassCO2, "IUPAC standard atomic weights")
	l.Derive("co2_flow", unit.AirFlowOf, air.GasFlow, working.Bind("E", emission), working.Bind("M", mole), working.Bind("V_m", l.Get("room_molar_volume")))
	glucose := r.constant("glucose_heat", unit.MolarEnergyOf, room.GlucoseHeat, "standard enthalpy of combustion of glucose: CRC Handbook, from memory")
	per := l.Derive("co2_heat", unit.SpecificEnergyOf, room.HeatPerCO2, working.Bind("H", glucose), working.Bind("M", mole))
	l.Derive("crop_heat", unit.PowerOf, room.MetabolicHeat, working.Bind("E", emission), working.Bind("h", per))
}

// defaults are the published rates of any species.
var defaults = map[string]room.Rate{
	protocol.OfSpawnRun:  room.SpawnRun,
	protocol.OfFruiting:  room.Fruiting,
	protocol.OfMushrooms: room.FruitBodies,
}

// Habits is what is published of how a protocol's species breathes: its own rates
// before those of any species. Several may ask at a time.
func (s *Site) Habits(p *process.Process) *working.Ledger {
	name := p.Input.Protocol.Name
	s.asked.Lock()
	defer s.asked.Unlock()
	if l := s.habits[name]; l != nil {
		return l
	}
	l := working.NewLedger(nil)
	s.habits[name] = l
	for _, of := range []string{protocol.OfSpawnRun, protocol.OfFruiting, protocol.OfMushrooms} {
		rate := defaults[of]
		at := func(string) working.Origin { return working.Origin{} }
		for i, own := range p.Species.Respiration {
			if own.Of != of {
				continue
			}
			rate = room.Rate{Per: float64(own.Rate), At: float64(own.At), Q10: float64(own.Q10), Source: own.Source}
			at = func(key string) working.Origin {
				return p.Input.Library.Origin("species", p.Species.ID, "respiration["+strconv.Itoa(i)+"]."+key)
			}
		}
		l.GivenOf("breath_rate", of, unit.RespirationOf, rate.Per, at("rate"), rate.Source)
		l.GivenOf("breath_at", of, unit.TemperatureOf, rate.At, at("at"), rate.Source)
		l.GivenOf("breath_q10", of, unit.FactorOf, rate.Q10, at("q10"), rate.Source)
	}
	return l
}

// published takes what is published of something to the room's temperature.
func (r *Room) published(s Standing, of, name string) *working.Quantity {
	h := r.Site.Habits(s.Process)
	return r.here(s, name, h.Of("breath_rate", of), h.Of("breath_at", of), h.Of("breath_q10", of))
}

// here takes a rate to the room's temperature.
func (r *Room) here(s Standing, name string, rate, at, q10 *working.Quantity) *working.Quantity {
	return r.Ledger.DeriveOf(name, s.Subject(), unit.RespirationOf, room.RateAt, working.Bind("r", rate),
		working.Bind("Q10", q10), working.Bind("T", r.Ledger.Get("room_air")), working.Bind("T_ref", at))
}

// measured takes what the farm has measured of what stands there to the room's
// temperature; nil where it has measured nothing.
func (r *Room) measured(s Standing) *working.Quantity {
	t := r.Site.TestOf(s.Process.Species, s.Stage)
	if t == nil {
		return nil
	}
	return r.here(s, "breath_here", t.Ledger.Get("breath_measured"), t.Ledger.Get("box_air"), t.Ledger.Get("breath_measured_q10"))
}
