package process

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// shift enters the working day, and what of a run no number of vessels changes.
// A farm that has written down no shift works without an end, and its mixes
// wait as in cool air.
func (p *Process) shift() {
	l, s := p.Ledger, p.Input.Farm.Shift
	constant := func(name string, k unit.Kind, v float64, source string) {
		l.GivenOf(name, "", k, v, working.Origin{}, source)
	}
	constant("pressure_fall", unit.TimeOf, work.PressureFall, "common practice, no source")
	constant("lid_cracked", unit.TimeOf, work.LidCracked, "Iowa State biosafety manual")
	constant("one_load", unit.CountOf, 1, "definition")
	if s == nil {
		constant("shift_people", unit.CountOf, 1, "one person, as the farm gives no shift")
		constant("mix_wait_most", unit.TimeOf, work.MixWaits, "4 h, as the farm gives no shift and no air for it: common practice, no source")
		return
	}
	p.farm("shift_length", unit.TimeOf, float64(s.Length), "shift.length")
	air := p.farm("shift_air", unit.TemperatureOf, float64(s.Air), "shift.air")
	if s.People > 0 {
		p.farm("shift_people", unit.CountOf, float64(s.People), "shift.people")
	} else {
		constant("shift_people", unit.CountOf, 1, "one person, as the farm gives no other number")
	}
	l.Derive("mix_wait_most", unit.TimeOf, work.MixWait, working.Bind("T", air))
}
