// Package protocol holds the plain types of what a farm writes down: the farm
// itself, the library of species, ingredients, vessels and sterilizers, and
// the protocols, each one way of growing one species in one vessel.
//
// The types say what may be written, under which key ("toml"), and the shape
// that a value must have ("validate"; the words for each refusal are those of
// the package farmfile). Ranges that depend on knowledge of the trade are not
// here but in the package limit. Numbers are in SI units; a pointer is a value
// that may be left out.
//
// The tag `method:"-"` marks what cannot move a step, an amount or a critical
// limit: it stays out of the fingerprint of the method.
package protocol

import "bottlecrop/cmd/internal/unit"

// Range is a span of values, written as ["7 °C", "15 °C"].
type Range[T ~float64] struct{ Low, High T }

// Span lets a reader of files fill any Range without a list of them.
func (r *Range[T]) Span() (low, high *T) { return &r.Low, &r.High }

// MostVessels is the largest batch, in vessels to grow, that a file or a command
// may ask for (design choice; a limit warns far below).
const MostVessels = 100_000

// Protocol is one file protocols/NAME.toml, after the values of the protocol
// that it is based on have been filled in.
type Protocol struct {
	Name          string         `toml:"-" method:"-"` // the file's name without .toml
	Format        int            `toml:"format" validate:"required,eq=1" method:"-"`
	BasedOn       string         `toml:"based_on" method:"-"`
	Title         string         `toml:"title" validate:"required,max=80" method:"-" prose:"true"`
	Summary       string         `toml:"summary" validate:"max=400" method:"-" prose:"true"`
	Control       *Control       `toml:"document" method:"-"`
	Approval      *Approval      `toml:"approval" method:"-"`
	NotInForce    string         `toml:"not_in_force" validate:"max=200" method:"-" prose:"caution"` // why nobody may work from it yet, or any more
	Species       string         `toml:"species" validate:"required"`
	Vessel        string         `toml:"vessel" validate:"required"`
	Sterilizer    string         `toml:"sterilizer" validate:"required"`
	BatchSizes    []int          `toml:"batch_sizes" validate:"required,min=1,max=20,unique" method:"-"`
	Substrate     Substrate      `toml:"substrate" validate:"required"`
	Fill          Fill           `toml:"fill" validate:"required"`
	Bore          Bore           `toml:"bore" validate:"required"`
	Sterilization Sterilization  `toml:"sterilization" validate:"required"`
	Spawn         Spawn          `toml:"spawn" validate:"required"`
	Incubation    Incubation     `toml:"incubation" validate:"required"`
	Opening       Opening        `toml:"opening" validate:"required"`
	Pinning       Stage          `toml:"pinning" validate:"required"`
	Collar        *Collar        `toml:"collar"`
	Fruiting      Stage          `toml:"fruiting" validate:"required"`
	Harvest       Harvest        `toml:"harvest" validate:"required"`
	Cleaning      Cleaning       `toml:"cleaning" validate:"required"`
	Steps         []Step         `toml:"step" validate:"max=40,unique=ID,dive"`
	Skips         []Skip         `toml:"skip" validate:"max=20,unique=Step,dive"`
	Acknowledged  []Acknowledged `toml:"acknowledge" validate:"max=50,unique=Rule,dive" method:"-"`
}

// Acknowledged is a warning that the author knows of and stands by. An error
// can't be acknowledged.
type Acknowledged struct {
	Rule   string `toml:"rule" validate:"required,max=60"` // id of the limit, "nitrogen.species"
	Reason string `toml:"reason" validate:"required,min=10,max=300" prose:"true"`
	Who    string `toml:"who" validate:"required,max=60" prose:"name"`
	On     string `toml:"on" validate:"required,datetime=2006-01-02"`
}

// Substrate is the formula on dry matter, and the moisture it is to have when
// it leaves the sterilizer.
type Substrate struct {
	Moisture           unit.WetShare `toml:"moisture_wb" validate:"required"`
	ChangeInSterilizer unit.Share    `toml:"mass_change_in_sterilizer"` // fraction of wet mass, negative is a loss; 0 until measured
	Mixing             unit.Duration `toml:"mixing" validate:"required"`
	Ingredients        []Part        `toml:"ingredient" validate:"required,min=1,max=24,unique=Ingredient,dive"`
}

// Part is one ingredient's share of the dry matter.
type Part struct {
	Ingredient string        `toml:"ingredient" validate:"required"`
	Share      unit.DryShare `toml:"share_dm" validate:"required"`
}

// Fill says how much goes into a vessel: either the wet mass, or the packed
// wet density from which the mass follows.
type Fill struct {
	Mass         *unit.Mass    `toml:"mass" validate:"required_without=Density,excluded_with=Density"`
	Density      *unit.Density `toml:"density"`
	Headspace    unit.Volume   `toml:"headspace" validate:"required"`      // left free above the fill line
	LineBelowRim unit.Length   `toml:"line_below_rim" validate:"required"` // where a worker looks for the fill line
	Tolerance    unit.Share    `toml:"tolerance" validate:"required"`      // of the fill mass, either way
}

// How a bore is made decides whether its substrate stays in the vessel.
const (
	BorePressed = "pressed" // a rod pushes the substrate aside: mass kept
	BoreRemoved = "removed" // drilled out, or filled around a rod: mass gone
	BoreNone    = "none"
)

// Bore is the hole down the middle that lets steam in and spawn down.
type Bore struct {
	Made           string      `toml:"made" validate:"required,oneof=pressed removed none"`
	TopDiameter    unit.Length `toml:"top_diameter" validate:"required_unless=Made none"`
	BottomDiameter unit.Length `toml:"bottom_diameter" validate:"required_unless=Made none"`
	Depth          unit.Length `toml:"depth" validate:"required_unless=Made none"`
}

// Sterilization is the run in the pressure vessel.
type Sterilization struct {
	GaugePressure unit.Gauge       `toml:"gauge_pressure" validate:"required"`
	GaugeBand     unit.Gauge       `toml:"gauge_band" validate:"required"` // allowed above the set pressure; below it is never allowed
	Vent          unit.Duration    `toml:"vent" validate:"required"`       // steady steam before the vent is closed
	Hold          unit.Duration    `toml:"hold" validate:"required"`
	CoolTo        unit.Temperature `toml:"cool_to" validate:"required"` // core, before spawn goes in
	UseWithin     unit.Duration    `toml:"use_within" validate:"required"`
}

// Spawn is what inoculates a vessel.
type Spawn struct {
	Form       string        `toml:"form" validate:"required,oneof=grain"`
	ShareOfWet unit.WetShare `toml:"share_of_wet_substrate" validate:"required"`
	Spare      unit.Share    `toml:"spare" validate:"required"`                        // for contaminated jars and samples
	JarUsable  unit.Mass     `toml:"usable_in_a_jar" validate:"required"`              // wet grain that comes out of one jar
	AgeMost    unit.Duration `toml:"age_most" validate:"required"`                     // from fully grown to use, kept cold
	Generation int           `toml:"generation_most" validate:"required,min=1,max=20"` // grain generations from the plate
}

// Span of days of a stage; left out, the species' own are used.
type Days struct {
	Shortest *unit.Duration `toml:"shortest"`
	Usual    *unit.Duration `toml:"usual"`
	Longest  *unit.Duration `toml:"longest"`
}

// Incubation is the spawn run and, where the species wants it, the ripening.
type Incubation struct {
	Air      unit.Temperature   `toml:"air" validate:"required"`
	Humidity unit.Share         `toml:"humidity" validate:"required"`
	CO2Most  unit.Concentration `toml:"co2_most" validate:"required"` // of the room, for the people in it
	Ripen    unit.Duration      `toml:"ripen"`                        // after the vessel is white all through
	Days     Days               `toml:"days"`
}

// How the top of the substrate is treated when a vessel is opened.
const (
	ScrapeLevel  = "level"         // old spawn and the top layer off, flat
	ScrapeRaised = "raised-center" // the same, leaving the middle higher
	ScrapeLight  = "light"         // skin only
	ScrapeNever  = "never"
)

// Opening is what happens when a vessel is opened to fruit.
type Opening struct {
	Scrape string        `toml:"scrape" validate:"required,oneof=level raised-center light never"`
	Depth  unit.Length   `toml:"scrape_depth" validate:"required_unless=Scrape never"`
	Water  unit.Volume   `toml:"water"`                                // poured on each vessel, then off
	Stand  unit.Duration `toml:"stand" validate:"required_with=Water"` // how long it stands
	Cover  string        `toml:"cover" validate:"required,oneof=damp-fleece inverted none"`
}

// Stage is a climate and how long it lasts.
type Stage struct {
	Air      unit.Temperature   `toml:"air" validate:"required"`
	Humidity unit.Share         `toml:"humidity" validate:"required"`
	CO2Most  unit.Concentration `toml:"co2_most" validate:"required"`
	Light    unit.Light         `toml:"light"`
	LightFor unit.Duration      `toml:"light_each_day"`
	Days     Days               `toml:"days"`
}

// Collar is a sleeve round the mouth that draws stems up.
type Collar struct {
	StemLength unit.Length `toml:"when_stems_reach" validate:"required"`
	Height     unit.Length `toml:"height" validate:"required"`
}

// Harvest is the end of a crop and what a farm plans on.
type Harvest struct {
	Sign       string           `toml:"sign" validate:"required,max=160" method:"-" prose:"true"` // what ripe looks like, in the author's words
	Lost       unit.Share       `toml:"lost" validate:"required"`                                 // vessels contaminated or rejected
	Trim       unit.Share       `toml:"trim" validate:"required"`                                 // of the fresh mass, cut off
	CoolTo     unit.Temperature `toml:"cool_to" validate:"required"`
	CoolWithin unit.Duration    `toml:"cool_within" validate:"required"`
}

// Cleaning is how a vessel gets ready for its next round.
type Cleaning struct {
	EmptyWithin unit.Duration    `toml:"empty_within" validate:"required"`
	Water       unit.Temperature `toml:"water" validate:"required"`
	Detergent   string           `toml:"detergent" validate:"required,oneof=mild-alkali none"`
}
