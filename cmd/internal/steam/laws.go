package steam

import (
	"errors"

	"bottlecrop/cmd/internal/working"
)

const (
	saturationSource = "IAPWS R7-97(2012), region 4"
	atmosphereSource = "U.S. Standard Atmosphere, 1976 (NOAA, NASA, USAF)"
)

var (
	standardPressure = one(StandardPressure)
	boiling          = one(SaturationTemperature)
	pressureAt       = one(SaturationPressure)
)

var errOneValue = errors.New("takes one value")

// one makes a law's function of a function of one value; the parser does not
// count the values of functions that it is given, so it is done here.
func one(f func(float64) (float64, error)) working.Function {
	return func(args ...float64) (float64, error) {
		if len(args) != 1 {
			return 0, errOneValue
		}
		return f(args[0])
	}
}

// Atmosphere is the air pressure in Pa that the standard atmosphere has at the
// geometric height z (m) above sea level; range as StandardPressure.
var Atmosphere = working.NewLaw("standard_pressure(z)", atmosphereSource,
	map[string]working.Function{"standard_pressure": standardPressure})

// Boiling is the temperature in K at which water boils under the absolute
// pressure p (Pa); range as SaturationTemperature.
var Boiling = working.NewLaw("boiling(p)", saturationSource,
	map[string]working.Function{"boiling": boiling})

// ChamberAbsolute is the absolute pressure in Pa in a vessel whose dial reads
// p_gauge (Pa above the air around it), where that air has p_air (Pa).
var ChamberAbsolute = working.NewLaw("p_air + p_gauge", "definition", nil)

// ChamberTemperature is the temperature in K of the steam in a vessel whose
// dial reads p_gauge (Pa), in air of p_air (Pa), when the mole fraction y of
// what fills the chamber is air that was not driven out (0 to below 1). Steam
// bears only its own share of the pressure (Dalton), so left air makes a dial
// lie. Well-mixed air is assumed; air that settles is worse. Range as
// SaturationTemperature.
var ChamberTemperature = working.NewLaw("boiling((p_air + p_gauge) * (1 - y))",
	saturationSource+"; Dalton's law of partial pressures",
	map[string]working.Function{"boiling": boiling})

// GaugeNeeded is the reading in Pa that a dial must show for air-free steam of
// temperature T (K) in air of p_air (Pa). It is negative where water boils
// hotter than T in the open. Range as SaturationPressure. It is no permission:
// the vessel's rated pressure decides.
var GaugeNeeded = working.NewLaw("pressure_at(T) - p_air", saturationSource,
	map[string]working.Function{"pressure_at": pressureAt})

// Latent is the heat in J/kg that boils water away at the temperature T (K);
// range as LatentHeat.
var Latent = working.NewLaw("latent_heat(T)", "IAPWS R7-97(2012), regions 1 and 2",
	map[string]working.Function{"latent_heat": one(LatentHeat)})
