package batch

import (
	"strconv"

	"bottlecrop/cmd/internal/spawn"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Demand is one generation of grain jars that a batch asks for. Days are counted
// back from the day of spawning.
type Demand struct {
	Generation int           // from the plate, 1 is the first on grain
	Needed     int           // jars that are used up
	Made       int           // jars that are inoculated, the spare ones with them
	Controls   int           // jars that get nothing
	Jars       int           // Made and Controls: filled and sterilized
	Runs       int           // of the sterilizer
	Grain      float64       // kg as received
	Drained    float64       // kg of the same grain, hydrated and drained
	Water      float64       // kg that it takes up
	Gypsum     float64       // kg
	Soak       unit.Duration // before the day of spawning, the grain goes into water
	Start      unit.Duration // the jars are inoculated
	Ready      unit.Duration // they are used
}

// Plates is what the first generation is inoculated from.
type Plates struct {
	Needed int
	Made   int           // one to spare
	Start  unit.Duration // before the day of spawning, they are streaked
	Ready  unit.Duration // they are full
}

// grain works out the demands, from the jars that go into the vessels back to the
// plate. They are a list of what to have by when, and not batches: a calendar makes
// days of it.
func (b *Batch) grain() {
	g := b.Process.Grain
	if g == nil || b.Ledger.Err() != nil {
		return
	}
	l := b.Ledger
	needed, made := l.Get("spawn_jars_needed"), l.Get("spawn_jars")
	for n := g.Generations; n >= 1; n-- {
		of := strconv.Itoa(n)
		if n < g.Generations {
			needed = l.DeriveOf("mother_jars_needed", of, unit.CountOf, spawn.Mothers,
				working.Bind("J", made), working.Bind("E", l.Get("jars_of_jar")))
			share := l.DeriveOf("mother_jars_spare_share", of, unit.CountOf, spawn.MothersWithSpare,
				working.Bind("J", needed), working.Bind("spare", l.Get("spawn_spare")))
			made = l.DeriveOf("mother_jars", of, unit.CountOf, spawn.JarsReady,
				working.Bind("J", needed), working.Bind("J_spare", share))
		}
		b.generation(n, needed, made)
	}
	plates := l.Derive("plates_needed", unit.CountOf, spawn.Mothers,
		working.Bind("J", made), working.Bind("E", l.Get("jars_of_plate")))
	ready := l.Derive("plates", unit.CountOf, spawn.PlatesReady, working.Bind("P", plates))
	l.Derive("spawn_serves", unit.CountOf, spawn.Serves, working.Bind("S", l.Get("spawn_with_spare")),
		working.Bind("s", l.Get("spawn_in_vessel")), working.Bind("spare", l.Get("spawn_spare")))
	if l.Err() == nil {
		b.Plates = Plates{int(plates.Value), int(ready.Value), b.before("plates_started", ""), b.before("grain_started", "1")}
	}
}

// generation enters one generation.
func (b *Batch) generation(n int, needed, made *working.Quantity) {
	l, of := b.Ledger, strconv.Itoa(n)
	runs := l.DeriveOf("grain_runs", of, unit.CountOf, sterilizer.Loads, working.Bind("n", made),
		working.Bind("cap", l.Get("grain_capacity")), working.Bind("c", l.Get("grain_controls")))
	controls := l.DeriveOf("grain_controls_made", of, unit.CountOf, sterilizer.Controls,
		working.Bind("loads", runs), working.Bind("c", l.Get("grain_controls")))
	jars := l.DeriveOf("grain_jars", of, unit.CountOf, spawn.Filled, working.Bind("n", made), working.Bind("c", controls))
	mass := func(name, each string) float64 {
		return l.DeriveOf(name, of, unit.MassOf, spawn.Total, working.Bind("n", jars), working.Bind("s", l.Get(each))).Value
	}
	d := Demand{
		Generation: n, Grain: mass("grain_taken", "grain_in_jar"), Drained: mass("grain_drained", "grain_wet_in_jar"),
		Water: mass("grain_water", "grain_water_in_jar"), Gypsum: mass("gypsum_taken", "gypsum_in_jar"),
		Soak: b.before("grain_soaked", of), Start: b.before("grain_started", of),
	}
	if n < b.Process.Grain.Generations {
		d.Ready = b.before("grain_started", strconv.Itoa(n+1))
	}
	if l.Err() == nil {
		d.Needed, d.Made, d.Controls = int(needed.Value), int(made.Value), int(controls.Value)
		d.Jars, d.Runs = int(jars.Value), int(runs.Value)
		b.Demands = append(b.Demands, d)
	}
}

// before is how long before the day of spawning something is done.
func (b *Batch) before(name, of string) unit.Duration {
	return unit.Duration(b.Ledger.ValueOf(name, of))
}
