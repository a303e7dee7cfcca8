package air

import (
	"math"

	"bottlecrop/cmd/internal/working"
)

// freezing is where the Handbook's equations change from a wet to an iced bulb.
const freezing = 273.15 // K

// RatioOfWetBulb is the humidity ratio of air of t (K) and the pressure p (Pa)
// whose wet bulb shows wet (K): the air that leaves the wick is saturated, and
// the heat that the air gave up is in its vapor (ASHRAE Handbook Fundamentals
// 2017, chapter 1, equation 33; 35 where the wick is ice). A bulb above the air,
// or so far below it that the air would hold less than no water, is an error.
func RatioOfWetBulb(t, wet, p float64) (float64, error) {
	if err := working.Within("wet-bulb temperature", "K", wet, leastSaturated, t, "a wet bulb is never warmer than the air"); err != nil {
		return 0, err
	}
	if _, err := warmth(t); err != nil {
		return 0, err
	}
	full, err := saturatedRatio(wet, p)
	if err != nil {
		return 0, err
	}
	w := ratioOfWetBulb(t, wet, full, wet < freezing)
	return w, working.Within("humidity ratio from the wet bulb", "", w, 0, 1, "no air is so dry: is the wick wet and in moving air?")
}

// saturatedRatio is the humidity ratio of saturated air of t (K) at the pressure p (Pa).
func saturatedRatio(t, p float64) (float64, error) {
	return HumidityRatio.At(map[string]float64{"p_v": math.Exp(lnSaturation(t)), "p": p})
}

// ratioOfWetBulb is the humidity ratio of air of t (K) whose wick, wet or iced, has
// wet (K), where saturated air has the humidity ratio full.
func ratioOfWetBulb(t, wet, full float64, iced bool) float64 {
	// In °C and kJ/kg, as the equations are printed.
	air, bulb := t-freezing, wet-freezing
	if iced {
		return ((2830-0.24*bulb)*full - 1.006*(air-bulb)) / (2830 + 1.86*air - 2.1*bulb)
	}
	return ((2501-2.326*bulb)*full - 1.006*(air-bulb)) / (2501 + 1.86*air - 4.186*bulb)
}

// WetBulbOf is the wet-bulb temperature in K of air of t (K), the humidity ratio
// w and the pressure p (Pa), to 1e-9 K: the inverse of RatioOfWetBulb. Where a
// wet wick and an iced one are both possible (a bulb within about 1 K below
// freezing), it is the wet one. Fog is an error, and so is air at whose wick more than
// half of the pressure would be vapor's, or that is too dry for DewPointOf.
func WetBulbOf(t, w, p float64) (float64, error) {
	vapor, err := VaporOfRatio.At(map[string]float64{"W": w, "p": p})
	if err != nil {
		return 0, err
	}
	full, err := SaturationPressure(t)
	if err != nil {
		return 0, err
	}
	if err := working.Within("pressure of water vapor", "Pa", vapor, 0, full*(1+1e-9), "air holds no more at its temperature"); err != nil {
		return 0, err
	}
	dew, err := DewPointOf(vapor)
	if err != nil {
		return 0, err
	}
	// Air at a wick so warm that more than half of it would be vapor holds more water
	// than is asked for: the bulb is colder.
	under := func(wet float64, iced bool) bool {
		full, err := saturatedRatio(wet, p)
		return err == nil && ratioOfWetBulb(t, wet, full, iced) <= w
	}
	low, high, iced := min(dew, t), t, t < freezing
	if !iced && low < freezing {
		if iced = !under(freezing, false); iced {
			high = freezing
		} else {
			low = freezing
		}
	}
	wet := bisect(low, high, func(wet float64) bool { return under(wet, iced) })
	// Where only a bulb beyond that would do, the search ends at its edge.
	_, err = saturatedRatio(wet+1e-8, p)
	return wet, err
}
