package process

import (
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// energy works out the come-up, the heat and the water of a run with a full
// load. How many vessels a batch has is not part of it: every load is planned as
// a full one. The room is as warm as the mix that waits in it.
func (p *Process) energy() {
	b := p.boiler()
	p.heats(b)
	p.comeUp(b)
	p.boiledOff(b)
	p.cooling(b)
	p.trays()
}

// boiler is the sterilizer as its entry in the library has it, with what stands
// in a full load.
type boiler struct {
	power, metal, metalHeat, charge, water, waterHeat, film, surface, leak *working.Quantity
	walls, wallHeat                                                        *working.Quantity // of one vessel with its lid
	room, boiling, chamber                                                 *working.Quantity
}

func (p *Process) boiler() boiler {
	l, m := p.Ledger, p.Model
	constant := func(name string, k unit.Kind, v float64, source string) *working.Quantity {
		return l.GivenOf(name, "", k, v, working.Origin{}, source)
	}
	b := boiler{boiling: l.Get("boiling_point"), chamber: l.Get("chamber_temperature"), room: l.Get("shift_air")}
	if b.room == nil {
		b.room = l.Get("mix_start")
	}
	b.power = p.kind("heater_power", unit.PowerOf, float64(m.Power), "heater_power")
	b.metal = p.kind("metal_mass", unit.MassOf, float64(m.Metal), "metal_mass")
	b.metalHeat = constant("metal_heat", unit.SpecificHeatOf, run.HeatOfMetal(m.MetalOf), "aluminum 0.9, steel 0.5 kJ/(kg·K) (from memory)")
	b.charge = p.kind("water_charge", unit.VolumeOf, float64(m.Water), "water_charge")
	b.water = l.Derive("water_charge_mass", unit.MassOf, run.ChargeMass, working.Bind("V", b.charge))
	b.waterHeat = constant("water_heat", unit.SpecificHeatOf, run.HeatOfWater, "4.19 kJ/(kg·K) (from memory)")
	chamber := p.kind("chamber_volume", unit.VolumeOf, float64(m.Chamber), "chamber")
	b.surface = l.Derive("chamber_surface", unit.AreaOf, run.Surface, working.Bind("V", chamber))
	film := run.BareWall
	if m.Insulated {
		film = run.InsulatedWall
	}
	b.film = constant("chamber_conductance", unit.ConductanceOf, film, "10 W/(m²·K) for a bare wall, 5 for an insulated one: engineering assumption, no source")
	b.leak = p.kind("steam_loss", unit.PowerOf, float64(m.SteamLoss), "steam_loss")
	b.walls = l.Sum("vessel_with_lid", unit.MassOf, l.Get("vessel_empty"), l.Get("vessel_lid"))
	b.wallHeat = constant("vessel_heat", unit.SpecificHeatOf, run.HeatOfVessel(p.Vessel.Material),
		"polypropylene 1.9, glass 0.84, polyethylene 2.3, PET 1.2 kJ/(kg·K) (from memory)")
	return b
}

// heats works out what a full load and the chamber take, and what is lost.
func (p *Process) heats(b boiler) {
	l := p.Ledger
	hot := func(in ...working.Input) []working.Input {
		return append(in, working.Bind("T", b.chamber), working.Bind("T_0", b.room))
	}
	l.Derive("heat_of_metal", unit.EnergyOf, run.Heated, hot(working.Bind("m", b.metal), working.Bind("c", b.metalHeat))...)
	l.Derive("heat_of_water", unit.EnergyOf, run.Heated, hot(working.Bind("m", b.water), working.Bind("c", b.waterHeat))...)
	l.Derive("heat_of_load", unit.EnergyOf, run.HeatedEach, hot(working.Bind("n", l.Get("load_capacity")),
		working.Bind("m_s", l.Get("fill_mass")), working.Bind("c_s", l.Get("substrate_heat")),
		working.Bind("m_v", b.walls), working.Bind("c_v", b.wallHeat))...)
	loss := func(name string, at *working.Quantity) *working.Quantity {
		return l.Derive(name, unit.PowerOf, run.Lost, working.Bind("h", b.film), working.Bind("A", b.surface),
			working.Bind("T", at), working.Bind("T_room", b.room))
	}
	loss("loss_boiling", b.boiling)
	hold := loss("loss_hold", b.chamber)
	l.Derive("heater_strength", unit.None, run.Strength, working.Bind("P", b.power), working.Bind("L", hold), working.Bind("S", b.leak))
}

// comeUp works out how a full load comes up, between its bounds, and what a
// meter reads. What the farm has timed goes before what is computed.
func (p *Process) comeUp(b boiler) {
	l := p.Ledger
	metal, water, load := l.Get("heat_of_metal"), l.Get("heat_of_water"), l.Get("heat_of_load")
	l.Derive("come_up_least", unit.TimeOf, run.UpLeast,
		working.Bind("Q_metal", metal), working.Bind("Q_water", water), working.Bind("P", b.power))
	l.Derive("come_up_most", unit.TimeOf, run.UpMost, working.Bind("Q_metal", metal), working.Bind("Q_water", water),
		working.Bind("Q_load", load), working.Bind("P", b.power), working.Bind("L", l.Get("loss_hold")))
	course := append(l.Get("f0_" + run.Quick.Name).Inputs[:run.CaseLength:run.CaseLength],
		working.Bind("n", l.Get("load_capacity")), working.Bind("m_v", b.walls), working.Bind("c_v", b.wallHeat),
		working.Bind("m_metal", b.metal), working.Bind("c_metal", b.metalHeat), working.Bind("m_water", b.water), working.Bind("c_water", b.waterHeat),
		working.Bind("P", b.power), working.Bind("h", b.film), working.Bind("A", b.surface), working.Bind("T_room", b.room), working.Bind("S", b.leak))
	first := l.Derive("up_to_boiling", unit.TimeOf, run.ToBoiling, course...)
	second := l.Derive("up_to_hold", unit.TimeOf, run.ToHold, course...)
	full := l.Sum("come_up_computed", unit.TimeOf, first, second)
	if t := p.Sterilizer.FullUp; t > 0 {
		full = p.farm("come_up_full", unit.TimeOf, float64(t), p.sterilizerKey("full_come_up"))
	}
	planned := l.Derive("come_up_planned", unit.TimeOf, run.Planned, working.Bind("t_fast", l.Get("come_up")), working.Bind("t_full", full))
	l.Sum("run_time", unit.TimeOf, planned, l.Get("vent"), l.Get("hold"))
	l.Derive("heat_of_substrate", unit.EnergyOf, run.HeatOfSubstrate, course...)
	heat := l.Derive("heat_of_run", unit.EnergyOf, run.HeatOfRun, course...)
	var share *working.Quantity
	if e := p.Model.Efficient; e > 0 {
		share = p.kind("heater_efficiency", unit.ShareOf, float64(e), "efficiency")
	} else {
		share = l.GivenOf("heater_efficiency", "", unit.ShareOf, run.Efficiency, working.Origin{}, "95 %, as the library does not say: electric heaters 90 to 100 % (common practice, no source)")
	}
	computed := l.Derive("energy_computed", unit.EnergyOf, run.Metered, working.Bind("Q", heat), working.Bind("e", share))
	if e := p.Sterilizer.Energy; e > 0 {
		metered := p.farm("energy_a_run", unit.EnergyOf, float64(e), p.sterilizerKey("energy_a_run"))
		l.Derive("energy_of_computed", unit.None, run.OfComputed, working.Bind("E", metered), working.Bind("E_calc", computed))
	}
}

// boiledOff works out the water that a run with a full load takes.
func (p *Process) boiledOff(b boiler) {
	l := p.Ledger
	vented := l.Derive("steam_vented", unit.MassOf, run.Vented, working.Bind("P", b.power), working.Bind("L", l.Get("loss_boiling")),
		working.Bind("t", l.Get("vent")), working.Bind("T", b.boiling))
	leaked := l.Derive("steam_leaked", unit.MassOf, run.Leaked, working.Bind("S", b.leak), working.Bind("t", l.Get("hold")), working.Bind("T", b.chamber))
	condensate := l.Derive("condensate", unit.MassOf, run.Condensed, working.Bind("Q", l.Get("heat_of_load")), working.Bind("T", b.chamber))
	if p.Model.OwnBoiler {
		l.Derive("boiler_makes_up", unit.VolumeOf, run.MadeUp, working.Bind("m_vent", vented), working.Bind("m_leak", leaked), working.Bind("M", condensate))
		return
	}
	held := l.Derive("condensate_held", unit.MassOf, run.HeldUp, working.Bind("M", condensate))
	wet := p.kind("stay_wet", unit.VolumeOf, float64(p.Model.StayWet), "stay_wet")
	gone := l.Derive("water_boiled_off", unit.VolumeOf, run.Gone, working.Bind("m_vent", vented), working.Bind("m_leak", leaked), working.Bind("m_load", held))
	l.Derive("charge_runs_dry", unit.VolumeOf, run.RunsDry, working.Bind("w", wet), working.Bind("V", gone))
	l.Derive("charge_least", unit.VolumeOf, run.LeastCharge, working.Bind("w", wet),
		working.Bind("m_vent", vented), working.Bind("m_leak", leaked), working.Bind("m_load", held))
}

// cooling works out how long the pressure takes to fall at most.
func (p *Process) cooling(b boiler) {
	l := p.Ledger
	stored := l.Sum("heat_stored", unit.EnergyOf, l.Get("heat_of_metal"), l.Get("heat_of_water"), l.Get("heat_of_load"))
	tau := l.Derive("cooling_time", unit.TimeOf, run.Slackens, working.Bind("Q", stored), working.Bind("T", b.chamber), working.Bind("T_0", b.room),
		working.Bind("h", b.film), working.Bind("A", b.surface))
	l.Derive("pressure_fall_most", unit.TimeOf, run.FallsTo, working.Bind("tau", tau), working.Bind("T", b.chamber),
		working.Bind("T_1", b.boiling), working.Bind("T_room", b.room))
}
