package substrate

import "bottlecrop/cmd/internal/working"

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
// more carbon than there is matter (a limit refuses it).
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

// CarbonAndAsh is what carbon C and ash make up together of the dry matter, all
// as shares of it. More than the whole is impossible: then carbon and nitrogen
// were averaged over different samples, or are of another ash.
var CarbonAndAsh = working.NewLaw("C + ash", "definition", nil)
