// Package people knows what work in a mushroom house asks of a body: the carbon
// dioxide of the crop and how long one may stay in it, the vapor of alcohol that
// is wiped or sprayed, crates and shelves, noise, heat and hot things.
//
// Everything is in SI units: concentrations are shares by volume (1 ppm is
// 1e-6), flows m³/s, times s, temperatures K, lifts a second. An angle of a twist
// is in degrees and a level of sound in dB(A), for so their laws are written.
//
// What stands here is advice for a trained operator. It replaces no measurement
// where people work, no doctor, and no local law, which wins.
package people

import "bottlecrop/cmd/internal/working"

const (
	definition  = "definition"
	massBalance = "balance of masses in a well mixed room"
	idealGas    = "ideal gas law, all of it evaporated"
)

var share = working.Between("share", "", 0, 1, "it is a share from 0 to 1, not a percentage")
