// Package air knows the air of a room: how much water it holds, when it drips,
// what it weighs and what heat is in it, and how a gas that something gives off
// builds up in it and is driven out.
//
// Temperatures are in K, pressures in Pa and absolute, relative humidities and
// the concentrations of gases are shares from 0 to 1 (1 ppm is 1e-6 by volume),
// flows are in m³/s, times in s. What is said per mass of air is per kg of dry
// air, as the trade has it, for that mass stays when water comes and goes. The
// pressure is that of the place, from the height or a barometer there
// (steam.StandardPressure), never one that a weather report has brought to sea
// level.
package air

import (
	"math"

	"bottlecrop/cmd/internal/working"
)

const (
	handbook      = "ASHRAE Handbook Fundamentals 2017, chapter 1"
	hylandWexler  = "Hyland and Wexler, ASHRAE Transactions 89(2A) (1983) 500, as in " + handbook + ", equations 5 and 6"
	massBalance   = "balance of a well-mixed room"
	idealGas      = "ideal gas law; R of CODATA 2018"
	definition    = "definition"
	whereVaporIs  = "the equation's range"
	whereThinIs   = "the pressure of the place, to 5,500 m of height; in Pa, not brought to sea level"
	whereAShareIs = "it is a share from 0 to 1, not a percentage"
)

// The ends of the equations, and the triple point, at which they meet.
const (
	leastSaturated = 173.15 // K
	mostSaturated  = 473.15 // K
	triplePoint    = 273.16 // K
)

// SaturationPressure is the pressure in Pa of water vapor over ice below the
// triple point, and over water above it, at t (K): Hyland and Wexler 1983. It
// holds from 173.15 to 473.15 K; elsewhere the error is a working.RangeError.
//
// Package steam has a better equation for water, which is not used here: the
// tables and instruments of moist air rest on this one, it has ice as its other
// half, and the two meet at the triple point within 1e-8, so that a dew point
// that falls below freezing makes no jump. From 0 to 100 °C it is at most 0.02 %
// below that of steam, a tenth of what a good humidity meter can tell.
//
// Below freezing, relative humidity here is over ice. Many instruments show it
// over supercooled water, which is 5 % less at −5 °C and 10 % less at −10 °C.
func SaturationPressure(t float64) (float64, error) {
	if err := working.Within("temperature of air", "K", t, leastSaturated, mostSaturated, whereVaporIs); err != nil {
		return 0, err
	}
	return math.Exp(lnSaturation(t)), nil
}

// lnSaturation is the logarithm of the saturation pressure in Pa. The
// conversions keep products from being fused with sums on processors that can,
// for the same bits everywhere.
func lnSaturation(t float64) float64 {
	if t <= triplePoint {
		p := -9.4840240e-13
		for _, c := range []float64{2.0747825e-9, 6.2215701e-7, -9.6778430e-3, 6.3925247} {
			p = float64(p*t) + c
		}
		return -5.6745359e3/t + p + float64(4.1635019*math.Log(t))
	}
	p := -1.4452093e-8
	for _, c := range []float64{4.1764768e-5, -4.8640239e-2, 1.3914993} {
		p = float64(p*t) + c
	}
	return -5.8002206e3/t + p + float64(6.5459673*math.Log(t))
}

// DewPointOf is the temperature in K at which vapor of the pressure p_v (Pa)
// begins to condense, or below freezing to settle as frost: the inverse of
// SaturationPressure, to 1e-9 K. It holds from 0.0014 Pa to 1.55 MPa.
func DewPointOf(vapor float64) (float64, error) {
	least, most := math.Exp(lnSaturation(leastSaturated)), math.Exp(lnSaturation(mostSaturated))
	if err := working.Within("pressure of water vapor", "Pa", vapor, least, most, "drier or wetter air has no dew point in the equation's range"); err != nil {
		return 0, err
	}
	ln := math.Log(vapor)
	return bisect(leastSaturated, mostSaturated, func(t float64) bool { return lnSaturation(t) < ln }), nil
}

// bisect finds where below turns from true to false between two temperatures,
// to 1e-9 K.
func bisect(low, high float64, below func(t float64) bool) float64 {
	for high-low > 1e-9 {
		middle := low + (high-low)/2
		if below(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2
}

func one(f func(float64) (float64, error)) working.Function {
	return working.Exactly(1, func(args ...float64) (float64, error) { return f(args[0]) })
}
