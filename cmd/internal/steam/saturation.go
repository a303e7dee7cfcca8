// Package steam knows saturated steam and the air above it: at what temperature
// water boils under a pressure, what pressure the standard atmosphere has at a
// height, and so how hot a pressure vessel gets for a reading of its dial.
//
// Saturation is region 4 of IAPWS R7-97(2012), "Revised Release on the IAPWS
// Industrial Formulation 1997 for the Thermodynamic Properties of Water and
// Steam" (IF97). Every temperature is in K, every pressure in Pa; a pressure is
// absolute unless its name says gauge.
package steam

import (
	"fmt"
	"math"
)

// RangeError is a value outside the range in which a relation holds.
type RangeError struct {
	Quantity string  // what was out of range: "temperature", "pressure", "height"
	Unit     string  // of the figures below
	Found    float64 // SI
	Least    float64 // lowest value that the relation takes
	Most     float64 // highest value that the relation takes
}

func (e RangeError) Error() string {
	return fmt.Sprintf("steam: %s %v %s is outside %v to %v %s, where the relation holds",
		e.Quantity, e.Found, e.Unit, e.Least, e.Most, e.Unit)
}

// within returns a RangeError for a value outside the range, NaN included.
func within(quantity, unit string, found, least, most float64) error {
	if found >= least && found <= most {
		return nil
	}
	return RangeError{quantity, unit, found, least, most}
}

// The ends of the saturation line: from 0 °C, a hair under the triple point, to
// the critical point (IAPWS R7-97, region 4).
const (
	leastTemperature = 273.15  // K
	mostTemperature  = 647.096 // K
)

// The pressures there, 611.213 Pa and 22.064 MPa, are taken from the equation
// itself, so that the way up and the way back have the same ends.
var (
	leastPressure = saturationPressure(leastTemperature)
	mostPressure  = saturationPressure(mostTemperature)
)

// n holds the coefficients n1 to n10 of IAPWS R7-97, Table 34.
var n = [11]float64{0,
	0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
	-0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,
	-0.23855557567849, 0.65017534844798e3,
}

// SaturationPressure is the pressure in Pa under which water boils at t (K):
// IAPWS R7-97(2012), Eq. 30. It holds from 273.15 to 647.096 K; elsewhere the
// error is a RangeError.
func SaturationPressure(t float64) (float64, error) {
	if err := within("temperature", "K", t, leastTemperature, mostTemperature); err != nil {
		return 0, err
	}
	return saturationPressure(t), nil
}

// SaturationTemperature is the temperature in K at which water boils under p
// (Pa): IAPWS R7-97(2012), Eq. 31, the exact inverse of Eq. 30. It holds from
// 611.213 Pa to 22.064 MPa; elsewhere the error is a RangeError.
func SaturationTemperature(p float64) (float64, error) {
	if err := within("pressure", "Pa", p, leastPressure, mostPressure); err != nil {
		return 0, err
	}
	b := math.Sqrt(math.Sqrt(p / megapascal))
	e := quadratic(b, 1, n[3], n[6])
	f := quadratic(b, n[1], n[4], n[7])
	g := quadratic(b, n[2], n[5], n[8])
	d := 2 * g / (-f - math.Sqrt(float64(f*f)-float64(4*e*g)))
	s := n[10] + d
	return (s - math.Sqrt(float64(s*s)-4*(n[9]+float64(n[10]*d)))) / 2, nil
}

func saturationPressure(t float64) float64 {
	v := t + n[9]/(t-n[10])
	a := quadratic(v, 1, n[1], n[2])
	b := quadratic(v, n[3], n[4], n[5])
	c := quadratic(v, n[6], n[7], n[8])
	r := 2 * c / (-b + math.Sqrt(float64(b*b)-float64(4*a*c)))
	return float64(r*r) * float64(r*r) * megapascal
}

// megapascal is the pressure unit of the IAPWS equations, in Pa.
const megapascal = 1e6

// quadratic is a·x² + b·x + c. The conversions keep products from being fused
// with sums on processors that can, for the same bits everywhere.
func quadratic(x, a, b, c float64) float64 {
	return float64(a*float64(x*x)) + float64(b*x) + c
}
