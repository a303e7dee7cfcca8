package protocol

import "bottlecrop/cmd/internal/unit"

// Lifted is how full crates are lifted: the worst way that is usual.
type Lifted struct {
	Depth   unit.Length   `toml:"depth" validate:"required"`                     // of a crate, from the body on
	Hands   unit.Length   `toml:"hands" validate:"required"`                     // its grips, above its base
	Grip    string        `toml:"grip" validate:"required,oneof=good fair poor"` // people.Coupling
	From    *unit.Length  `toml:"from" validate:"required"`                      // the lowest place that it is picked up from, above the floor
	Lifts   unit.Rate     `toml:"lifts" validate:"required"`                     // of one person, while lifting
	Stretch unit.Duration `toml:"stretch" validate:"required"`                   // lifting without a rest, in one go
}

// What is wiped and sprayed with.
const (
	Ethanol     = "ethanol"
	Isopropanol = "isopropanol"
)

// Bench is the alcohol that is wiped and sprayed where spawn goes in.
type Bench struct {
	Room    string      `toml:"room" validate:"required"` // id of a room
	Alcohol string      `toml:"alcohol" validate:"required,oneof=ethanol isopropanol"`
	Wiped   unit.Area   `toml:"wiped" validate:"required"` // at one time
	Strokes int         `toml:"strokes" validate:"min=0,max=10000"`
	Stroke  unit.Volume `toml:"stroke"`                                  // of the sprayer
	Times   int         `toml:"times_a_shift" validate:"min=0,max=1000"` // 0 is once
	Flame   bool        `toml:"flame"`                                   // a burner or a hot loop is used there
}

// Noise is a machine that is loud.
type Noise struct {
	ID      string          `toml:"id" validate:"required,id"`
	Name    string          `toml:"name" validate:"required,max=60" prose:"true"`
	Station string          `toml:"station" validate:"required,oneof=receiving mixing filling sterilizing bench incubation fruiting packing washing"`
	Level   unit.SoundLevel `toml:"level" validate:"required"`               // at the ear of who works there
	Time    unit.Duration   `toml:"time_a_shift" validate:"required"`        // of who is longest at it
	Plan    string          `toml:"plan" validate:"max=200" prose:"caution"` // what the farm does about it
}
