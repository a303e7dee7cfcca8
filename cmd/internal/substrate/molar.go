package substrate

// Standard atomic weights in g/mol, conventional values (IUPAC Commission on
// Isotopic Abundances and Atomic Weights, from memory).
const (
	hydrogen = 1.008
	oxygen   = 15.999
	carbon   = 12.011
	sulfur   = 32.06
	calcium  = 40.078
)

// Molar masses in g/mol.
const (
	molarWater          = 2*hydrogen + oxygen
	molarCarbonDioxide  = carbon + 2*oxygen
	molarPolysaccharide = 6*carbon + 10*hydrogen + 5*oxygen // C6H10O5, the unit of cellulose and starch
	molarLimestone      = calcium + carbon + 3*oxygen       // CaCO3
	molarGypsum         = calcium + sulfur + 4*oxygen + 2*molarWater
)

// Shares of the mass of minerals.
const (
	// WaterOfGypsum is the crystal water of gypsum, CaSO4·2H2O. It is bound:
	// gypsum counts as dry. A hot drying oven drives it out all the same.
	WaterOfGypsum = 2 * molarWater / molarGypsum
	// CalciumOfLimestone is the calcium of calcium carbonate, CaCO3.
	CalciumOfLimestone = calcium / molarLimestone
)

// What growing mycelium turns polysaccharide into: C6H10O5 + 6 O2 gives 6 CO2
// and 5 H2O. Masses per mass.
const (
	// CarbonDioxidePerCarbon is kg CO2 for each kg of carbon burnt.
	CarbonDioxidePerCarbon = molarCarbonDioxide / carbon
	// CarbonDioxidePerPolysaccharide is kg CO2 for each kg of it burnt.
	CarbonDioxidePerPolysaccharide = 6 * molarCarbonDioxide / molarPolysaccharide
	// WaterPerPolysaccharide is kg water for each kg of it burnt.
	WaterPerPolysaccharide = 5 * molarWater / molarPolysaccharide
	// CarbonOfPolysaccharide is kg carbon in each kg of it.
	CarbonOfPolysaccharide = 6 * carbon / molarPolysaccharide
)
