package protocol

import "bottlecrop/cmd/internal/unit"

// Hygiene is what the farm cleans and disinfects with. No sheet's amounts depend on it.
type Hygiene struct {
	Reads    unit.Step    `toml:"jug_reads" validate:"required"` // smallest mark of what small volumes are measured with
	Alcohol  *Alcohol     `toml:"alcohol"`
	Bleach   *Bleach      `toml:"bleach"`
	HotWater *HotWater    `toml:"hot_water"`
	Bench    *CleanBench  `toml:"clean_bench"`
	Weekly   []WeeklyTask `toml:"weekly" validate:"max=40,dive"` // what is cleaned each week, beside the daily work
}

// Alcohol is what surfaces are wiped with.
type Alcohol struct {
	Stock  unit.Share  `toml:"stock" validate:"required"`  // ethanol or isopropanol by volume, from the label
	Wanted unit.Share  `toml:"wanted" validate:"required"` // by volume
	Bottle unit.Volume `toml:"bottle" validate:"required"` // of the working bottle
}

// What the figure on a label of bleach is of.
const (
	ByMass           = "by-mass"            // sodium hypochlorite, grams in 100 g
	ByVolume         = "by-volume"          // sodium hypochlorite, grams in 100 mL
	AvailableOfLabel = "available-chlorine" // grams in 100 mL
)

// Bleach is sodium hypochlorite in water, and nothing else.
type Bleach struct {
	Stock    unit.Share          `toml:"stock" validate:"required"` // from the label
	Basis    string              `toml:"basis" validate:"required,oneof=by-mass by-volume available-chlorine"`
	Density  *unit.Density       `toml:"density"` // from its safety data sheet; a label by mass needs it
	Opened   string              `toml:"opened_on" validate:"required,datetime=2006-01-02"`
	Bucket   unit.Volume         `toml:"bucket" validate:"required"`   // what is mixed at one time
	Surfaces unit.Concentration  `toml:"surfaces" validate:"required"` // available chlorine, rinsed off afterwards
	Food     *unit.Concentration `toml:"food_contact"`                 // on what touches the crop, without a rinse
}

// HotWater is a bath in which clean tools and vessels are sanitized.
type HotWater struct {
	At  unit.Temperature `toml:"at" validate:"required"`
	For unit.Duration    `toml:"for" validate:"required"`
}

// CleanBench is a bench with filtered air, as it was last measured.
type CleanBench struct {
	Width    unit.Length  `toml:"width" validate:"required"` // of the face
	Height   unit.Length  `toml:"height" validate:"required"`
	Readings []unit.Speed `toml:"readings" validate:"required,min=3,max=60"` // of the air, over the face
	Measured string       `toml:"measured_on" validate:"required,datetime=2006-01-02"`
}

// WeeklyTask is what is cleaned on one day of each week.
type WeeklyTask struct {
	On string `toml:"on" validate:"required,oneof=mon tue wed thu fri sat sun"`
	Do string `toml:"do" validate:"required,oneof=drains humidifiers coil-pans fans bench swabs settle-plates"`
}
