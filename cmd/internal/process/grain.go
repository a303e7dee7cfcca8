package process

import (
	"fmt"
	"strconv"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/spawn"
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// GrainSpawn is what a farm's own grain spawn is made of and in.
type GrainSpawn struct {
	protocol.Grain
	Of    protocol.Ingredient
	Into  protocol.Vessel
	In    protocol.FarmSterilizer
	Model protocol.Sterilizer // kind of In
	Holds int                 // jars that one run takes
}

// resolveGrain finds what the farm's section on grain spawn names.
func (p *Process) resolveGrain() error {
	g := p.Input.Farm.Grain
	if g == nil {
		return nil
	}
	out, lib, ok := GrainSpawn{Grain: *g}, p.Input.Library, false
	if out.Of, ok = lib.Ingredients[g.Ingredient]; !ok {
		return fmt.Errorf("process: no ingredient %q", g.Ingredient)
	}
	if out.Into, ok = lib.Vessels[g.Jar]; !ok {
		return fmt.Errorf("process: no vessel %q", g.Jar)
	}
	var err error
	if out.In, out.Model, out.Holds, err = p.Input.sterilizer(g.Sterilizer, g.Jar); err != nil {
		return err
	}
	p.Grain = &out
	return nil
}

// grain works out one jar of grain spawn, its run and its days, where the farm
// makes its own.
func (p *Process) grain() {
	if p.Grain == nil {
		return
	}
	p.grainJar()
	p.grainRun()
	p.grainDays()
}

func (p *Process) ofGrain(name string, k unit.Kind, v float64, key string) *working.Quantity {
	return p.farm(name, k, v, "grain."+key)
}

// practiceOf enters a figure that growers go by.
func (p *Process) practiceOf(name string, k unit.Kind, v float64, source string) *working.Quantity {
	return p.Ledger.GivenOf(name, "", k, v, working.Origin{}, source)
}

// grainJar works out what goes into one jar, by the true moisture: the grain's own
// water counts.
func (p *Process) grainJar() {
	l, g := p.Ledger, p.Grain
	from := func(kind, id, name string, k unit.Kind, v float64, key, source string) *working.Quantity {
		return l.GivenOf(name, "", k, v, p.Input.Library.Origin(kind, id, key), source)
	}
	dry := p.ofGrain("grain_in_jar", unit.MassOf, float64(g.InJar), "in_a_jar")
	var own *working.Quantity
	if m, ok := p.Input.Measured[g.Of.ID]; ok {
		own = l.Given("grain_received", unit.ShareOf, float64(m), working.Origin{Document: MeasuredFlag, Key: g.Of.ID})
	} else if m, ok := p.Input.Farm.Moisture[g.Of.ID]; ok {
		own = p.farm("grain_received", unit.ShareOf, float64(m), "moisture_wb."+g.Of.ID)
	} else {
		own = from("ingredient", g.Of.ID, "grain_received", unit.ShareOf, float64(g.Of.Moisture), "moisture_wb", g.Of.Source)
	}
	target := p.ofGrain("grain_moisture", unit.ShareOf, float64(g.Moisture), "moisture_wb")
	wet := l.Derive("grain_wet_in_jar", unit.MassOf, spawn.Hydrated,
		working.Bind("G", dry), working.Bind("m_g", own), working.Bind("m", target))
	l.Derive("grain_water_in_jar", unit.MassOf, spawn.TakenUp, working.Bind("S", wet), working.Bind("G", dry))
	share := p.ofGrain("grain_gypsum", unit.ShareOf, float64(g.Gypsum), "gypsum")
	l.Derive("gypsum_in_jar", unit.MassOf, spawn.GypsumIn, working.Bind("G", dry), working.Bind("y", share))
	out := p.practiceOf("grain_comes_out", unit.ShareOf, spawn.ComesOut, "common practice, no source")
	l.Derive("grain_usable", unit.MassOf, spawn.UsableInJar, working.Bind("k", out), working.Bind("S", wet))
	loose := p.practiceOf("grain_density", unit.DensityOf, spawn.WetDensity, "400 to 500 g in two thirds of a jar of 946 mL: common practice, no source")
	brim := from("vessel", g.Into.ID, "grain_jar_brimful", unit.VolumeOf, float64(g.Into.Brimful), "brimful", g.Into.Source)
	l.Derive("grain_jar_filled", unit.ShareOf, spawn.JarFilled,
		working.Bind("S", wet), working.Bind("rho", loose), working.Bind("V", brim))
	flag := func(name string, on bool, key string) {
		v := 0.0
		if on {
			v = 1
		}
		p.ofGrain(name, unit.None, v, key)
	}
	flag("grain_not_for_spawn", g.Of.Role != protocol.RoleGrain, "ingredient")
	flag("grain_not_in_jars", g.Into.Form != protocol.FormJar, "jar")
	flag("grain_lid_without_filter", !g.Into.LidFiltered, "jar")
}

// grainRun works out the steam of the run with jars. What heat does in grain is not
// worked out: nobody has a band for it.
func (p *Process) grainRun() {
	l, g := p.Ledger, p.Grain
	key := "sterilizer"
	for i, s := range p.Input.Farm.Sterilizers {
		if s.ID == g.In.ID {
			key = protocol.Item(key, i)
		}
	}
	held := key + ".holds"
	for i, h := range g.In.Holds {
		if h.Vessel == g.Into.ID {
			held = protocol.Item(held, i) + ".count"
		}
	}
	capacity := p.farm("grain_capacity", unit.CountOf, float64(g.Holds), held)
	controls := p.ofGrain("grain_controls", unit.CountOf, float64(g.Controls), "controls_per_run")
	l.Derive("grain_places", unit.CountOf, sterilizer.ForCrop, working.Bind("cap", capacity), working.Bind("c", controls))
	gauge := p.ofGrain("grain_gauge", unit.GaugePressureOf, float64(g.GaugePressure), "gauge_pressure")
	band := p.ofGrain("grain_band", unit.GaugePressureOf, float64(g.GaugeBand), "gauge_band")
	rated := p.farm("grain_rated", unit.GaugePressureOf, float64(g.In.Rated), key+".rated_pressure")
	reads := p.farm("grain_gauge_step", unit.GaugePressureOf, g.In.Gauge.Size, key+".gauge_reads")
	highest := l.Derive("grain_gauge_highest", unit.GaugePressureOf, sterilizer.GaugeHighest,
		working.Bind("p_gauge", gauge), working.Bind("band", band))
	for _, q := range []*working.Quantity{gauge, band, rated, reads, highest} {
		q.Unit = g.In.Gauge.Unit
	}
	vent := p.ofGrain("grain_vent", unit.TimeOf, float64(g.Vent), "vent")
	p.ofGrain("grain_hold", unit.TimeOf, float64(g.Hold), "hold")
	left := l.Derive("grain_air_left", unit.ShareOf, sterilizer.AirLeft, working.Bind("t_vent", vent))
	air := l.Get("air_pressure")
	l.Derive("grain_chamber", unit.TemperatureOf, steam.ChamberTemperature,
		working.Bind("p_air", air), working.Bind("p_gauge", gauge), working.Bind("y", left))
	hottest := l.Derive("grain_hottest", unit.TemperatureOf, steam.ChamberTemperature,
		working.Bind("p_air", air), working.Bind("p_gauge", highest), working.Bind("y", left))
	service := l.GivenOf("grain_jar_service", "", unit.TemperatureOf, float64(g.Into.Service),
		p.Input.Library.Origin("vessel", g.Into.ID, "service_temperature"), g.Into.Source)
	l.Derive("grain_jar_margin", unit.TemperatureDifference, sterilizer.Margin,
		working.Bind("T_most", service), working.Bind("T", hottest))
}

// grainDays works out how long a generation is given, and how long a quick jar
// waits.
func (p *Process) grainDays() {
	l, g := p.Ledger, p.Grain
	p.ofGrain("grain_generations", unit.CountOf, float64(g.Generations), "generations")
	p.ofGrain("jars_of_jar", unit.CountOf, float64(g.JarsOfJar), "jars_from_a_jar")
	p.ofGrain("jars_of_plate", unit.CountOf, float64(g.JarsOfPlate), "jars_from_a_plate")
	short := p.ofGrain("grain_grown_shortest", unit.TimeOf, float64(g.Shortest), "grown_shortest")
	usual := p.ofGrain("grain_grown_usual", unit.TimeOf, float64(g.Usual), "grown_usual")
	p.ofGrain("grain_grown_longest", unit.TimeOf, float64(g.Longest), "grown_longest")
	plate := p.ofGrain("plate_grown", unit.TimeOf, float64(g.Plate), "plate_grown")
	safe := p.practiceOf("grain_safety", unit.TimeOf, spawn.Safety, "3 days: common practice, no source")
	ahead := p.practiceOf("grain_preparation", unit.TimeOf, spawn.Preparation, "a day to soak, and a day to sterilize and cool: common practice, no source")
	given := l.Derive("grain_given", unit.TimeOf, spawn.Given, working.Bind("t", usual), working.Bind("t_safe", safe))
	l.Derive("grain_waits", unit.TimeOf, spawn.Waits, working.Bind("t_given", given), working.Bind("t_short", short))
	// From the day of spawning back to the plate.
	next := p.practiceOf("spawning_day", unit.TimeOf, 0, "definition: days are counted back from it")
	for n := g.Generations; n >= 1; n-- {
		of := strconv.Itoa(n)
		next = l.DeriveOf("grain_started", of, unit.TimeOf, spawn.Before, working.Bind("t_next", next), working.Bind("t", given))
		l.DeriveOf("grain_soaked", of, unit.TimeOf, spawn.Before, working.Bind("t_next", next), working.Bind("t", ahead))
	}
	l.Derive("plates_started", unit.TimeOf, spawn.Before, working.Bind("t_next", next), working.Bind("t", plate))
}
