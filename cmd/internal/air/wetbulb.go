package air

import (
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
	w, err := ratioOfWetBulb(t, wet, p, wet < freezing)
	if err != nil {
		return 0, err
	}
	return w, working.Within("humidity ratio from the wet bulb", "", w, 0, 1, "no air is so dry: is the wick wet and in moving air?")
}

func ratioOfWetBulb(t, wet, p float64, iced bool) (float64, error) {
	vapor, err := SaturationPressure(wet)
	if err != nil {
		return 0, err
	}
	full, err := HumidityRatio.At(map[string]float64{"p_v": vapor, "p": p})
	if err != nil {
		return 0, err
	}
	// In °C and kJ/kg, as the equations are printed.
	air, bulb := t-freezing, wet-freezing
	if iced {
		return ((2830-0.24*bulb)*full - 1.006*(air-bulb)) / (2830 + 1.86*air - 2.1*bulb), nil
	}
	return ((2501-2.326*bulb)*full - 1.006*(air-bulb)) / (2501 + 1.86*air - 4.186*bulb), nil
}

// WetBulbOf is the wet-bulb temperature in K of air of t (K), the humidity ratio
// w and the pressure p (Pa), to 1e-9 K: the inverse of RatioOfWetBulb. Where a
// wet wick and an iced one are both possible (a bulb within about 1 K below
// freezing), it is the wet one. Fog is an error.
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
	low, high, iced := min(dew, t), t, t < freezing
	if !iced && low < freezing {
		atZero, err := ratioOfWetBulb(t, freezing, p, false)
		if err != nil {
			return 0, err
		}
		if iced = w < atZero; iced {
			high = freezing
		} else {
			low = freezing
		}
	}
	return bisect(low, high, func(wet float64) bool {
		x, e := ratioOfWetBulb(t, wet, p, iced)
		if e != nil && err == nil {
			err = e
		}
		return x < w
	}), err
}
