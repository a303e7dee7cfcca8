// Package substrate knows what bottles are filled with: the balance of dry
// matter and water, carbon and nitrogen, and how masses are rounded to a scale.
//
// Masses are in kg. A moisture is a share of the wet mass ("wet basis"); every
// other share is one of dry matter. Mixing the two up is the commonest mistake
// of growers: 65 % wet basis is 186 % of the dry matter.
package substrate

import "fmt"

// notNegative refuses a mass below zero: two materials cannot be mixed to a
// goal that does not lie between them.
func notNegative(args ...float64) (float64, error) {
	if len(args) != 1 {
		return 0, fmt.Errorf("takes one value, %d were given", len(args))
	}
	if args[0] < 0 {
		return 0, fmt.Errorf("%.4g kg is below zero: the goal does not lie between the two materials", args[0])
	}
	return args[0], nil
}
