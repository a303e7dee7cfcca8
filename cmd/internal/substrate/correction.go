package substrate

import (
	"math"

	"bottlecrop/cmd/internal/working"
)

// What the table for a mix in hand covers: design choices.
const (
	// PointsBelow is how many whole points below the right moisture it begins.
	PointsBelow = 7
	// PointsAbove is how many whole points above the right moisture it ends.
	PointsAbove = 4
	// MostGoods is the largest share of all its dry goods that a wet mix is
	// given once more. Goods that are nearly as wet as the mix would ask for
	// more than a mixer has room for.
	MostGoods = 0.30
)

// ReadingsSource is where PointsBelow, PointsAbove and MostGoods are from.
const ReadingsSource = "design choice, no source"

// WaterForReading is the water in kg that brings a mix with dry matter D (kg)
// from the moisture r that its sample reads up to m, r below m, both shares of
// the wet mass. D is what was weighed in: goods of at most 12 % moisture can't
// be so much drier than recorded as to account for more than some three points,
// so a mix that reads drier got too little water, and holds the dry matter that
// it should. Where its goods were drier after all the mix stays a little below m
// and is not overshot: water can be added again, and not taken out.
var WaterForReading = working.NewLaw("D / (1 - m) - D / (1 - r)", massBalance, nil)

// GoodsForReading is how much of all its dry goods a mix is given once more, as
// a share of what went in, to bring it from the moisture r that its sample reads
// down to m, r above m. D is the dry matter of the mix and W_in the water that
// its goods brought along, both kg. The two-material balance of the Cornell Waste
// Management Institute (Composting in Schools) for a mix of D / (1 - r) and
// goods of the moisture W_in / (W_in + D), which must be below m.
var GoodsForReading = working.NewLaw("D * (r - m) / ((1 - r) * (m * D - (1 - m) * W_in))",
	"balance of masses; Cornell Waste Management Institute, Composting in Schools", nil)

// Readings are the whole percents that a sample of a mix may read when its right
// moisture is m and it may be off by give, both shares of the wet mass: those
// that call for water, and those that call for dry goods, ascending.
func Readings(m, give float64) (dry, wet []int) {
	const hair = 1e-9
	middle := int(math.Round(100 * m))
	for p := middle - PointsBelow; p < middle; p++ {
		if p > 0 && float64(p) < 100*(m-give)-hair {
			dry = append(dry, p)
		}
	}
	for p := middle + 1; p <= middle+PointsAbove; p++ {
		if p < 100 && float64(p) > 100*(m+give)+hair {
			wet = append(wet, p)
		}
	}
	return dry, wet
}
