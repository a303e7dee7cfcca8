package people

import (
	"bottlecrop/cmd/internal/working"
)

// Alcohol is what is known of an alcohol for wiping and spraying. Limits are
// shares by volume in air.
type Alcohol struct {
	MolarMass   float64 // kg/mol
	Density     float64 // kg/m³ of the neat alcohol at 20 °C
	Explosive   float64 // lower explosive limit
	Permissible float64 // mean of an 8-hour shift, OSHA PEL
	Dangerous   float64 // NIOSH IDLH, a tenth of the lower explosive limit
	Source      string
}

const pocketGuide = "NIOSH Pocket Guide to Chemical Hazards; 29 CFR 1910.1000 Table Z-1; density from memory"

// Ethanol and Isopropanol are the two that farms use. Densities are from memory,
// and so is the IDLH of isopropanol.
var (
	Ethanol     = Alcohol{0.04607, 789, 0.033, 1000e-6, 3300e-6, pocketGuide}
	Isopropanol = Alcohol{0.06010, 785, 0.020, 400e-6, 2000e-6, pocketGuide}
)

// Parts of the lower explosive limit at which a step is warned of and refused:
// common practice, no source. A mean over a room says little of the air right
// over a wet bench, which is why they are so low.
const (
	WarnExplosive   = 0.10
	RefuseExplosive = 0.25
)

var liquid = working.Between("liquid", "m³", 0, 1, "it is a volume in m³")

// VaporSealed is the share of alcohol vapor in a room of the free volume V (m³)
// that nothing ventilates, when V_l (m³) of a solution with the share x of
// alcohol by volume has evaporated; the neat alcohol has rho (kg/m³) and M
// (kg/mol), and a mole of vapor takes V_m (m³). It is a mean: near what is wet,
// and low down, there is more, for the vapor is heavier than air.
var VaporSealed = working.NewLaw("liquid(V_l) * share(x) * rho / M * V_m / V", idealGas,
	map[string]working.Function{"liquid": liquid, "share": share})

// LiquidFor is the solution in m³ that brings a room to the share C of vapor: the
// inverse of VaporSealed, with its V (m³), x (0.01 to 1), rho (kg/m³), M (kg/mol) and
// V_m (m³).
var LiquidFor = working.NewLaw("share(C) * V * M / (strength(x) * rho * V_m)", idealGas, map[string]working.Function{
	"share": share, "strength": working.Between("strength", "", 0.01, 1, "a share by volume, not a percentage")})

// Evaporating is the vapor in m³/s that comes off while V_l (m³) of a solution
// is used and dries in the time t (s); x, rho (kg/m³), M (kg/mol) and V_m (m³) as in
// VaporSealed. With fresh air, air.After and air.Mean go on from here.
var Evaporating = working.NewLaw("liquid(V_l) * share(x) * rho / M * V_m / t", idealGas,
	map[string]working.Function{"liquid": liquid, "share": share})

// Wiped is the liquid in m³ that a cloth leaves on an area (m²) as a film of the
// thickness d (m, to 1 mm).
var Wiped = working.NewLaw("area * thin(d)", definition, map[string]working.Function{
	"thin": working.Between("film of liquid", "m", 0, 1e-3, "thicker runs off")})

// WetFilm is the film in m of a surface that stays wet for some minutes, 40 mL
// a m². Common practice, no source.
const WetFilm = 40e-6

// Sprayed is the liquid in m³ of n strokes of a sprayer with V_s (m³) each.
var Sprayed = working.NewLaw("n * V_s", definition, nil)

// Together is the liquid in m³ that is wiped, V_w, and sprayed, V_s, at one time.
var Together = working.NewLaw("V_w + V_s", definition, nil)

// InShift is the liquid in m³ of a shift in which V_l (m³) is used n times.
var InShift = working.NewLaw("n * V_l", definition, nil)

// Highest is the higher of two shares of vapor: of one time with nothing ventilated,
// C_1, and at the end of a shift with what fresh air there is, C_2.
var Highest = working.NewLaw("max(C_1, C_2)", definition, nil)

// OfExplosive is the share C of a vapor as a part of its lower explosive limit
// L; 1 would burn.
var OfExplosive = working.NewLaw("share(C) / L", definition, map[string]working.Function{"share": share})

// flash lists the flash points of ethanol in water, by share of volume: a table
// quoted in a posting to the American Chemical Society's safety division, 2015.
var flash = []struct{ strength, kelvin float64 }{{0.20, 273.15 + 36}, {0.70, 273.15 + 21}, {0.96, 273.15 + 17}}

// FlashPoint is the temperature in K at which vapor over ethanol in water, of
// the given share by volume (above 0, to 0.96), can be lit. Between the strengths
// of the table it is that of the next stronger one, which is too low and so safe.
// A room is often warmer: treat every working bottle as one that can be lit.
func FlashPoint(strength float64) (float64, error) {
	if err := working.Within("strength of the ethanol", "", strength, 1e-3, 0.96, "the table's range, as a share by volume"); err != nil {
		return 0, err
	}
	for _, f := range flash {
		if strength <= f.strength {
			return f.kelvin, nil
		}
	}
	return flash[len(flash)-1].kelvin, nil
}
