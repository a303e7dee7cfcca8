package substrate

import "bottlecrop/cmd/internal/working"

// MoistureMoved is by how much (a share of the wet mass) the moisture of a mix of
// the moisture m goes up or down when one of its ingredients is s wetter or drier
// than recorded, and everything is weighed as planned. q is the mass of that
// ingredient as received for each kg of the mix's dry matter; the mix weighs
// 1 / (1 - m) then. It is exact: weighed masses stay what they are, and water
// takes the place of dry matter gram by gram.
var MoistureMoved = working.NewLaw("q * s * (1 - m)", massBalance, nil)

// Together is the spread of a sum whose parts spread independently of each other,
// from the sum S of the squares of theirs. Lots that got wet in the same shed are
// not independent: then it is up to the plain sum.
var Together = working.NewLaw("sqrt(S)", "independent spreads: root of the sum of squares", nil)

// LowEnd and HighEnd are the ends of a span of s either way of m.
var (
	LowEnd  = working.NewLaw("m - s", "definition", nil)
	HighEnd = working.NewLaw("m + s", "definition", nil)
)
