package protocol

import (
	"strings"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Library is what is known of species, ingredients, vessels, sterilizers and
// troubles in general, with sources. A farm adds to it or replaces an entry as a whole.
type Library struct {
	Species     map[string]Species
	Ingredients map[string]Ingredient
	Vessels     map[string]Vessel
	Sterilizers map[string]Sterilizer
	Troubles    map[string]Trouble
	// Entries says where each entry stands: "species.enoki" may be in
	// {"protocols/library/species.toml", "species[0]"}. The reader of files
	// fills it (kinds: species, ingredient, vessel, sterilizer, trouble).
	Entries map[string]working.Origin
	// Borrowed says where the values of a strain stand that it has from its
	// species: "species.enoki-white.core_most".
	Borrowed map[string]working.Origin
}

// BuiltIn is the folder in which the entries of the program's own library are
// said to stand: it is no folder of the farm's.
const BuiltIn = "built-in/library"

// ComesWithProgram reports whether an entry is the program's own, and not the
// farm's.
func (l Library) ComesWithProgram(kind, id string) bool {
	return strings.HasPrefix(l.Entries[kind+"."+id].Document, BuiltIn+"/")
}

// Origin is the place of one key of an entry, for findings and workings.
func (l Library) Origin(kind, id, key string) working.Origin {
	if o, borrowed := l.Borrowed[kind+"."+id+"."+key]; borrowed {
		return o
	}
	o := l.Entries[kind+"."+id]
	if o.Key != "" {
		key = o.Key + "." + key
	}
	return working.Origin{Document: o.Document, Key: key}
}

// How well a species does in a bottle.
const (
	BottleExcellent = "excellent"
	BottleGood      = "good"
	BottleFair      = "fair"
	BottleUnsuited  = "unsuited"
)

// What a vessel looks like when it is opened to fruit.
const (
	OpensWhite = "white"    // white all through
	OpensGray  = "gray-mat" // with a firm, gray, folded mat on top
	OpensEarly = "early"    // as soon as the top is white, often with first pins
)

// Known is where an entry's figures come from.
type Known struct {
	Source string `toml:"source" validate:"required" method:"-"`
	Status string `toml:"status" validate:"required" method:"-"` // what was confirmed and what is from memory
	Notes  string `toml:"notes" method:"-" prose:"true"`
}

// Species is one [[species]] of library/species.toml.
type Species struct {
	ID              string                    `toml:"id" validate:"required,id"`
	StrainOf        string                    `toml:"strain_of" method:"-"` // a strain has the values of this species where it has none of its own
	Scientific      string                    `toml:"scientific" validate:"required" method:"-"`
	Common          string                    `toml:"common" validate:"required" method:"-" prose:"true"`
	InBottles       string                    `toml:"in_bottles" validate:"required,oneof=excellent good fair unsuited"`
	Incubation      Range[unit.Temperature]   `toml:"incubation" validate:"required"`
	CoreMost        unit.Temperature          `toml:"core_most" validate:"required"`
	Colonize        Range[unit.Duration]      `toml:"colonize" validate:"required"`
	Ripen           unit.Duration             `toml:"ripen"`
	PinAir          Range[unit.Temperature]   `toml:"pin_air" validate:"required"`
	FruitAir        Range[unit.Temperature]   `toml:"fruit_air" validate:"required"`
	RHIncubate      Range[unit.Share]         `toml:"rh_incubate" validate:"required"`
	RHPin           Range[unit.Share]         `toml:"rh_pin" validate:"required"`
	RHFruit         Range[unit.Share]         `toml:"rh_fruit" validate:"required"`
	CO2RoomIncubate unit.Concentration        `toml:"co2_room_incubate" validate:"required"` // most, for people and crop
	CO2Pin          Range[unit.Concentration] `toml:"co2_pin" validate:"required"`
	CO2Fruit        Range[unit.Concentration] `toml:"co2_fruit" validate:"required"`
	LightPin        Range[unit.Light]         `toml:"light_pin" validate:"required"`
	LightFruit      Range[unit.Light]         `toml:"light_fruit" validate:"required"`
	LightEachDay    unit.Duration             `toml:"light_each_day" validate:"required"`
	PinDays         Range[unit.Duration]      `toml:"pin_days" validate:"required"`
	FruitDays       Range[unit.Duration]      `toml:"fruit_days" validate:"required"`
	EfficiencyLow   unit.DryShare             `toml:"efficiency_low" validate:"required"` // biological efficiency: fresh crop on dry substrate
	EfficiencyUsual unit.DryShare             `toml:"efficiency_usual" validate:"required"`
	EfficiencyHigh  unit.DryShare             `toml:"efficiency_high" validate:"required"`
	Flushes         string                    `toml:"flushes" validate:"required" method:"-" prose:"true"`
	Collar          string                    `toml:"collar" validate:"required,oneof=wanted optional no"`
	CollarNote      string                    `toml:"collar_note" method:"-" prose:"true"`
	Scrape          string                    `toml:"scrape" validate:"required,oneof=level raised-center light optional never"`
	Opens           string                    `toml:"opens" validate:"required,oneof=white gray-mat early"` // what the top looks like when it is time
	Nitrogen        Range[unit.DryShare]      `toml:"n_dm" validate:"required"`
	Moisture        Range[unit.WetShare]      `toml:"moisture_wb" validate:"required"`
	Listeria        string                    `toml:"listeria" method:"-" prose:"true"`                       // why drains, pans and humidifiers are on a plan where it grows; "" for no more than anywhere
	Respiration     []Respiration             `toml:"respiration" validate:"max=4,unique=Of,dive" method:"-"` // published; what is left out is that of any species
	Known
}

// What a rate of respiration is of.
const (
	OfSpawnRun  = "spawn-run" // substrate that spawn grows into, or that ripens
	OfFruiting  = "fruiting"  // substrate under mushrooms
	OfMushrooms = "mushrooms" // the mushrooms themselves
)

// Respiration is how much carbon dioxide a kilogram of something gives off.
type Respiration struct {
	Of     string           `toml:"of" validate:"required,oneof=spawn-run fruiting mushrooms" method:"-"`
	Rate   unit.Respiration `toml:"rate" validate:"required" method:"-"`
	At     unit.Temperature `toml:"at" validate:"required" method:"-"`
	Q10    unit.Factor      `toml:"q10" validate:"required" method:"-"` // for 10 K more
	Source string           `toml:"source" validate:"required" method:"-"`
}

// Roles of an ingredient in a formula.
const (
	RoleBase       = "base"
	RoleSupplement = "supplement"
	RoleMineral    = "mineral"
	RoleGrain      = "spawn-grain"
	RoleReference  = "reference" // listed for comparison, not recommended
)

// Ingredient is one [[ingredient]] of library/ingredients.toml.
type Ingredient struct {
	ID         string         `toml:"id" validate:"required,id"`
	Name       string         `toml:"name" validate:"required" method:"-" prose:"true"`
	Role       string         `toml:"role" validate:"required,oneof=base supplement mineral spawn-grain reference"`
	Moisture   unit.WetShare  `toml:"moisture_wb"`                   // as received
	Spread     *unit.WetShare `toml:"moisture_spread_wb" method:"-"` // points either way that lots usually lie from it; nil where nobody has said
	Carbon     unit.DryShare  `toml:"c_dm"`                          // organic carbon
	CarbonBy   string         `toml:"c_method" validate:"required,oneof=measured typical component-estimate n-times-cn definition organic-only estimate-1.8" method:"-"`
	Nitrogen   unit.DryShare  `toml:"n_dm"`
	Ash        unit.DryShare  `toml:"ash_dm"`
	BulkDry    unit.Density   `toml:"bulk_density_dry" validate:"required" method:"-"` // loose, for bins and hoppers only
	BulkNote   string         `toml:"bulk_density_note" method:"-" prose:"true"`
	UsualMost  unit.DryShare  `toml:"usual_most_dm" validate:"required"`  // above: a warning
	NeverAbove unit.DryShare  `toml:"never_above_dm" validate:"required"` // above: an error
	CapSource  string         `toml:"cap_source" validate:"required" method:"-" prose:"true"`
	Hydrate    bool           `toml:"hydrate_first"` // pellets and hulls drink before they are mixed
	Allergens  []string       `toml:"allergens" validate:"dive,oneof=soy wheat gluten" method:"-"`
	Caustic    bool           `toml:"caustic"` // gloves and goggles
	Dusty      bool           `toml:"dusty"`
	Spoils     bool           `toml:"spoils"` // keep cold, use within a day
	Known
}

// Forms of a vessel. A bag is used once; the others come back.
const (
	FormBottle = "bottle"
	FormJar    = "jar"
	FormBag    = "bag"
)

// Vessel is one [[vessel]] of library/vessels.toml.
type Vessel struct {
	ID          string           `toml:"id" validate:"required,id"`
	Name        string           `toml:"name" validate:"required" method:"-" prose:"true"`
	One         string           `toml:"one" validate:"required,max=20" method:"-" prose:"true"`  // what a worker calls it: "bottle"
	Many        string           `toml:"many" validate:"required,max=20" method:"-" prose:"true"` // "bottles"
	Form        string           `toml:"form" validate:"required,oneof=bottle jar bag"`
	Material    string           `toml:"material" validate:"required,oneof=polypropylene glass polyethylene PET"`
	Brimful     unit.Volume      `toml:"brimful" validate:"required"` // measured with water to the brim
	Height      unit.Length      `toml:"inside_height" validate:"required"`
	Body        unit.Length      `toml:"body_diameter" validate:"required"`  // inside
	Mouth       unit.Length      `toml:"mouth_diameter" validate:"required"` // inside
	Wall        unit.Length      `toml:"wall" validate:"required"`
	Empty       unit.Mass        `toml:"empty_mass" validate:"required"` // without lid
	Service     unit.Temperature `toml:"service_temperature" validate:"required"`
	Lid         string           `toml:"lid" validate:"required" method:"-" prose:"true"`
	LidFiltered bool             `toml:"lid_filtered"` // a lid without filter must never be sterilized closed
	LidMass     unit.Mass        `toml:"lid_mass" validate:"required"`
	Price       unit.Money       `toml:"price" validate:"required" method:"-"`                     // without lid
	UsesMost    int              `toml:"uses_most" validate:"required,min=1,max=10000" method:"-"` // after which it is retired
	LostPerUse  unit.Share       `toml:"lost_per_use" validate:"required" method:"-"`              // broken or rejected in one round
	LidPrice    unit.Money       `toml:"lid_price" validate:"required" method:"-"`
	LidUsesMost int              `toml:"lid_uses_most" validate:"required,min=1,max=10000" method:"-"`
	LidLost     unit.Share       `toml:"lid_lost_per_use" validate:"required" method:"-"`
	WashWater   unit.Volume      `toml:"wash_water" validate:"required" method:"-"` // for one washing, hot and cold
	Known
}

// Called is what a worker calls that many of the vessels.
func (v Vessel) Called(n int) string {
	if n == 1 {
		return v.One
	}
	return v.Many
}

// Sterilizer is one [[sterilizer]] of library/sterilizers.toml: a generic kind.
type Sterilizer struct {
	ID        string      `toml:"id" validate:"required,id"`
	Name      string      `toml:"name" validate:"required" method:"-" prose:"true"`
	Chamber   unit.Volume `toml:"chamber" validate:"required"`
	Usable    unit.Volume `toml:"usable" validate:"required"`
	RatedMost unit.Gauge  `toml:"usual_rated_pressure" validate:"required"` // a name plate above this is doubted
	Power     unit.Power  `toml:"heater_power" validate:"required"`
	Water     unit.Volume `toml:"water_charge" validate:"required"`
	Metal     unit.Mass   `toml:"metal_mass" validate:"required"`
	MetalOf   string      `toml:"metal" validate:"required,oneof=aluminum steel"`
	Insulated bool        `toml:"insulated"`                                               // its wall, not its door
	SteamLoss unit.Power  `toml:"steam_loss" method:"-"`                                   // that leaves in the hold through weight, bleeder and leaks
	Efficient unit.Share  `toml:"efficiency" method:"-"`                                   // share of what its meter reads that gets into the water; left out, run.Efficiency
	OwnBoiler bool        `toml:"separate_boiler" method:"-"`                              // its steam comes from elsewhere, and its condensate goes to the drain
	Relief    unit.Gauge  `toml:"relief_pressure" validate:"required" method:"-"`          // where its relief valve usually lifts
	StayWet   unit.Volume `toml:"stay_wet" validate:"required" method:"-"`                 // water that must be left at the end of a run
	Holds     []Holds     `toml:"holds" validate:"required,min=1,dive" method:"-"`         // a usual load, by vessel
	LidLock   string      `toml:"lid_lock" validate:"required" method:"-" prose:"caution"` // how it is held shut, for the cautions
	Known
}
