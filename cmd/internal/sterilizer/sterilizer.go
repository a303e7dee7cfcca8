// Package sterilizer knows how vessels go through pressure vessels: how many
// loads it takes, how loads are evened out, and what venting costs in moisture.
//
// Masses are in kg, lengths in m, pressures in Pa, temperatures in K; moistures are
// wet-basis shares. Where it touches safety, the maker's manual and local codes on
// pressure vessels win.
package sterilizer

import (
	"fmt"

	"bottlecrop/cmd/internal/working"
)

// Loads is the number of loads for n vessels in a sterilizer that holds cap
// vessels, where each load carries c more as controls. It holds for cap above
// c; else no vessel has a place and the result is an error.
var Loads = working.NewLaw("ceil(n / above_zero(cap - c))", "definition",
	map[string]working.Function{"above_zero": aboveZero})

// FlashLoss is the share of its wet mass that substrate loses at most when a
// chamber is vented fast: it boils until it has cooled by dT (K). c is its
// specific heat in J/(kg·K), h the latent heat of the water in J/kg. It is an
// upper bound: slow venting and a lid that holds lose less.
var FlashLoss = working.NewLaw("c * dT / h", "balance of heat", nil)

func aboveZero(args ...float64) (float64, error) {
	if len(args) != 1 {
		return 0, fmt.Errorf("takes one value, %d were given", len(args))
	}
	if args[0] <= 0 {
		return 0, fmt.Errorf("%v places are left for vessels beside the controls", args[0])
	}
	return args[0], nil
}

// Split divides a total into parts whose sizes differ by at most one, the
// larger ones first: 10 in 4 parts is 3, 3, 2, 2. A load that is much smaller
// than its neighbors heats up in another time, so loads are kept even. It
// returns nil for a negative total or less than one part.
func Split(total, parts int) []int {
	if total < 0 || parts < 1 {
		return nil
	}
	sizes := make([]int, parts)
	for i := range sizes {
		sizes[i] = total / parts
		if i < total%parts {
			sizes[i]++
		}
	}
	return sizes
}
