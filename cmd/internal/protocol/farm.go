package protocol

import (
	"strings"

	"bottlecrop/cmd/internal/unit"
)

// Farm is protocols/farm.toml: what is the same for every protocol of a farm.
type Farm struct {
	Format          int                       `toml:"format" validate:"required,eq=1" method:"-"`
	Name            string                    `toml:"name" validate:"required,max=80" method:"-"`
	Invented        bool                      `toml:"invented" method:"-"` // a made-up farm says so on every page
	Altitude        *unit.Length              `toml:"altitude" validate:"required_without=StationPressure"`
	StationPressure *unit.Absolute            `toml:"station_pressure"` // as a barometer here reads, never reduced to sea level
	Units           string                    `toml:"units" validate:"required,oneof=metric us" method:"-"`
	Languages       []string                  `toml:"languages" validate:"max=8,unique,dive,bcp47_language_tag" method:"-"` // of the book, the one that the farm's files are written in first; left out, it is English alone
	Reviewed        []Reviewed                `toml:"reviewed" validate:"max=8,unique=Language,dive" method:"-"`            // translations of its safety texts that a native reader has looked over
	Paper           string                    `toml:"paper" validate:"required,oneof=A4 letter" method:"-"`
	LargeType       bool                      `toml:"large_type" method:"-"` // letters half as large again as usual, or nearly, on screen and paper
	Currency        string                    `toml:"currency" validate:"required,len=3,uppercase" method:"-"`
	AsOf            string                    `toml:"as_of" validate:"datetime=2006-01-02" method:"-"` // the day that counts as today; left out, nothing is judged by it
	BatchCode       string                    `toml:"batch_code" validate:"max=80" method:"-"`         // see ParseCodeRule; left out, it is UsualBatchCode
	BookAddress     string                    `toml:"book_address" validate:"max=80" method:"-"`       // where the book is on the web: what is printed has a code that leads there; left out, it has none
	Calls           []Call                    `toml:"call" validate:"max=6,dive" method:"-"`           // whom to call, in this order
	Waste           Waste                     `toml:"waste" validate:"required"`
	Controls        Controls                  `toml:"controls" validate:"required"`
	Scales          []Scale                   `toml:"scale" validate:"required,min=1,max=6,unique=ID,dive"`
	Mixer           Mixer                     `toml:"mixer" validate:"required"`
	Sterilizers     []FarmSterilizer          `toml:"sterilizer" validate:"required,min=1,max=24,unique=ID,dive"`
	Moisture        map[string]unit.WetShare  `toml:"moisture_wb"`                   // measured, by ingredient; else the library's
	MoistureSpread  map[string]unit.WetShare  `toml:"moisture_spread_wb" method:"-"` // points either way, by ingredient; else the library's
	Prices          map[string]unit.MassPrice `toml:"price" method:"-"`              // by ingredient, as received
	VesselPrices    map[string]unit.Money     `toml:"vessel_price" method:"-"`       // by vessel, in place of the library's
	LidPrices       map[string]unit.Money     `toml:"lid_price" method:"-"`          // by vessel, in place of the library's
	Wages           map[string]unit.TimePrice `toml:"wage" method:"-"`               // by role; "else" is for the rest
	Costs           *Costs                    `toml:"cost" method:"-"`
	F0Target        unit.Duration             `toml:"f0_target"` // dose that the slowest place of a vessel is to get; 0 is the usual one
	Shift           *Shift                    `toml:"shift"`
	Week            *Week                     `toml:"week" method:"-"`
	Rooms           []Room                    `toml:"room" validate:"max=40,unique=ID,dive" method:"-"`
	Outdoor         *Outdoor                  `toml:"outdoor" method:"-"`
	ClosedBoxes     []ClosedBox               `toml:"closed_box" validate:"max=200,dive" method:"-"`
	Capacity        *Capacity                 `toml:"capacity" method:"-"`
	Good            *Good                     `toml:"good" method:"-"`
	Crate           *Crate                    `toml:"crate" method:"-"`
	Labels          *Labels                   `toml:"labels" method:"-"`
	Bench           *Bench                    `toml:"bench" method:"-"`
	Noise           []Noise                   `toml:"noise" validate:"max=40,unique=ID,dive" method:"-"`
	Hygiene         *Hygiene                  `toml:"hygiene" method:"-"`
	Grain           *Grain                    `toml:"grain"`
	Evidence        []Evidence                `toml:"evidence" validate:"max=50,unique=ID,dive" method:"-"` // probe runs: they judge a method and do not change it
}

// Call is somebody to call, printed where a page says to stop and ask.
type Call struct {
	Who       string `toml:"who" validate:"required,max=40" method:"-" prose:"caution"` // a role, "person in charge"; not a name
	Telephone string `toml:"telephone" validate:"required,max=24" method:"-"`
	When      string `toml:"when" validate:"max=60" method:"-" prose:"caution"` // "at any hour", "for valve, lock or crack"
	Emergency bool   `toml:"emergency" method:"-"`                              // the number for somebody hurt, fire and gas
}

// Reviewed is that somebody whose first language it is has looked over the safety texts of
// a language, and which: by their fingerprint a change since then shows.
type Reviewed struct {
	Language string `toml:"language" validate:"required,bcp47_language_tag" method:"-"`
	By       string `toml:"by" validate:"required,max=60" method:"-" prose:"name"`
	On       string `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
	Texts    string `toml:"texts" validate:"required,max=20" method:"-"`
}

// ReviewedKey is the path of a key of the i-th of them, from 0.
func ReviewedKey(i int, key string) string { return Item("reviewed", i) + "." + key }

// Waste is what is mixed on top for residue, spillage and samples.
type Waste struct {
	Small unit.Share `toml:"small_batch" validate:"required"` // below SmallBelow vessels
	Usual unit.Share `toml:"usual" validate:"required"`
}

// Controls are vessels that are filled and sterilized, but not grown.
type Controls struct {
	UninoculatedPerLoad int `toml:"uninoculated_per_load" validate:"min=0,max=10"`
}

// OtherRoles is the key of Wages for every role that has none of its own.
const OtherRoles = "else"

// Costs are the prices of what a batch uses besides ingredients.
type Costs struct {
	Spawn       unit.MassPrice   `toml:"spawn" validate:"required"` // grain spawn, wet
	Electricity unit.EnergyPrice `toml:"electricity" validate:"required"`
	Water       unit.VolumePrice `toml:"water" validate:"required"`
	Consumables unit.Money       `toml:"consumables" validate:"required"` // a vessel: fleece, collar, cards, gloves, detergent
}

// Shift is a working day at the mixer and the sterilizer.
type Shift struct {
	Length unit.Duration     `toml:"length" validate:"required"`
	Air    unit.Temperature  `toml:"air" validate:"required"`        // where the wet mix waits
	People int               `toml:"people" validate:"min=0,max=50"` // who mix and fill side by side; 0 is one
	Heat   *unit.Temperature `toml:"heat" method:"-"`                // wet-bulb globe temperature at the sterilizer, read on a hot day
}

// Week is when somebody works, for what is planned on days.
type Week struct {
	Works    []string `toml:"works" validate:"required,min=1,max=7,unique,dive,oneof=mon tue wed thu fri sat sun"`
	Holidays []string `toml:"holidays" validate:"max=400,unique,dive,days"` // see HolidayEnds
}

// HolidaysMost is how many days holidays from one day to another have at the most: a
// year more is a slip of the pen.
const HolidaysMost = 366

// HolidayEnds are the first and the last day of holidays as they are written: a day,
// "2026-12-25", or both with two points between, "2026-12-24..2027-01-01".
func HolidayEnds(text string) (first, last string) {
	first, last, more := strings.Cut(text, "..")
	if !more {
		last = first
	}
	return first, last
}

// Capacity is what the farm's people and tools get done on a working day, for a
// plan of many batches. What is left out does not bind.
type Capacity struct {
	Inoculated int                      `toml:"inoculated_a_day" validate:"min=0,max=1000000"` // vessels, at all benches
	Washed     int                      `toml:"washed_a_day" validate:"min=0,max=1000000"`     // vessels
	Hours      map[string]unit.Duration `toml:"hours_a_day"`                                   // by role, of all who have it
	Owns       []Holds                  `toml:"owns" validate:"max=200,unique=Vessel,dive"`    // vessels in circulation: in use, dirty and washed
}

// OwnedKey is the path of a key of the i-th kind of vessels that the farm owns, from 0.
func OwnedKey(i int, key string) string { return Item("capacity.owns", i) + "." + key }

// Good says how sure a farm wants to be of the number of good vessels.
type Good struct {
	Confidence unit.Share `toml:"confidence" validate:"required"`
	Clustering int        `toml:"clustering" validate:"min=0,max=100000"` // chance.Loss: 0 where each vessel is lost by itself
}

// Crate is what vessels are carried in.
type Crate struct {
	Vessels int       `toml:"vessels" validate:"required,min=1,max=200"`
	Empty   unit.Mass `toml:"empty_mass" validate:"required"`
	Lifted  *Lifted   `toml:"lifted"` // left out, it is not judged by how it is lifted
}

// Scale is one balance of the farm.
type Scale struct {
	ID       string    `toml:"id" validate:"required,id"`
	Name     string    `toml:"name" validate:"required,max=60" method:"-" prose:"true"`
	Step     unit.Step `toml:"reads" validate:"required"`    // smallest step shown, a mass
	Capacity unit.Mass `toml:"capacity" validate:"required"` // most that it weighs at once
}

// Mixer is where substrate is mixed.
type Mixer struct {
	Capacity unit.Mass `toml:"capacity" validate:"required"` // wet substrate in one go
}

// FarmSterilizer is one pressure vessel that the farm owns.
type FarmSterilizer struct {
	ID     string        `toml:"id" validate:"required,id"`
	Name   string        `toml:"name" validate:"required,max=60" method:"-" prose:"true"`
	Model  string        `toml:"model" validate:"required"`                 // entry of the library
	Rated  unit.Gauge    `toml:"rated_pressure" validate:"required"`        // from its name plate
	Gauge  unit.Step     `toml:"gauge_reads" validate:"required"`           // smallest step of the dial, a gauge pressure
	ComeUp unit.Duration `toml:"fastest_come_up" validate:"required"`       // cold to set pressure, lightest load
	FullUp unit.Duration `toml:"full_come_up"`                              // cold to set pressure, full load, vent left out; left out, it is worked out
	Energy unit.Energy   `toml:"energy_a_run" method:"-"`                   // metered for a full load; left out, no cost is worked out
	Trays  int           `toml:"trays" validate:"min=0,max=100" method:"-"` // levels on which vessels stand, for the map of a load
	Wide   unit.Length   `toml:"tray_width" method:"-"`                     // inside, of a tray with corners
	Deep   unit.Length   `toml:"tray_depth" method:"-"`
	Round  unit.Length   `toml:"tray_diameter" method:"-"` // inside, of a round one
	Holds  []Holds       `toml:"holds" validate:"required,min=1,unique=Vessel,dive"`
}

// SterilizerKey is the path of a key of the i-th sterilizer, from 0.
func SterilizerKey(i int, key string) string { return Item("sterilizer", i) + "." + key }

// Holds is how many vessels of one kind there are: in a sterilizer, with gaps for
// steam, or on the farm.
type Holds struct {
	Vessel string `toml:"vessel" validate:"required"`
	Count  int    `toml:"count" validate:"required,min=1,max=100000"`
}
