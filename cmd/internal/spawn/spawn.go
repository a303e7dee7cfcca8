// Package spawn knows how much grain spawn a batch takes and how wet grain is.
//
// Masses are in kg, moistures are shares of the wet mass.
package spawn

import "bottlecrop/cmd/internal/working"

// PerVessel is the spawn in kg for one vessel with M (kg) of wet substrate at
// the spawning rate, a share of the wet substrate.
var PerVessel = working.NewLaw("rate * M", "definition of the spawning rate", nil)

// Total is the spawn in kg for n vessels at s (kg) each.
var Total = working.NewLaw("n * s", "balance of masses", nil)

// WithSpare is the spawn in kg to have ready: the amount needed S (kg) with the
// share spare on top for contaminated jars and samples.
var WithSpare = working.NewLaw("S * (1 + spare)", "definition of the spare share", nil)

// Jars is the number of spawn jars that hold S (kg) of spawn, when usable (kg)
// comes out of one.
var Jars = working.NewLaw("ceil(S / usable)", "definition", nil)

// JarsReady is the number of spawn jars to have ready: J_spare, those of the
// spawn with its spare share, but never fewer than two more than the J that the
// vessels take. One bad jar is found on the day of use, and the one beside it
// was made with it.
var JarsReady = working.NewLaw("max(J_spare, J + 2)", "two spare jars at least: common practice, no source", nil)

// GrainMoisture is the true moisture of prepared grain: G (kg) of grain as
// received, with its own moisture m_g, and W (kg) of added water.
var GrainMoisture = working.NewLaw("(G * m_g + W) / (G + W)", "balance of masses", nil)

// AddedWaterShare is the figure that grain formulas in growers' books call
// moisture: W (kg) of added water on the total with G (kg) of grain as
// received. It leaves out the grain's own water and so is below the true
// moisture; only for comparing with such books.
var AddedWaterShare = working.NewLaw("W / (G + W)",
	"Stamets, Growing Gourmet and Medicinal Mushrooms, grain formulas", nil)
