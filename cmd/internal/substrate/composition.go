package substrate

import (
	"fmt"

	"bottlecrop/cmd/internal/working"
)

// CarbonToNitrogen is the carbon to nitrogen ratio (a plain number) of carbon C
// and nitrogen N, both as shares of dry matter or both in kg. Of a mixture it
// is the ratio of the sums, never the mean of the ratios. Carbonate carbon does
// not count.
var CarbonToNitrogen = working.NewLaw("C / N", "definition", nil)

// NitrogenFromProtein is the nitrogen share of dry matter for a crude protein
// share CP as feed tables print it: they multiplied the nitrogen that they had
// measured by 6.25, for every feed.
var NitrogenFromProtein = working.NewLaw("CP / 6.25", "feed table convention, crude protein = 6.25 N", nil)

// CarbonFromNitrogen is the carbon share of dry matter of a material with the
// nitrogen share N and the carbon to nitrogen ratio R. It holds only where both
// were measured on the same sample: averages of each, multiplied, have given
// more carbon than there is matter (see CheckComposition).
var CarbonFromNitrogen = working.NewLaw("N * R", "definition", nil)

// CarbonFromComponents estimates the organic carbon share of dry matter from
// the shares of crude protein CP, fat, lignin and ash; what is left counts as
// polysaccharide, with 72/162 carbon. The other factors are from memory. A
// measured figure is always better.
var CarbonFromComponents = working.NewLaw(
	"0.53 * CP + 0.77 * fat + 0.63 * lignin + 0.444 * (1 - CP - fat - lignin - ash)",
	"sum of components; polysaccharide by formula, other factors from memory", nil)

// TwoIngredientShare is the share of dry matter of ingredient b that brings a
// mixture of a and b to the nitrogen share N, where nitrogen-free minerals have
// the fixed share g. N_a and N_b are the nitrogen shares of the two. The share
// of a is then 1 − g − s. It is outside 0 to 1 − g where no mixture does it.
var TwoIngredientShare = working.NewLaw("(N - N_a * (1 - g)) / (N_b - N_a)", massBalance, nil)

// Constituent names what is impossible about a composition.
type Constituent uint8

// The constituents that CheckComposition looks at.
const (
	Carbon Constituent = iota + 1
	Nitrogen
	Ash
	CarbonAndAsh
)

func (c Constituent) String() string {
	return [...]string{"", "carbon", "nitrogen", "ash", "carbon and ash together"}[c]
}

// Impossible is a composition that no ingredient can have.
type Impossible struct {
	Constituent Constituent
	Found       float64 // share of dry matter
	Most        float64 // highest share that is possible; the least is 0
}

func (e Impossible) Error() string {
	return fmt.Sprintf("substrate: %s of %.4g %% of dry matter is outside 0 to %.4g %%: take carbon and nitrogen from one analysis of one sample",
		e.Constituent, 100*e.Found, 100*e.Most)
}

// Highest possible shares of dry matter. Lignin, the richest in carbon of what
// ingredients are made of apart from fat, has 63 %; no plant material is near
// it. Above 15 % nitrogen lies urea, which has no place in a bottle.
const (
	mostCarbon   = 0.60
	mostNitrogen = 0.15
)

// CheckComposition refuses shares of dry matter that cannot be true: carbon
// outside 0 to 60 %, nitrogen outside 0 to 15 %, ash outside 0 to 100 %, or
// carbon and ash above 100 % together. The error is an Impossible.
func CheckComposition(carbon, nitrogen, ash float64) error {
	for _, c := range []Impossible{
		{Carbon, carbon, mostCarbon},
		{Nitrogen, nitrogen, mostNitrogen},
		{Ash, ash, 1},
		{CarbonAndAsh, carbon + ash, 1},
	} {
		if !(c.Found >= 0 && c.Found <= c.Most) { // so that NaN is refused too
			return c
		}
	}
	return nil
}
