package process

import (
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// reuse enters how often the vessel and its lid come back, and how they are
// washed. A bag does not come back, so nothing is said of it.
func (p *Process) reuse() {
	if !p.Setting().Reusable {
		return
	}
	v := p.Vessel
	p.vessel("vessel_uses_most", unit.CountOf, float64(v.UsesMost), "uses_most")
	p.vessel("vessel_lost_per_use", unit.ShareOf, float64(v.LostPerUse), "lost_per_use")
	p.vessel("lid_uses_most", unit.CountOf, float64(v.LidUsesMost), "lid_uses_most")
	p.vessel("lid_lost_per_use", unit.ShareOf, float64(v.LidLost), "lid_lost_per_use")
	p.vessel("vessel_wash_water", unit.VolumeOf, float64(v.WashWater), "wash_water")
	p.flag("detergent_left_out", p.Input.Protocol.Cleaning.Detergent == "none", "cleaning.detergent")
}

// crate works out what a person lifts, where the farm says what it carries
// vessels in.
func (p *Process) crate() {
	c := p.Input.Farm.Crate
	if c == nil {
		return
	}
	l := p.Ledger
	n := p.farm("crate_vessels", unit.CountOf, float64(c.Vessels), "crate.vessels")
	empty := p.farm("crate_empty", unit.MassOf, float64(c.Empty), "crate.empty_mass")
	l.Derive("crate_mass", unit.MassOf, vessel.CrateMass, working.Bind("n", n),
		working.Bind("m_v", l.Get("vessel_empty")), working.Bind("m_l", l.Get("vessel_lid")),
		working.Bind("M", l.Get("fill_mass")), working.Bind("m_c", empty))
}
