package lethality

import (
	"errors"
	"math"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

const (
	logLinear  = "log-linear thermal death (Bigelow 1921; Stumbo, Thermobacteriology in Food Processing, 1973)"
	indicators = "USP 35, biological indicators on nonpaper carriers"
	poisson    = "Poisson distribution, 1 - exp(-N)"
)

var guards = map[string]working.Function{
	"above_zero": func(a ...float64) (float64, error) {
		if len(a) != 1 {
			return 0, errOneValue
		}
		return a[0], aboveZero("z or D", "K or s", a[0])
	},
}

var errOneValue = errors.New("takes one value")

// Rate is the lethal rate at T: how much more a moment does there than at
// T_ref, for an organism with that z (all K). It is 1 at T_ref.
var Rate = working.NewLaw("10^((T - T_ref) / above_zero(z))", logLinear, guards)

// TimeFor is how long in s a temperature with the lethal rate L must be held
// for an F value of F (s).
var TimeFor = working.NewLaw("F / above_zero(L)", logLinear, guards)

// DAt is the decimal reduction time in s at T, for an organism with the time D
// (s) at T_D, and z (all temperatures K).
var DAt = working.NewLaw("above_zero(D) * 10^((T_D - T) / above_zero(z))", logLinear, guards)

// LogReduction is by how many powers of ten an F value cuts the number of
// organisms with the decimal reduction time D, both s at one reference
// temperature. It holds where the organism's z is the one that F was counted
// with; for another z use Organism.Reduction, which counts anew.
var LogReduction = working.NewLaw("F / above_zero(D)", logLinear, guards)

// Survivors is how many of N_0 organisms in a vessel are expected to outlive
// an F value, D being their decimal reduction time (both s, one z as in
// LogReduction). 0.001 is one in a thousand vessels.
var Survivors = working.NewLaw("N_0 * 10^(-F / above_zero(D))", logLinear, guards)

// AtRisk is the share of vessels in which one organism or more survives, where
// N are expected in each.
var AtRisk = working.NewLaw("one_or_more(N)", poisson, chances)

// BatchSurvivors is how many organisms are expected to survive in n vessels
// with N each.
var BatchSurvivors = working.NewLaw("n * N", "definition", nil)

// VesselsAtRisk is how many of n vessels are expected to hold a survivor, where
// p is the share that does.
var VesselsAtRisk = working.NewLaw("n * p", "definition", nil)

// BatchAtRisk is the chance that one of n vessels or more holds a survivor,
// where N are expected in each.
var BatchAtRisk = working.NewLaw("one_or_more(n * N)", poisson, chances)

// chances avoids the difference of two numbers near 1, which would make a
// chance of 1e-17 none.
var chances = map[string]working.Function{
	"one_or_more": func(a ...float64) (float64, error) {
		if len(a) != 1 {
			return 0, errOneValue
		}
		if !(a[0] >= 0) {
			return 0, RangeError{"expected number", "", a[0], 0, math.MaxFloat64}
		}
		return -math.Expm1(-a[0]), nil
	},
}

// TwelveD is the F value in s that cuts organisms with that D (s) by twelve
// powers of ten, the convention for low-acid canned food.
var TwelveD = working.NewLaw("12 * above_zero(D)", "Stumbo, Thermobacteriology in Food Processing, 1973 (from memory)", guards)

// IndicatorSurvives is the longest exposure in s that every indicator of a
// labeled lot has to survive: D (s) and N spores on each.
var IndicatorSurvives = working.NewLaw("above_zero(D) * (ln(N) / ln(10) - 2)", indicators, guards)

// IndicatorDies is the exposure in s that no indicator of a labeled lot may
// survive: D (s) and N spores on each.
var IndicatorDies = working.NewLaw("above_zero(D) * (ln(N) / ln(10) + 4)", indicators, guards)

// The bars that a run is held to at the slowest point of the slowest vessel.
const (
	// TargetF0 is the F0 in s that a run should reach.
	TargetF0       = 15 * unit.Minute
	TargetF0Source = "the farm's choice of certainty (design choice, no source)"

	// FloorF0 is the F0 in s under which no run is accepted.
	FloorF0       = 3 * unit.Minute
	FloorF0Source = "lowest F0 of low-acid canned food, in reviews that cite the National Canners Association; used here as a floor for a crop, not for food"
)

// What is assumed about substrate that nobody has counted.
const (
	// Bioburden is the number of endospores in a vessel before the run.
	Bioburden = 1e6
	// BioburdenD is their decimal reduction time in s at 121.1 °C; their z is
	// that of F0.
	BioburdenD      = 1 * unit.Minute
	BioburdenSource = "design choice, no source"
)
