package work

// Setting is what decides which steps a protocol has.
type Setting struct {
	Reusable bool // the vessel comes back; a bag is used once, and has no wall, no lid and no mouth of its own
	Bored    bool // there is a hole down the middle
	Ripened  bool // it rests on after it is white all through
	Scraped  bool // old spawn and the top layer come off
	Wetted   bool // water is poured on, and off
	Covered  bool // under a fleece, or upside down
	Collared bool // a sleeve is put round the mouth
}

// place is where a step is done, by whom, and which protocols have it.
type place struct {
	station Station
	role    Role
	present func(Setting) bool // nil is all
}

// places has every step.
var places = map[StepID]place{
	Receive:       {station: Receiving, role: SubstrateMaker},
	StartShift:    {station: Starting, role: Operator},
	Weigh:         {station: Mixing, role: SubstrateMaker},
	MixSubstrate:  {station: Mixing, role: SubstrateMaker},
	CheckMoisture: {station: Mixing, role: SubstrateMaker},
	FillVessels:   {station: Filling, role: SubstrateMaker},
	TapDown:       {station: Filling, role: SubstrateMaker, present: func(s Setting) bool { return s.Reusable }},
	BoreHoles:     {station: Filling, role: SubstrateMaker, present: func(s Setting) bool { return s.Reusable && s.Bored }},
	Cap:           {station: Filling, role: SubstrateMaker, present: func(s Setting) bool { return s.Reusable }},
	LoadVessels:   {station: Sterilizing, role: Operator},
	Vent:          {station: Sterilizing, role: Operator},
	Sterilize:     {station: Sterilizing, role: Operator},
	PressureOff:   {station: Sterilizing, role: Operator},
	Unload:        {station: Sterilizing, role: Operator},
	Cool:          {station: Bench, role: Operator},
	InspectBore:   {station: Bench, role: Inoculator, present: func(s Setting) bool { return s.Reusable && s.Bored }},
	WipeDown:      {station: Bench, role: Inoculator},
	Label:         {station: Bench, role: Inoculator},
	Inoculate:     {station: Bench, role: Inoculator},
	Incubate:      {station: Incubation, role: Grower},
	Inspect:       {station: Incubation, role: Grower},
	Reject:        {station: Incubation, role: Grower},
	Ripen:         {station: Incubation, role: Grower, present: func(s Setting) bool { return s.Ripened }},
	Open:          {station: Fruiting, role: Grower},
	EarlyFruit:    {station: Fruiting, role: Grower},
	Scrape:        {station: Fruiting, role: Grower, present: func(s Setting) bool { return s.Scraped }},
	Wet:           {station: Fruiting, role: Grower, present: func(s Setting) bool { return s.Wetted }},
	Cover:         {station: Fruiting, role: Grower, present: func(s Setting) bool { return s.Covered }},
	Pin:           {station: Fruiting, role: Grower},
	FitCollar:     {station: Fruiting, role: Grower, present: func(s Setting) bool { return s.Reusable && s.Collared }},
	Fruit:         {station: Fruiting, role: Grower},
	HarvestCrop:   {station: Packing, role: Picker},
	Trim:          {station: Packing, role: Picker},
	Chill:         {station: Packing, role: Picker},
	Release:       {station: Packing, role: Picker},
	Empty:         {station: Washing, role: Washer},
	Wash:          {station: Washing, role: Washer, present: func(s Setting) bool { return s.Reusable }},
	InspectVessel: {station: Washing, role: Washer, present: func(s Setting) bool { return s.Reusable }},
	Retire:        {station: Washing, role: Washer, present: func(s Setting) bool { return s.Reusable }},
}

// StationOf is where a step is done.
func StationOf(id StepID) Station { return places[id].station }

// RoleOf is who does a step.
func RoleOf(id StepID) Role { return places[id].role }

// Present reports whether a protocol of that setting has the step.
func Present(id StepID, s Setting) bool {
	p := places[id].present
	return p == nil || p(s)
}

// OnlyGrown reports whether a step is done for the vessels that are grown
// alone: the controls, which are filled and sterilized like the rest, get no
// spawn, no opening and no harvest. They are looked at, emptied and washed.
func OnlyGrown(id StepID) bool { return id == Inoculate || GrownAt(StationOf(id)) }

// GrownAt reports whether controls never get to a station.
func GrownAt(s Station) bool { return s == Fruiting || s == Packing }
