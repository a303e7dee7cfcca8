package process

import (
	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// workHeat is the heat of a body at moderate work, W: walking, with some lifting and
// pushing.
const workHeat = 300.0

// hot works out from which wet-bulb globe temperature on work at the sterilizer wears
// people out, where the farm has read it there.
func (p *Process) hot() {
	s := p.Input.Farm.Shift
	if s == nil || s.Heat == nil {
		return
	}
	l := p.Ledger
	p.farm("heat_reading", unit.TemperatureOf, float64(*s.Heat), "shift.heat")
	m := p.practiceOf("work_heat", unit.PowerOf, workHeat, "moderate work, NIOSH 2016-106 (from memory)")
	l.Derive("heat_alert", unit.TemperatureOf, people.HeatAlert, working.Bind("M", m))
	l.Derive("heat_limit", unit.TemperatureOf, people.HeatLimit, working.Bind("M", m))
}
