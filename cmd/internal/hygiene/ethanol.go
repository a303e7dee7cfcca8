package hygiene

import "bottlecrop/cmd/internal/working"

// ofMass are the coefficients of the density of ethanol in water at 20 °C, kg/m³, in
// powers of the share of mass: OIML R 22 (1975), from memory, held to its tables.
var ofMass = [...]float64{
	998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
	306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
}

const oiml = "OIML R 22, density of ethanol in water at 20 °C"

// densityByMass is the density in kg/m³ of a share of mass from 0 to 1.
func densityByMass(p float64) float64 {
	rho := 0.0
	for i := len(ofMass) - 1; i >= 0; i-- {
		rho = rho*p + ofMass[i]
	}
	return rho
}

// EthanolDensity is the density in kg/m³ of ethanol in water of a strength by volume,
// 0 to 1, at 20 °C.
func EthanolDensity(strength float64) (float64, error) {
	if err := working.Within("strength of the ethanol", "", strength, 0, 1, "a share of the volume"); err != nil {
		return 0, err
	}
	// The strength rises with the share of mass: it is found by halves.
	low, high := 0.0, 1.0
	for high-low > 1e-15 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if mid*densityByMass(mid)/densityByMass(1) < strength {
			low = mid
		} else {
			high = mid
		}
	}
	return densityByMass((low + high) / 2), nil
}

// WaterFor is the water in m³ that V (m³) of ethanol of strength C_2 takes besides
// its stock, V_1 (m³) of strength C_1, both at 20 °C, C_2 being no more than C_1. It
// is more than V less V_1, for alcohol and water shrink as they mix. Nobody measures
// it: the vessel is filled up to V.
var WaterFor = working.NewLaw("(V * rho(C_2) - V_1 * rho(C_1)) / rho(0)", "balance of masses; "+oiml, map[string]working.Function{
	"rho": working.Exactly(1, func(args ...float64) (float64, error) { return EthanolDensity(args[0]) })})

// Shrinks is how much more water alcohol takes than its volume lets one think, as a
// share: W (m³) by WaterFor, for V (m³) with V_1 (m³) of stock.
var Shrinks = working.NewLaw("W / (V - V_1) - 1", definition, nil)
