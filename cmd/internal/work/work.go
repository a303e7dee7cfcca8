// Package work names the steps of growing in vessels, the stations where they
// are done, the roles that do them, which protocols have them, and the time that
// they take. The times are common practice without a source; a farm's own will
// differ, and only plans and costs rest on them, never a critical limit.
package work

// StepID names a step. It is stable: records and a farm's own texts refer to it.
type StepID string

// The steps of the whole cycle, in its usual order.
const (
	Receive       StepID = "receive"
	StartShift    StepID = "start-of-shift"
	Weigh         StepID = "weigh"
	MixSubstrate  StepID = "mix"
	CheckMoisture StepID = "check-moisture"
	FillVessels   StepID = "fill"
	TapDown       StepID = "tap-down"
	BoreHoles     StepID = "bore"
	Cap           StepID = "cap"
	LoadVessels   StepID = "load"
	Vent          StepID = "vent"
	Sterilize     StepID = "sterilize"
	PressureOff   StepID = "pressure-off"
	Unload        StepID = "unload"
	Cool          StepID = "cool"
	InspectBore   StepID = "inspect-bore"
	WipeDown      StepID = "wipe-down"
	Label         StepID = "label" // cards are ready before a lid is lifted
	Inoculate     StepID = "inoculate"
	Incubate      StepID = "incubate"
	Inspect       StepID = "inspect"
	Reject        StepID = "reject"
	Ripen         StepID = "ripen"
	Open          StepID = "open"
	EarlyFruit    StepID = "early-fruit"
	Scrape        StepID = "scrape"
	Wet           StepID = "wet"
	Cover         StepID = "cover"
	Pin           StepID = "pin"
	FitCollar     StepID = "collar"
	Fruit         StepID = "fruit"
	HarvestCrop   StepID = "harvest"
	Trim          StepID = "trim"
	Chill         StepID = "chill"
	Release       StepID = "release"
	Empty         StepID = "empty"
	Wash          StepID = "wash"
	InspectVessel StepID = "inspect-vessel"
	Retire        StepID = "retire"
)

// Station is where a step is done.
type Station string

// The stations.
const (
	Receiving   Station = "receiving"
	Starting    Station = "starting"
	Mixing      Station = "mixing"
	Filling     Station = "filling"
	Sterilizing Station = "sterilizing"
	Bench       Station = "bench"
	Incubation  Station = "incubation"
	Fruiting    Station = "fruiting"
	Packing     Station = "packing"
	Washing     Station = "washing"
)

// DaysApart reports whether the steps of a station are done on different days,
// so that who does one has not just read the one before.
func DaysApart(s Station) bool {
	return s == Incubation || s == Fruiting
}

// Role is who does a step. One person may have several.
type Role string

// The roles.
const (
	SubstrateMaker Role = "substrate-maker"
	Operator       Role = "sterilizer-operator"
	Inoculator     Role = "inoculator"
	Grower         Role = "grower"
	Picker         Role = "picker"
	Washer         Role = "washer"
)

// Steps lists every step in its usual order.
func Steps() []StepID {
	return []StepID{
		Receive, StartShift, Weigh, MixSubstrate, CheckMoisture, FillVessels, TapDown, BoreHoles, Cap,
		LoadVessels, Vent, Sterilize, PressureOff, Unload, Cool, InspectBore, WipeDown, Label, Inoculate,
		Incubate, Inspect, Reject, Ripen, Open, EarlyFruit, Scrape, Wet, Cover, Pin, FitCollar, Fruit,
		HarvestCrop, Trim, Chill, Release, Empty, Wash, InspectVessel, Retire,
	}
}

// Stations lists every station in the order in which a batch passes them.
func Stations() []Station {
	return []Station{Receiving, Starting, Mixing, Filling, Sterilizing, Bench, Incubation, Fruiting, Packing, Washing}
}

// Roles lists every role.
func Roles() []Role {
	return []Role{SubstrateMaker, Operator, Inoculator, Grower, Picker, Washer}
}
