package protocol

import "bottlecrop/cmd/internal/unit"

// Grain is how a farm makes its own grain spawn, the same for every protocol.
// Left out, nothing is planned before the jars that a batch takes.
type Grain struct {
	Ingredient    string        `toml:"ingredient" validate:"required"`
	InJar         unit.Mass     `toml:"in_a_jar" validate:"required"`    // as received
	Moisture      unit.WetShare `toml:"moisture_wb" validate:"required"` // hydrated, its own water with it
	Gypsum        unit.Share    `toml:"gypsum"`                          // of the grain as received
	Jar           string        `toml:"jar" validate:"required"`         // entry of the library of vessels
	Sterilizer    string        `toml:"sterilizer" validate:"required"`  // of the farm
	GaugePressure unit.Gauge    `toml:"gauge_pressure" validate:"required"`
	GaugeBand     unit.Gauge    `toml:"gauge_band" validate:"required"` // allowed above the set pressure
	Vent          unit.Duration `toml:"vent" validate:"required"`
	Hold          unit.Duration `toml:"hold" validate:"required"`
	Controls      int           `toml:"controls_per_run" validate:"min=0,max=10"`             // jars that get nothing
	Generations   int           `toml:"generations" validate:"required,min=1,max=20"`         // of grain, from the plate to the vessel
	JarsOfJar     int           `toml:"jars_from_a_jar" validate:"required,min=1,max=1000"`   // that one grown jar inoculates
	JarsOfPlate   int           `toml:"jars_from_a_plate" validate:"required,min=1,max=1000"` // that one grown plate inoculates
	Shortest      unit.Duration `toml:"grown_shortest" validate:"required"`                   // of a jar, from inoculated to grown all through
	Usual         unit.Duration `toml:"grown_usual" validate:"required"`
	Longest       unit.Duration `toml:"grown_longest" validate:"required"`
	Plate         unit.Duration `toml:"plate_grown" validate:"required"` // a plate, from streaked to full
}
