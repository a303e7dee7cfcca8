package climate

import (
	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/room"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Test is one of the farm's tests in a closed box, worked out.
type Test struct {
	protocol.ClosedBox
	Index  int // in the farm's list
	Ledger *working.Ledger
}

// Measured is the rate that the test gives, kg of CO2 a second for each kg.
func (t *Test) Measured() float64 { return t.Ledger.Value("breath_measured") }

// TestOf is the test that counts for a species and a stage: the latest of the species
// itself, else of the one that it is a strain of; nil where there is none.
func (s *Site) TestOf(sp protocol.Species, stage string) *Test {
	for _, id := range []string{sp.ID, sp.StrainOf} {
		var last *Test
		for _, t := range s.Tests {
			if id != "" && t.Species == id && t.Stage == stage && (last == nil || t.On >= last.On) {
				last = t
			}
		}
		if last != nil {
			return last
		}
	}
	return nil
}

// test works out the i-th test of the farm. A vessel that the library does not have
// takes no room, and the reader has refused it.
func (s *Site) test(i int) *Test {
	l := working.NewLedger(s.Ledger)
	b := s.Farm.ClosedBoxes[i]
	v := s.library.Vessels[b.Vessel]
	given := func(name string, k unit.Kind, v float64, key string) *working.Quantity {
		return l.Given(name, k, v, protocol.InFarm(protocol.ClosedBoxKey(i, key)))
	}
	vessel := func(name string, x unit.Length, key string) *working.Quantity {
		return l.GivenOf(name, "", unit.LengthOf, float64(x), s.library.Origin("vessel", b.Vessel, key), v.Source)
	}
	wall := vessel("box_vessel_wall", v.Wall, "wall")
	outside := l.Derive("box_vessel_outside", unit.LengthOf, sterilizer.OutsideWidth,
		working.Bind("D", vessel("box_vessel_body", v.Body, "body_diameter")), working.Bind("s", wall))
	each := l.Derive("box_displaces", unit.VolumeOf, room.Displaced, working.Bind("d", outside),
		working.Bind("h", vessel("box_vessel_height", v.Height, "inside_height")), working.Bind("s", wall))
	vessels := given("box_vessels", unit.CountOf, float64(b.Vessels), "vessels")
	taken := l.Dot("box_taken", unit.VolumeOf, []*working.Quantity{vessels}, []*working.Quantity{each})
	at := given("box_air", unit.TemperatureOf, float64(b.Air), "air")
	mole := l.Derive("box_molar_volume", unit.MolarVolumeOf, air.MolarVolume, working.Bind("T", at), working.Bind("p", l.Get("air_pressure")))
	volume := given("box_volume", unit.VolumeOf, float64(b.Box), "box")
	l.Derive("box_free", unit.VolumeOf, room.Rest, working.Bind("V", volume), working.Bind("V_x", taken))
	l.Derive("breath_measured", unit.RespirationOf, room.ClosedBox,
		working.Bind("V", volume), working.Bind("V_x", taken),
		working.Bind("C_2", given("box_to", unit.PartsPerMillion, float64(b.To), "to")),
		working.Bind("C_1", given("box_from", unit.PartsPerMillion, float64(b.From), "from")),
		working.Bind("t", given("box_took", unit.TimeOf, float64(b.Took), "took")),
		working.Bind("V_m", mole),
		working.Bind("m", given("box_mass", unit.MassOf, float64(b.Mass), "mass")))
	l.GivenOf("breath_measured_q10", "", unit.FactorOf, room.SpawnRun.Q10, working.Origin{}, "design choice within 1.8 to 3.0")
	return &Test{ClosedBox: b, Index: i, Ledger: l}
}
