package air

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/working"
)

var (
	saturation = one(SaturationPressure)
	humidity   = working.Between("relative humidity", "", 0, 1, whereAShareIs)
	warmth     = working.Between("temperature of air", "K", leastSaturated, mostSaturated, whereVaporIs)
	around     = working.Between("pressure of the air", "Pa", 50e3, 110e3, whereThinIs)
	ratio      = working.Between("humidity ratio", "", 0, 1, "kg of water in a kg of dry air")
)

// dryPart is what dry air has of the pressure p where vapor has p_v.
var dryPart = working.Exactly(2, func(args ...float64) (float64, error) {
	p, vapor := args[0], args[1]
	if _, err := around(p); err != nil {
		return 0, err
	}
	if err := working.Within("pressure of water vapor", "Pa", vapor, 0, p/2, "moist air is mostly air"); err != nil {
		return 0, err
	}
	return p - vapor, nil
})

// Saturation is the pressure in Pa of saturated vapor at T (K), over ice below
// the triple point; range as SaturationPressure.
var Saturation = working.NewLaw("saturation(T)", hylandWexler,
	map[string]working.Function{"saturation": saturation})

// VaporPressure is the pressure in Pa of the vapor in air of T (K) and the
// relative humidity RH (0 to 1).
var VaporPressure = working.NewLaw("share(RH) * saturation(T)", hylandWexler,
	map[string]working.Function{"share": humidity, "saturation": saturation})

// RelativeHumidity is the share from 0 of the saturation pressure at T (K) that
// the vapor's pressure p_v (Pa) is. Above 1 it would be fog.
var RelativeHumidity = working.NewLaw("p_v / saturation(T)", hylandWexler,
	map[string]working.Function{"saturation": saturation})

// Deficit is the vapor pressure deficit in Pa: how much more vapor air of T (K)
// could take up that has p_v (Pa).
var Deficit = working.NewLaw("saturation(T) - p_v", definition,
	map[string]working.Function{"saturation": saturation})

// HumidityRatio is the water in kg in a kg of dry air where vapor has p_v (Pa)
// of the pressure p (Pa); dry(p, p_v) is what is left for the air, p - p_v. Of
// ideal gases: 0.5 % low at 25 °C and 0.6 % at 50 °C, saturated at sea
// level (table 2 of the Handbook). From 50 to 110 kPa, with vapor at most half.
var HumidityRatio = working.NewLaw("0.621945 * p_v / dry(p, p_v)", handbook+", equation 20",
	map[string]working.Function{"dry": dryPart})

// VaporOfRatio is the pressure in Pa of the vapor in air of the humidity ratio
// W at the pressure p (Pa): the inverse of HumidityRatio.
var VaporOfRatio = working.NewLaw("pressure(p) * ratio(W) / (0.621945 + W)", handbook+", equation 20 solved for the vapor",
	map[string]working.Function{"pressure": around, "ratio": ratio})

// DewPoint is the temperature in K at which a surface gets wet (or frosted) in
// air whose vapor has p_v (Pa); range as DewPointOf.
var DewPoint = working.NewLaw("dew_point(p_v)", hylandWexler+", solved for the temperature",
	map[string]working.Function{"dew_point": one(DewPointOf)})

// Enthalpy is the heat in J in a kg of dry air and its water at T (K) and the
// humidity ratio W, counted from dry air and water at 0 °C.
var Enthalpy = working.NewLaw("1006 * (warmth(T) - 273.15) + ratio(W) * (2501000 + 1860 * (T - 273.15))", handbook+", equation 30",
	map[string]working.Function{"warmth": warmth, "ratio": ratio})

// SpecificVolume is the room in m³ that a kg of dry air takes with its water,
// at T (K), the humidity ratio W and the pressure p (Pa).
var SpecificVolume = working.NewLaw("287.042 * warmth(T) * (1 + 1.607858 * ratio(W)) / pressure(p)", handbook+", equation 26",
	map[string]working.Function{"warmth": warmth, "ratio": ratio, "pressure": around})

// Density is the mass in kg of a m³ of moist air that has the humidity ratio W
// and takes v (m³) a kg of dry air.
var Density = working.NewLaw("(1 + ratio(W)) / v", handbook+", equation 9b",
	map[string]working.Function{"ratio": ratio})

// HeatCapacity is what it takes in J to warm a kg of dry air and its water by
// 1 K, at the humidity ratio W.
var HeatCapacity = working.NewLaw("1006 + 1860 * ratio(W)", handbook+", equation 30",
	map[string]working.Function{"ratio": ratio})

// WetBulb is the thermodynamic wet-bulb temperature in K of air of T (K), the
// humidity ratio W and the pressure p (Pa). A thermometer with a wet wick in
// air of 3 m/s or more shows it nearly.
var WetBulb = working.NewLaw("wet_bulb(T, W, p)", handbook+", equations 33 and 35, solved for the wet bulb",
	map[string]working.Function{"wet_bulb": working.Exactly(3, func(args ...float64) (float64, error) {
		return WetBulbOf(args[0], args[1], args[2])
	})})

// RatioFromWetBulb is the humidity ratio of air of T (K) and the pressure p
// (Pa) whose wet bulb shows T_wb (K).
var RatioFromWetBulb = working.NewLaw("ratio_from_wet_bulb(T, T_wb, p)", handbook+", equations 33 and 35",
	map[string]working.Function{"ratio_from_wet_bulb": working.Exactly(3, func(args ...float64) (float64, error) {
		return RatioOfWetBulb(args[0], args[1], args[2])
	})})

// State is moist air in full.
type State struct {
	Temperature      float64 // K
	RelativeHumidity float64 // 0 to 1
	Pressure         float64 // Pa
	VaporPressure    float64 // Pa
	HumidityRatio    float64 // kg of water in a kg of dry air
	DewPoint         float64 // K
	WetBulb          float64 // K
	Enthalpy         float64 // J in a kg of dry air and its water
	Volume           float64 // m³ of a kg of dry air and its water
	Density          float64 // kg of moist air in a m³
}

// At is air of the temperature t (K), the relative humidity rh (above 0, to 1)
// and the pressure p (Pa), worked out by the laws of this package.
func At(t, rh, p float64) (State, error) {
	s := State{Temperature: t, RelativeHumidity: rh, Pressure: p}
	type inputs = map[string]float64
	for _, step := range []struct {
		to  *float64
		law *working.Law
		in  func() inputs
	}{
		{&s.VaporPressure, VaporPressure, func() inputs { return inputs{"RH": rh, "T": t} }},
		{&s.HumidityRatio, HumidityRatio, func() inputs { return inputs{"p_v": s.VaporPressure, "p": p} }},
		{&s.DewPoint, DewPoint, func() inputs { return inputs{"p_v": s.VaporPressure} }},
		{&s.WetBulb, WetBulb, func() inputs { return inputs{"T": t, "W": s.HumidityRatio, "p": p} }},
		{&s.Enthalpy, Enthalpy, func() inputs { return inputs{"T": t, "W": s.HumidityRatio} }},
		{&s.Volume, SpecificVolume, func() inputs { return inputs{"T": t, "W": s.HumidityRatio, "p": p} }},
		{&s.Density, Density, func() inputs { return inputs{"W": s.HumidityRatio, "v": s.Volume} }},
	} {
		v, err := step.law.At(step.in())
		if err != nil {
			return State{}, fmt.Errorf("air of %v K, relative humidity %v, %v Pa: %w", t, rh, p, err)
		}
		*step.to = v
	}
	// Rounding may leave the dew point of saturated air a hair above it.
	s.DewPoint = math.Min(s.DewPoint, t)
	s.WetBulb = math.Min(math.Max(s.WetBulb, s.DewPoint), t)
	return s, nil
}
