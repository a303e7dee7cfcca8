package substrate

import "bottlecrop/cmd/internal/working"

const (
	massBalance = "balance of masses"
	compost     = "Cornell Waste Management Institute, Composting in Schools, moisture and C:N pages"
)

// MoistureOfSample is the moisture (share of the wet mass) of a sample that
// weighed wet (kg) before drying and dry (kg) after.
var MoistureOfSample = working.NewLaw("(wet - dry) / wet", compost, nil)

// SecondMaterialForMoisture is the mass in kg, as received, of a second
// material to be mixed with Q1 (kg) of a first one, so that the mixture reaches
// the moisture g. M1 and M2 are the moistures of the two. All moistures are
// shares of the wet mass. The goal must lie between M1 and M2; otherwise no
// mass does it and the result is an error.
var SecondMaterialForMoisture = working.NewLaw("not_negative((Q1 * g - Q1 * M1) / (M2 - g))", compost,
	map[string]working.Function{"not_negative": notNegative})

// SecondMaterialForCN is the mass in kg, as received, of a second material to
// be mixed with Q1 (kg) of a first one, so that the mixture reaches the carbon
// to nitrogen ratio R. N1 and N2 are nitrogen shares of dry matter, R1 and R2
// the materials' carbon to nitrogen ratios, M1 and M2 their moistures as shares
// of the wet mass. The goal must lie between R1 and R2; otherwise the result is
// an error.
var SecondMaterialForCN = working.NewLaw(
	"not_negative(Q1 * N1 * (R - R1) * (1 - M1) / (N2 * (R2 - R) * (1 - M2)))", compost,
	map[string]working.Function{"not_negative": notNegative})

// MoistureBeforeSterilizer is the moisture to mix at, so that substrate leaves
// the sterilizer at moisture m. lam is the measured fractional change of wet
// mass in there, negative for a loss; dry matter does not change. Both
// moistures are shares of the wet mass. It holds for 1 + lam above zero.
var MoistureBeforeSterilizer = working.NewLaw("1 - (1 - m) * (1 + lam)", massBalance, nil)

// WetTotal is the wet substrate in kg to be made for n vessels of M (kg) each,
// with the share w on top for residue, spillage and samples.
var WetTotal = working.NewLaw("n * M * (1 + w)", massBalance, nil)

// DryTotal is the dry matter in kg of T (kg) wet substrate of moisture m (share
// of the wet mass).
var DryTotal = working.NewLaw("T * (1 - m)", massBalance, nil)

// DryOf is the dry matter in kg of one ingredient: its share x of the dry
// matter times all the dry matter D (kg).
var DryOf = working.NewLaw("x * D", "definition of a share of dry matter", nil)

// AsReceived is the mass in kg of an ingredient as it lies in its sack: its dry
// matter d (kg) with its own moisture m_in (share of the wet mass, below 1).
var AsReceived = working.NewLaw("d / (1 - m_in)", massBalance, nil)

// MoistureOfLots is the moisture (share of the wet mass) of an ingredient that
// is taken from several lots: W (kg) of water in Q (kg) as received.
var MoistureOfLots = working.NewLaw("W / Q", massBalance, nil)

// WaterNeeded is all the water in kg in a mixture with dry matter D (kg) at the
// mixing moisture m_b (share of the wet mass, below 1).
var WaterNeeded = working.NewLaw("D * m_b / (1 - m_b)", massBalance, nil)

// WaterToAdd is the water in kg to pour in: all the water W (kg) less what the
// ingredients bring, W_in (kg). Below zero the ingredients are too wet for the
// target.
var WaterToAdd = working.NewLaw("W - W_in", massBalance, nil)

// MoistureOf is the moisture (share of the wet mass) of W (kg) water with D (kg)
// dry matter.
var MoistureOf = working.NewLaw("W / (W + D)", massBalance, nil)

// ShareOfDry is the share that d (kg) dry matter of one ingredient has of all
// the dry matter D (kg).
var ShareOfDry = working.NewLaw("d / D", "definition of a share of dry matter", nil)

// ShareLeft is the share left for the base when all other ingredients have the
// share s of dry matter together.
var ShareLeft = working.NewLaw("1 - s", "shares of dry matter sum to 1", nil)

// DryDensity is the dry matter in kg per m³ of a material of wet density rho
// (kg/m³) and moisture m (share of the wet mass).
var DryDensity = working.NewLaw("rho * (1 - m)", massBalance, nil)

// PriceOfConstituent is what a kg of one constituent costs (currency per kg)
// when the material costs P (currency per kg as received), has the moisture m
// (share of the wet mass) and the share x of the constituent in dry matter.
var PriceOfConstituent = working.NewLaw("P / ((1 - m) * x)",
	"Alabama Cooperative Extension, By-product feeds quick reference guide", nil)

// Rounded is the mass Q (kg) as a scale of step r (kg) shows it.
var Rounded = working.NewLaw("round(Q, r)", "definition", nil)
