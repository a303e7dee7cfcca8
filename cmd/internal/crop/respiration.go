package crop

import "bottlecrop/cmd/internal/substrate"

// What growing mycelium turns polysaccharide into: C6H10O5 + 6 O2 gives 6 CO2
// and 5 H2O. Masses per mass, from standard atomic weights.
const (
	// CarbonDioxidePerCarbon is kg CO2 for each kg of carbon burnt.
	CarbonDioxidePerCarbon = substrate.MolarCarbonDioxide / substrate.MolarCarbon
	// CarbonDioxidePerPolysaccharide is kg CO2 for each kg of dry matter burnt.
	CarbonDioxidePerPolysaccharide = 6 * substrate.MolarCarbonDioxide / substrate.MolarPolysaccharide
	// WaterPerPolysaccharide is kg water for each kg of dry matter burnt.
	WaterPerPolysaccharide = 5 * substrate.MolarWater / substrate.MolarPolysaccharide
)
