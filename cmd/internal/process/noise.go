package process

import (
	"slices"

	"bottlecrop/cmd/internal/people"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// noise works out what the farm's loud machines come to over a shift, for who is
// longest at each.
func (p *Process) noise() {
	l := p.Ledger
	for i, n := range p.Input.Farm.Noise {
		p.Names[n.ID] = n.Name
		level := l.GivenOf("noise_level", n.ID, unit.SoundLevelOf, float64(n.Level), p.farmOrigin("noise", i, "level"), "")
		time := l.GivenOf("noise_time", n.ID, unit.TimeOf, float64(n.Time), p.farmOrigin("noise", i, "time_a_shift"), "")
		in := []working.Input{working.Bind("L", level), working.Bind("t", time)}
		name := "noise_mean"
		if n.Plan != "" {
			name = "noise_planned"
		}
		l.DeriveOf(name, n.ID, unit.SoundLevelOf, people.NoiseMean, in...)
	}
}

// Loud reports whether ears need cover at a station: a machine of the farm is there
// from which, as a mean of a shift or by itself, hearing is hurt.
func (p *Process) Loud(s work.Station) bool {
	return slices.ContainsFunc(p.Input.Farm.Noise, func(n protocol.Noise) bool {
		return work.Station(n.Station) == s && float64(n.Level) >= people.ActionNoise
	})
}
