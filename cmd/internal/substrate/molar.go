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
	MolarCarbon         = carbon
	MolarWater          = 2*hydrogen + oxygen
	MolarCarbonDioxide  = carbon + 2*oxygen
	MolarPolysaccharide = 6*carbon + 10*hydrogen + 5*oxygen // C6H10O5, the unit of cellulose and starch
	molarLimestone      = calcium + carbon + 3*oxygen       // CaCO3
	molarGypsum         = calcium + sulfur + 4*oxygen + 2*MolarWater
)

// Shares of the mass of minerals.
const (
	// WaterOfGypsum is the crystal water of gypsum, CaSO4·2H2O. It is bound:
	// gypsum counts as dry. A hot drying oven drives it out all the same.
	WaterOfGypsum = 2 * MolarWater / molarGypsum
	// CalciumOfLimestone is the calcium of calcium carbonate, CaCO3.
	CalciumOfLimestone = calcium / molarLimestone
)
