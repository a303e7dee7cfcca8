package heat

import (
	"bottlecrop/cmd/internal/steam"
	"bottlecrop/cmd/internal/working"
)

const (
	woodHandbook = "USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190), chapter 4"
	mixtureRule  = "sum over the parts by mass"
	vaporSource  = "Philip and de Vries, Trans. AGU 38 (1957) 222; de Vries, Trans. AGU 39 (1958) 909"
)

// What moist bulking materials of the sawdust and manure group were measured
// to have at 80 % of the water that they can hold: Ahn, Sauer, Richard and
// Glanville, Bioresource Technology 100 (2009) 3974.
const (
	LeastBulkConductivity = 0.12   // W/(m·K)
	MostBulkConductivity  = 0.81   // W/(m·K)
	LeastBulkHeatCapacity = 1.36e6 // J/(m³·K)
	MostBulkHeatCapacity  = 4.08e6 // J/(m³·K)
)

// between makes a function for laws that passes a value on when it is in the
// range of a correlation, and refuses it elsewhere.
func between(quantity, unit string, least, most float64, why string) working.Function {
	return working.Exactly(1, func(args ...float64) (float64, error) {
		return args[0], within(quantity, unit, args[0], least, most, why)
	})
}

// share passes on a number from 0 to 1.
func share(quantity string) working.Function { return between(quantity, "", 0, 1, "it is a share") }

// DryHeatCapacity is the specific heat capacity in J/(kg·K) of dry wood at T
// (K): c = 0.1031 + 0.003867·T in kJ/(kg·K). The Handbook gives it for 280 to
// 420 K (from memory).
var DryHeatCapacity = working.NewLaw("103.1 + 3.867 * wood(T)", woodHandbook,
	map[string]working.Function{"wood": between("temperature of wood", "K", 280, 420, "the correlation's range")})

// MoistHeatCapacity is the specific heat capacity in J/(kg·K) of matter with
// the share w (of the wet mass) of water and of dry matter with c_dry
// (J/(kg·K)). Liquid water has 4190 J/(kg·K) within 1.5 % from 20 to 120 °C. Heat
// of wetting is left out: above fiber saturation there is none.
var MoistHeatCapacity = working.NewLaw("moisture(w) * 4190 + (1 - w) * c_dry", mixtureRule,
	map[string]working.Function{"moisture": share("moisture")})

// VolumetricHeatCapacity is the heat capacity in J/(m³·K) of matter packed to
// rho (kg/m³, wet) with the specific heat capacity c (J/(kg·K)).
var VolumetricHeatCapacity = working.NewLaw("rho * c", "definition", nil)

// SolidWoodConductivity is the conductivity in W/(m·K), across the grain, of
// solid wood of specific gravity G with the moisture M (share of dry matter):
// Wood Handbook, equation 4-15, which writes M in percent. It holds for G above
// 0.3 and M below 0.25, and so not for substrate; it is here to be compared with.
var SolidWoodConductivity = working.NewLaw("gravity(G) * (0.1941 + 0.4064 * dry(M)) + 0.01864", woodHandbook,
	map[string]working.Function{
		"gravity": between("specific gravity of wood", "", 0.3, 1.5, "the correlation's range"),
		"dry":     between("moisture of wood", "of dry matter", 0, 0.25, "the correlation's range")})

// Wall is the overall conductance in W/(m²·K) of a film of h (W/(m²·K)) on a
// wall s (m) thick with the conductivity k (W/(m·K)). The wall is taken as flat.
var Wall = working.NewLaw("1 / (1 / h + thick(s) / k)", "resistances in series",
	map[string]working.Function{"thick": between("thickness of the wall", "m", 0, 1, "")})

// VaporDiffusivity is the diffusivity in m²/s of water vapor in air at T (K)
// and the total pressure P (Pa): Marrero and Mason, J. Phys. Chem. Ref. Data 1
// (1972) 3, 1.87e-10·T^2.072 at one atmosphere, 282 to 450 K (from memory).
// Philip and de Vries used a fit for 20 to 70 °C, 4.42e-8·T^2.3/P with P in
// mmHg, which runs 14 % above this one at 25 °C, so this is the slower choice.
var VaporDiffusivity = working.NewLaw("1.87 / 10^10 * air(T)^2.072 * 101325 / P",
	"Marrero and Mason, J. Phys. Chem. Ref. Data 1 (1972) 3",
	map[string]working.Function{"air": between("temperature of air in pores", "K", leastDiffusing, mostDiffusing, "the correlation's range")})

// VaporSlope is how much the density of saturated vapor rises with temperature,
// in kg/(m³·K), at T (K), vapor taken as an ideal gas: within 2 % to 100 °C and
// 4 % to 121 °C, on the slow side.
var VaporSlope = working.NewLaw("vapor_slope(T)", "IAPWS R7-97(2012), region 4; ideal gas",
	map[string]working.Function{"vapor_slope": working.Exactly(1, func(args ...float64) (float64, error) {
		return vaporSlope(args[0])
	})})

// VaporConductivity is what vapor that moves in air-filled pores adds to the
// conductivity, in W/(m·K): tau·a·L·D·(dρ/dT)·P/(P−p_v). The air-filled share a
// and the tortuosity tau (0.66, Penman 1940) shorten the way; L (J/kg) is the
// latent heat, D (m²/s) the diffusivity, slope (kg/(m³·K)) that of the density
// of saturated vapor. P/(P−p_v), with the vapor's pressure p_v in the total
// pressure P (Pa), is the mass flow factor of air that stands still; it has no
// bound where matter begins to boil, so it is cut off at n, and counts as n
// where p_v is above P. No vapor short-circuits through islands of liquid (the
// enhancement of Philip and de Vries, 1 to 3) are counted: the slow choice.
var VaporConductivity = working.NewLaw("tau * air(a) * L * D * slope * P / max(P - p_v, P / n)", vaporSource,
	map[string]working.Function{"air": share("air-filled share")})

// DefaultTortuosity is Penman's for diffusion in the air of a granular bed, J.
// Agric. Sci. 30 (1940) 437.
const DefaultTortuosity = 0.66

// DefaultMostFactor bounds the mass flow factor: with 5 it goes on rising until
// vapor has four fifths of the pressure (94 °C in the open). A design choice:
// beyond it vapor no longer diffuses through air but drives it out, which the
// theory does not describe. A higher bound heats faster, so this one is slow.
const DefaultMostFactor = 5.0

// vaporSlope is d(p/(R·T))/dT from a central difference over 0.02 K.
func vaporSlope(t float64) (float64, error) {
	const step = 0.01
	low, err := steam.SaturationPressure(t - step)
	if err != nil {
		return 0, err
	}
	high, err := steam.SaturationPressure(t + step)
	if err != nil {
		return 0, err
	}
	return (high/(t+step) - low/(t-step)) / (2 * step * gasConstantOfWater), nil
}

// gasConstantOfWater in J/(kg·K), IAPWS R7-97, Eq. 1.
const gasConstantOfWater = 461.526
