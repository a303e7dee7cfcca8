package hygiene

import "bottlecrop/cmd/internal/unit"

// Contact is how long, or how hot, something has to be to count, and who says so.
type Contact struct {
	Value  float64 // s, or K
	Source string
}

// How long a surface stays wet, and what water does it without chemicals.
var (
	// AlcoholWet is for a clean surface, with alcohol of 70 to 80 %.
	AlcoholWet = Contact{3 * unit.Minute, "University of Iowa EHS"}
	// BleachSurfaces is for a clean surface that is rinsed afterwards, and BleachSoak
	// for what lies in it.
	BleachSurfaces = Contact{10 * unit.Minute, who}
	BleachSoak     = Contact{30 * unit.Minute, who}
	// BleachFood is for what touches the crop, at 50 to 200 ppm and not rinsed: far
	// more than the 7 s that 50 ppm take at 24 °C.
	BleachFood = Contact{unit.Minute, "7 s is the least at 50 ppm, 24 °C and pH 8 (FDA Food Code 4-501.114); a minute is a design choice"}
	// HotWater and HotWaterFor are for what is washed and lies under water.
	HotWater    = Contact{273.15 + 77, "FDA Food Code 4-501.111, 4-703.11: 171 °F"}
	HotWaterFor = Contact{30, "FDA Food Code 4-703.11"}
)

// The ends of what is used.
const (
	AlcoholLow  = 0.70 // weaker kills too little
	AlcoholHigh = 0.80 // stronger dries off first
	// NoRinse is the most available chlorine on what touches food without a rinse:
	// 21 CFR 178.1010, 40 CFR 180.940 (from memory).
	NoRinse = 200e-6
)

// BleachKeeps is how long an open bottle of bleach has enough strength left: common
// practice, no source. What is mixed is used up on its day.
const BleachKeeps = 180 * unit.Day
