package steam

import "math"

// Constants of the U.S. Standard Atmosphere, 1976 (NOAA, NASA, USAF), as
// printed there. Its gas constant is not today's; with another one its tables
// would not be met.
const (
	seaLevelPressure    = 101325.0  // Pa
	seaLevelTemperature = 288.15    // K
	lapse               = 0.0065    // K per geopotential meter, up to 11 km
	standardGravity     = 9.80665   // m/s²
	molarMassOfAir      = 0.0289644 // kg/mol
	gasConstant         = 8.31432   // J/(mol·K)
	earthRadius         = 6356766.0 // m, effective, at 45° of latitude
)

// The layer in which the lapse holds. The standard prints its tables from 5 km
// below the sea to the top of the troposphere.
const (
	leastGeopotential = -5000.0 // m
	mostGeopotential  = 11000.0 // m
)

// Geopotential turns a geometric height z above sea level (m) into the
// geopotential height (m) that the standard atmosphere is written in:
// r·z/(r + z), U.S. Standard Atmosphere 1976, Eq. 18. It is 0.8 m less at 2 km.
func Geopotential(z float64) float64 { return earthRadius * z / (earthRadius + z) }

// StandardPressure is the pressure in Pa of the U.S. Standard Atmosphere 1976
// at the geometric height z (m) above sea level. It holds from −5,000 to
// 11,000 m of geopotential height (−4,996 to 11,019 m geometric). Weather moves
// the true pressure by about ±3 kPa (from memory).
func StandardPressure(z float64) (float64, error) {
	if err := within("height", "m", z, -earthRadius/2, earthRadius); err != nil {
		return 0, err // far outside, and near the pole of the conversion
	}
	return PressureAtGeopotential(Geopotential(z))
}

// PressureAtGeopotential is the pressure in Pa of the U.S. Standard Atmosphere
// 1976 (Eq. 33a) at the geopotential height h (m), −5,000 to 11,000 m.
func PressureAtGeopotential(h float64) (float64, error) {
	if err := within("geopotential height", "m", h, leastGeopotential, mostGeopotential); err != nil {
		return 0, err
	}
	const exponent = standardGravity * molarMassOfAir / (gasConstant * lapse)
	return seaLevelPressure * math.Pow(temperatureAt(h)/seaLevelTemperature, exponent), nil
}

// StandardTemperature is the temperature in K of the U.S. Standard Atmosphere
// 1976 (Eq. 23) at the geometric height z (m) above sea level; range as
// StandardPressure. It is a mean of the middle latitudes over the year, and no
// design value for any place.
func StandardTemperature(z float64) (float64, error) {
	if _, err := StandardPressure(z); err != nil {
		return 0, err
	}
	return temperatureAt(Geopotential(z)), nil
}

// temperatureAt is in K at the geopotential height h (m).
func temperatureAt(h float64) float64 { return seaLevelTemperature - float64(lapse*h) }
