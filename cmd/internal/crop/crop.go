// Package crop knows what comes out of a bottle: fresh mushrooms, the water and
// the dry matter that they take along, and how often a vessel comes back.
//
// Masses are in kg, volumes in m³, shares are fractions.
package crop

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/working"
)

// BiologicalEfficiency is the fresh crop Y (kg) as a share of the dry substrate
// D (kg) at spawning, the spawn's own dry matter left out. 1 is 100 %. It is
// not a yield on wet mass.
var BiologicalEfficiency = working.NewLaw("Y / D", "definition of biological efficiency", nil)

// FreshPerVessel is the fresh crop in kg of a vessel with D (kg) of dry
// substrate at the biological efficiency BE (1 is 100 %).
var FreshPerVessel = working.NewLaw("BE * D", "definition of biological efficiency", nil)

// DryFromEfficiency is the dry substrate in kg behind a published fresh crop
// Y (kg) and biological efficiency BE (1 is 100 %).
var DryFromEfficiency = working.NewLaw("Y / BE", "definition of biological efficiency", nil)

// BatchYield is the fresh crop in kg of n vessels at Y (kg) each, when the
// share c of them is contaminated or rejected.
var BatchYield = working.NewLaw("n * (1 - c) * Y", massBalance, nil)

// Sold is what is left in kg of a fresh crop Y (kg) when the share trim of it
// is cut off.
var Sold = working.NewLaw("Y * (1 - trim)", massBalance, nil)

// WaterUse is the share of the substrate's water that stands in the crop: Y
// (kg) of fresh crop with the dry fraction d_f, from D (kg) of dry substrate at
// moisture m (share of the wet mass, below 1). It says whether a planned crop
// can be had from the water that is there.
var WaterUse = working.NewLaw("Y * (1 - d_f) / (D * m / (1 - m))", waterBalance, nil)

// YieldDensity is the fresh crop in kg per m³ of vessel (the same figure as g
// per L): Y (kg) from a vessel of volume V (m³).
var YieldDensity = working.NewLaw("Y / V", "definition", nil)

// PercentIncreaseBase is the value of the control behind a published result x
// that is said to lie the share inc above it; in the unit of x.
var PercentIncreaseBase = working.NewLaw("x / (1 + inc)", "definition", nil)

// ExpectedUses is how many rounds a vessel makes on the average when it breaks
// or is rejected with chance p in each (0 to 1) and retires after N rounds (0
// or more): (1 − (1 − p)^N) / p, and N itself where p is 0.
var ExpectedUses = working.NewLaw("expected_uses(p, N)", "mean of a geometric life, (1 - (1 - p)^N) / p, cut off at N",
	map[string]working.Function{"expected_uses": working.Exactly(2, expectedUses)})

func expectedUses(args ...float64) (float64, error) {
	p, rounds := args[0], args[1]
	switch {
	case !(p >= 0 && p <= 1):
		return 0, fmt.Errorf("chance %v is outside 0 to 1", p)
	case !(rounds >= 0):
		return 0, fmt.Errorf("%v rounds are below zero", rounds)
	case p == 0:
		return rounds, nil
	case rounds == 0:
		return 0, nil // at p = 1 the expression below is 0 times infinity
	}
	// Not 1 − (1 − p)^N: for p under 1e-16 that is 0, and the limit N is lost.
	return -math.Expm1(rounds*math.Log1p(-p)) / p, nil
}
