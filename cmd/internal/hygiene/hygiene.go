// Package hygiene knows how a farm keeps germs and molds off its crop: how a
// solution is mixed from what is in the can, how long it has to stay wet, how hot
// water has to be, and what the air of a clean bench should be like.
//
// Everything is in SI units: volumes m³, temperatures K, times s, speeds m/s. A
// strength is a share of the volume from 0 to 1, and available chlorine is a share
// too: 1 ppm, a milligram in a liter, is 1e-6.
//
// The label of a product is its maker's manual and wins, and so does local law on
// food and on disinfectants.
package hygiene

import (
	"fmt"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/working"
)

const (
	definition = "definition"
	dilution   = "C1 V1 = C2 V2"
	cdc        = "CDC Guideline for Disinfection and Sterilization in Healthcare Facilities 2008"
	who        = "WHO Infection prevention and control of epidemic- and pandemic-prone acute respiratory infections in health care 2014, Annex G"
)

// StockFor is the stock in m³ of strength C_1 that V (m³) of strength C_2 takes, C_2
// being no more than C_1, where the vessel is filled up to V and not by a fixed
// volume of water.
var StockFor = working.NewLaw("V * C_2 / C_1", dilution, nil)

// Rest is what is left in m³ of a volume V when V_1 is in it. Of bleach it is the
// water; of alcohol it is not, which shrinks as it mixes: see WaterFor.
var Rest = working.NewLaw("V - V_1", definition, nil)

// OnMark is a volume V (m³) as a measure with marks every step (m³) shows it, in m³.
var OnMark = working.NewLaw("round(V, step)", definition, nil)

// Made is the strength that V_1 (m³) of strength C_1 comes to in V (m³).
var Made = working.NewLaw("V_1 * C_1 / V", dilution, nil)

// Available is the available chlorine of a bleach whose label says C: with s, the
// mass of a liter in kg, for a label by mass, and 1 for one by volume or of available
// chlorine. 1 % sodium hypochlorite counts as 10,000 ppm, as CDC and WHO have it; its
// chlorine is 0.95 of that, which is less than bleach loses in a few months.
var Available = working.NewLaw("C * s", "1 % sodium hypochlorite is 10,000 ppm available chlorine: "+cdc+"; "+who, nil)

// Flow is the air in m³/s of a clean bench with the speed v (m/s) at its face, w wide
// and h high (m).
var Flow = working.NewLaw("v * w * h", definition, nil)

// Uneven is how far the lowest, v_low, and the highest, v_high, of some speeds at a
// face lie from their mean v, as a share of it.
var Uneven = working.NewLaw("max(v_high - v, v - v_low) / v", definition, nil)

// MeanOf, LowestOf and HighestOf are of n speeds, v1 to vn, in m/s.
func MeanOf(n int) *working.Law    { return over("(%s) / "+strconv.Itoa(n), " + ", n) }
func LowestOf(n int) *working.Law  { return over("min(%s)", ", ", n) }
func HighestOf(n int) *working.Law { return over("max(%s)", ", ", n) }

func over(form, between string, n int) *working.Law {
	all := make([]string, n)
	for i := range all {
		all[i] = "v" + strconv.Itoa(i+1)
	}
	return working.NewLaw(fmt.Sprintf(form, strings.Join(all, between)), definition, nil)
}

// Off is how far a strength C_m misses the one that is wanted, C_2, as a share of it.
var Off = working.NewLaw("abs(C_m - C_2) / C_2", definition, nil)

// Particles is how many particles of D (µm, 0.1 to 5) and more a m³ of air of the
// class N of ISO 14644-1 (1 to 9) may have. The standard's own table goes before it:
// it has 3,520 for class 5 at 0.5 µm, where the formula gives 3,517.
var Particles = working.NewLaw("10^class(N) * (0.1 / size(D))^2.08", "ISO 14644-1", map[string]working.Function{
	"class": working.Between("class of ISO 14644-1", "", 1, 9, "the standard's classes"),
	"size":  working.Between("size of the particles", "µm", 0.1, 5, "the standard's sizes"),
})

// ParticlesOfBench is the standard's own figure for class 5 at 0.5 µm and above, a m³.
const ParticlesOfBench = 3520
