package process

import (
	"fmt"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// SampleMoisture is the moisture of a lot by a sample of it that was dried, from
// what it weighed wet and dry, both kg. A sample that weighs nothing wet, or more
// dry than wet, is none; one that is all water has left nothing on the scale.
func SampleMoisture(wet, dry float64) (unit.WetShare, error) {
	if !(wet > 0 && dry > 0 && dry <= wet) {
		return 0, fmt.Errorf("process: a sample of %g kg that weighs %g kg dry", wet, dry)
	}
	m, err := substrate.MoistureOfSample.At(map[string]float64{"wet": wet, "dry": dry})
	return unit.WetShare(m), err
}

// readings enters what a sample of a mix may read that is not right.
func (p *Process) readings(mixed, give *working.Quantity) {
	if p.Ledger.Err() == nil {
		p.TooDry, p.TooWet = substrate.Readings(mixed.Value, give.Value)
	}
	for _, r := range slices.Concat(p.TooDry, p.TooWet) {
		of := ReadingOf(r)
		p.Names[of] = unit.Show(unit.ShareOf, float64(r)/100, p.Input.Units, 2)
		p.Ledger.GivenOf("reading", of, unit.ShareOf, float64(r)/100, working.Origin{}, substrate.ReadingsSource)
	}
}

// ReadingOf is the subject of the quantities that answer a sample that reads so
// many percent of water.
func ReadingOf(percent int) string { return "reads-" + strconv.Itoa(percent) }

// spreadOf enters how far lots of an ingredient lie from its moisture: of a lot
// that was measured for the day, of the farm's own, else of the library's.
func (p *Process) spreadOf(part Part) {
	given := func(v float64, at working.Origin, source string) {
		p.Ledger.GivenOf("moisture_spread", part.ID, unit.ShareOf, v, at, source)
	}
	in := func(key string) working.Origin { return p.Input.Library.Origin("ingredient", part.ID, key) }
	own, stated := p.Input.Farm.MoistureSpread[part.ID]
	_, measured := p.Input.Measured[part.ID]
	switch {
	case measured:
		given(substrate.SpreadOfMeasured, working.Origin{Document: MeasuredFlag, Key: part.ID}, "design choice, no source")
	case stated:
		given(float64(own), protocol.InFarm("moisture_spread_wb."+part.ID), "")
	case part.Spread != nil:
		given(float64(*part.Spread), in("moisture_spread_wb"), "common practice, no source")
	case part.Role == protocol.RoleMineral:
		given(0, in("moisture_wb"), "a mineral counts as dry")
	default:
		given(substrate.SpreadUnstated, in("moisture_wb"), "design choice: nobody has stated a spread")
	}
}

// moistureSpread works out how far a mix is from its moisture when its lots are
// not as recorded. The whole is a quantity of the ingredient that moves it most,
// so that a limit on it can name it.
func (p *Process) moistureSpread() {
	l, m := p.Ledger, p.Ledger.Get("moisture_mixed")
	most := -1.0
	var moved []*working.Quantity
	for _, part := range p.Parts {
		q := l.DeriveOf("moisture_moved", part.ID, unit.ShareOf, substrate.MoistureMoved, working.Bind("q", l.Of("received_for_dry", part.ID)),
			working.Bind("s", l.Of("moisture_spread", part.ID)), working.Bind("m", m))
		if q.Value > most {
			p.Spreading, most = part.ID, q.Value
		}
		moved = append(moved, q)
	}
	if p.Spreading == "" {
		return // nothing has a value, and a limit or a law has said so
	}
	squares := l.Dot("moisture_moved_squares", unit.None, moved, moved)
	s := l.DeriveOf("moisture_spread_mixed", p.Spreading, unit.ShareOf, substrate.Together, working.Bind("S", squares))
	l.Derive("moisture_mixed_low", unit.ShareOf, substrate.LowEnd, working.Bind("m", m), working.Bind("s", s))
	l.Derive("moisture_mixed_high", unit.ShareOf, substrate.HighEnd, working.Bind("m", m), working.Bind("s", s))
}
