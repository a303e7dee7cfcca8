package work

// Reason is why a step is never left out: what hangs on it.
type Reason string

// The reasons.
const (
	AtPressure Reason = "pressure" // people at the pressure vessel
	AtMold     Reason = "mold"     // people and crops beside a contaminated vessel
	ForSterile Reason = "sterile"  // a fault that nobody sees until the batch is lost
	ForClean   Reason = "clean"    // one dirty step spoils a batch, or the next one
	ForEaters  Reason = "eaters"   // people who eat the crop
	ForTrace   Reason = "trace"    // finding the lots of a bad batch again
	ForCrop    Reason = "crop"     // there is no crop without it
)

// keep says why a step is never left out, and whether its sentences are the
// book's alone: they carry computed numbers that people or the batch hang on.
type keep struct {
	why   Reason
	fixed bool
}

// keeps has every step that no farm leaves out. Those that are missing here it
// may leave out and say why; which steps a setting brings in or not is decided by
// the setting.
var keeps = map[StepID]keep{
	Receive:       {ForTrace, false},
	StartShift:    {AtPressure, true},
	Weigh:         {ForCrop, false},
	MixSubstrate:  {ForCrop, false},
	FillVessels:   {ForCrop, false},
	Cap:           {AtPressure, true}, // a sealed lid bursts
	LoadVessels:   {AtPressure, true},
	Vent:          {AtPressure, true},
	Sterilize:     {AtPressure, true},
	PressureOff:   {AtPressure, true},
	Unload:        {AtPressure, true},
	Cool:          {ForSterile, true},
	WipeDown:      {ForClean, true},
	Label:         {ForTrace, false},
	Inoculate:     {ForClean, true},
	Incubate:      {ForCrop, false},
	Inspect:       {AtMold, true},
	Reject:        {AtMold, true},
	Open:          {ForCrop, false},
	Pin:           {ForCrop, false},
	Fruit:         {ForCrop, false},
	HarvestCrop:   {ForEaters, true},
	Chill:         {ForEaters, true},
	Release:       {ForEaters, true},
	Empty:         {ForClean, false},
	Wash:          {ForClean, false},
	InspectVessel: {AtPressure, true}, // a cracked one bursts in the heat
}

// Kept is why a step can't be left out; "" is one that a farm may leave out.
func Kept(id StepID) Reason { return keeps[id].why }

// Fixed reports whether the book's sentences of a step stand as they are: a farm
// may add to them and replace none.
func Fixed(id StepID) bool { return keeps[id].fixed }

// Reasons lists every reason.
func Reasons() []Reason {
	return []Reason{AtPressure, AtMold, ForSterile, ForClean, ForEaters, ForTrace, ForCrop}
}

// Missed reports whether leaving a step out is worth a warning, and whether that
// belongs on the sheet of whoever works there: a hole that fell in then meets
// nobody's eye before the spawn.
func Missed(id StepID) (warn, onSheet bool) {
	switch id {
	case InspectBore:
		return true, true
	case CheckMoisture:
		return true, false
	}
	return false, false
}
