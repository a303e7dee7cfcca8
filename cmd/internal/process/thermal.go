package process

import (
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/lethality"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/vessel"
	"bottlecrop/cmd/internal/working"
)

// usualStart is the temperature of a mix when the heat comes on, K, for a farm
// that says nothing of the air in which it waits: 20 °C (design choice).
const usualStart = 293.15

// minutes is the unit in which every F0 is told.
const minutes = "min"

// thermal works out what the run does to the slowest place of a vessel: the
// dose that it gets and the hold that would do, in the slow and the quick case
// that bracket what nobody has measured, and with a bore that fell in. It rests
// on thermal inputs alone and never on the number of vessels.
func (p *Process) thermal() {
	l := p.Ledger
	constant := func(name string, k unit.Kind, v float64, source string) *working.Quantity {
		return l.GivenOf(name, "", k, v, working.Origin{}, source)
	}
	radius := l.Derive("substrate_radius", unit.LengthOf, run.Half, working.Bind("d", l.Get("vessel_body")))
	height := l.Derive("substrate_height", unit.LengthOf, run.FillHeight, working.Bind("V", l.Get("fill_volume")), working.Bind("R", radius))
	boreR, boreH := p.boreInSubstrate(height)

	// What is packed beside the bore is denser than the fill as a whole.
	density := l.Derive("substrate_density", unit.DensityOf, vessel.PackedDensityRemoved,
		working.Bind("M", l.Get("fill_mass")), working.Bind("V_fill", l.Get("fill_volume")), working.Bind("V_bore", l.Get("bore_volume")))
	moisture := l.Get("moisture_target")
	air := l.Derive("substrate_air", unit.ShareOf, vessel.Porosity, working.Bind("rho", density), working.Bind("m", moisture))
	start := l.Get("shift_air")
	if start == nil {
		start = constant("mix_start", unit.TemperatureOf, usualStart, "20 °C, as the farm does not say how warm its mix waits (design choice)")
	}
	chamber := l.Get("chamber_temperature")
	midway := l.Derive("mix_midway", unit.TemperatureOf, run.Midway, working.Bind("T_1", start), working.Bind("T_2", chamber))
	dry := l.Derive("dry_heat", unit.SpecificHeatOf, heat.DryHeatCapacity, working.Bind("T", midway))
	specific := l.Derive("substrate_heat", unit.SpecificHeatOf, heat.MoistHeatCapacity, working.Bind("w", moisture), working.Bind("c_dry", dry))
	capacity := l.Derive("substrate_capacity", unit.HeatCapacityOf, heat.VolumetricHeatCapacity, working.Bind("rho", density), working.Bind("c", specific))

	film := l.Derive("steam_film", unit.ConductanceOf, run.Film, working.Bind("y", l.Get("air_left")))
	wall := p.vessel("vessel_wall", unit.LengthOf, float64(p.Vessel.Wall), "wall")
	conducts := constant("wall_conductivity", unit.ConductivityOf, run.ConductivityOfWall(p.Vessel.Material),
		"polypropylene and other plastics 0.2 W/(m·K), soda-lime glass 1.0 (from memory)")
	side := l.Derive("wall_conductance", unit.ConductanceOf, heat.Wall, working.Bind("h", film), working.Bind("s", wall), working.Bind("k", conducts))

	thermal := []working.Input{
		working.Bind("R", radius), working.Bind("H", height), working.Bind("r_bore", boreR), working.Bind("d_bore", boreH),
		working.Bind("C", capacity), working.Bind("a", air), working.Bind("U_side", side), working.Bind("U_base", side),
		working.Bind("T_0", start), working.Bind("T_boil", l.Get("boiling_point")), working.Bind("T_hold", chamber),
		working.Bind("p_air", l.Get("air_pressure")),
		working.Bind("t_up", l.Get("come_up")), working.Bind("t_vent", l.Get("vent")), working.Bind("t_hold", l.Get("hold")),
	}
	p.Case = caseOf(thermal)
	p.reference()
	p.target()
	constant("f0_floor", unit.TimeOf, lethality.FloorF0, lethality.FloorF0Source).Unit = minutes
	with := append(thermal, working.Bind("F", l.Get("f0_target")))
	for _, a := range run.Assumptions() {
		if a == run.Collapsed && !p.Setting().Bored {
			continue
		}
		laws := run.LawsOf(a)
		f0 := l.Derive("f0_"+a.Name, unit.TimeOf, laws.F0, thermal...)
		l.Derive("core_"+a.Name, unit.TemperatureOf, laws.Core, thermal...)
		hold := l.Derive("hold_"+a.Name, unit.TimeOf, laws.Hold, with...)
		f0.Unit, hold.Unit = minutes, minutes
	}
	p.evidence(thermal)
	l.Derive("f0_wall", unit.TimeOf, run.LawsOf(run.Quick).Most, thermal...).Unit = minutes
	spores := constant("spores", unit.CountOf, lethality.Bioburden, lethality.BioburdenSource)
	d := constant("spores_d", unit.TimeOf, lethality.BioburdenD, lethality.BioburdenSource)
	l.Derive("spores_left", unit.None, lethality.Survivors, working.Bind("N_0", spores), working.Bind("F", l.Get("f0_slow")), working.Bind("D", d))
}

// Verdict is what may be said of a run that no limit refuses.
type Verdict string

// The verdicts.
const (
	Met        Verdict = "met"      // even in the slow case
	NeedsProbe Verdict = "probe"    // in the quick case only
	Measured   Verdict = "measured" // with what an accepted probe run says
	Short      Verdict = "short"    // not with what an accepted probe run says
)

// Verdict says whether the run is enough as far as it can be worked out.
func (p *Process) Verdict() Verdict {
	if p.Ledger.Get("f0_measured") != nil {
		if p.Value("f0_measured") >= p.Value("f0_target")*(1-1e-9) {
			return Measured
		}
		return Short
	}
	if p.Value("f0_slow") >= p.Value("f0_target")*(1-1e-9) {
		return Met
	}
	return NeedsProbe
}

// reference enters the gauge that air-free steam of 121.1 °C needs here, where
// the vessel is rated for so much. Where it is not, nothing shows the number:
// somebody would set it.
func (p *Process) reference() {
	l := p.Ledger
	t := l.GivenOf("f0_reference", "", unit.TemperatureOf, float64(lethality.F0.Reference), working.Origin{}, "definition of F0")
	g, err := steam.GaugeNeeded.At(map[string]float64{"T": t.Value, "p_air": p.Value("air_pressure")})
	if err != nil || g > p.Value("rated_pressure") {
		return
	}
	l.Derive("gauge_needed", unit.GaugePressureOf, steam.GaugeNeeded, working.Bind("T", t), working.Bind("p_air", l.Get("air_pressure"))).Unit = p.Sterilizer.Gauge.Unit
}

// target enters the dose that the farm wants its slowest place to get.
func (p *Process) target() {
	if f := p.Input.Farm.F0Target; f > 0 {
		p.farm("f0_target", unit.TimeOf, float64(f), "f0_target").Unit = minutes
		return
	}
	p.Ledger.GivenOf("f0_target", "", unit.TimeOf, lethality.TargetF0, working.Origin{}, lethality.TargetF0Source).Unit = minutes
}

// boreInSubstrate is the bore as a cylinder in the cylinder of substrate; zeros
// where there is none.
func (p *Process) boreInSubstrate(height *working.Quantity) (radius, depth *working.Quantity) {
	l := p.Ledger
	if !p.Setting().Bored {
		none := func(name string) *working.Quantity {
			return l.GivenOf(name, "", unit.LengthOf, 0, working.Origin{Document: p.Input.Document(), Key: "bore.made"}, "")
		}
		return none("bore_radius"), none("bore_in_substrate")
	}
	radius = l.Derive("bore_radius", unit.LengthOf, run.MeanBore, working.Bind("d1", l.Get("bore_top")), working.Bind("d2", l.Get("bore_bottom")))
	depth = l.Derive("bore_in_substrate", unit.LengthOf, run.BoreInFill,
		working.Bind("h", l.Get("bore_depth")), working.Bind("H", height), working.Bind("f", l.Get("bore_floor")))
	return radius, depth
}

// caseOf reads a case from what the laws take, in their order.
func caseOf(in []working.Input) run.Case {
	v := make([]float64, len(in))
	for i, x := range in {
		v[i] = x.Quantity.Value
	}
	c, _ := run.CaseOf(v) // the number of values is right
	return c
}

// Solution is what the protocol's run comes to under an assumption. It is
// remembered, so that asking again costs nothing. The error is that of values
// out of range, which a limit has refused before.
func (p *Process) Solution(a run.Assumption) (*run.Solution, error) { return run.Solve(p.Case, a) }
