// Package lethality knows what time at a temperature does to spores in moist
// heat: the lethal rate, the F value of a run, and how many spores and vessels
// outlive it.
//
// Everything here is the log-linear law of Bigelow (1921) as thermal processing
// uses it (Stumbo, Thermobacteriology in Food Processing, 1973): at one
// temperature each D kills nine tenths, and z more kelvins make D ten times
// shorter. It holds for moist heat only; in substrate that is drier than 30 %
// an F value means nothing. Times are in s, temperatures in K, pages print
// minutes. What it says is about a crop and its contamination, never about food.
package lethality

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/unit"
)

// Scale is what an F value is counted in: minutes of what they would do at the
// reference temperature, for an organism with that z.
type Scale struct {
	Reference unit.Temperature // K
	Z         float64          // K for a factor of ten in D
}

// F0 is the scale of F0: 121.1 °C and 10 K, the convention of the retort
// tables. Pharmaceutical texts use 121.0 °C, 2.3 % more for the same heat, so a
// reference is always said.
var F0 = Scale{Reference: unit.FromCelsius(121.1), Z: 10}

// IsF0 tells whether values of the scale may be called F0: z is 10 K, and the
// reference is 121.1 °C or the 250 °F (121.11 °C) that it was rounded from. The
// two are 0.26 % apart in F.
func (s Scale) IsF0() bool {
	const slack = 1e-6 // K, for temperatures that are equal in decimals only
	c := s.Reference.Celsius()
	return c >= 121.1-slack && c <= (250.0-32)*5/9+slack && math.Abs(s.Z-10) <= slack
}

// The temperatures that an F value takes, in K. Cold ones add next to nothing,
// so the law may be used far below what it was measured at. Above 150 °C no
// table of lethal rates goes and no vessel of this trade does: a hotter
// reading is a fault of the probe, and would outweigh the whole run
// (a design choice).
const (
	leastTemperature = 0
	MostTemperature  = 423.15
)

// RangeError is a value for which the law has no meaning.
type RangeError struct {
	Quantity string  // what was out of range: "temperature", "z", "D"
	Unit     string  // of the figures below
	Found    float64 // SI
	Least    float64 // lowest value that the law takes, itself excluded
	Most     float64 // highest value that the law takes
}

func (e RangeError) Error() string {
	return fmt.Sprintf("lethality: %s %v %s is outside %v to %v %s, where the law holds",
		e.Quantity, e.Found, e.Unit, e.Least, e.Most, e.Unit)
}

// within returns a RangeError for a value that is not above least or not up to
// most, NaN included.
func within(quantity, unit string, found, least, most float64) error {
	if found > least && found <= most {
		return nil
	}
	return RangeError{quantity, unit, found, least, most}
}

// aboveZero returns a RangeError for a value that is not a finite one above zero.
func aboveZero(quantity, unit string, found float64) error {
	return within(quantity, unit, found, 0, math.MaxFloat64)
}

func (s Scale) check() error {
	if err := aboveZero("z", "K", s.Z); err != nil {
		return err
	}
	return within("reference temperature", "K", float64(s.Reference), leastTemperature, MostTemperature)
}

// rate is the lethal rate at t (K), unchecked; the law Rate in the same steps.
func (s Scale) rate(t float64) float64 {
	return math.Pow(10, (t-float64(s.Reference))/s.Z)
}

// Point is one reading: a temperature at a time.
type Point struct {
	Seconds float64 // since any moment; the first point need not be at 0
	Kelvin  float64
}

// SeriesError is a reading of a series that cannot follow the one before it.
type SeriesError struct {
	Index  int     // of the reading, from 0
	Found  float64 // its time, s
	Before float64 // time of the reading before it, s; -Inf for the first
}

func (e SeriesError) Error() string {
	return fmt.Sprintf("lethality: reading %d is at %v s, after one at %v s; times must be finite and must not go back",
		e.Index, e.Found, e.Before)
}

// ToTheEnd, as the time until which F counts, counts cool-down too.
var ToTheEnd = math.Inf(1)

// F is the time in s at the scale's reference temperature that does as much as
// a series of readings: the integral of the lethal rate by the trapezoid, the
// rate being a straight line between two readings. Two readings at one time are
// a step. It counts until that time (s, in the series' own clock), so that
// cool-down counts only where somebody asks for it: give the end of the hold,
// or ToTheEnd. Fewer than two readings last no time and give 0.
//
// Where readings ΔT apart lie on a straight ramp the trapezoid is too high by
// the share (ln 10 · ΔT/z)²/12: 0.4 % for 1 K and a z of 10 K.
func F(series []Point, s Scale, until float64) (float64, error) {
	var sum Sum
	sum.Scale, sum.Until = s, until
	for _, p := range series {
		if err := sum.Add(p); err != nil {
			return 0, err
		}
	}
	return sum.F, nil
}

// Sum counts an F value as readings come in; F in one go is the same sum. Set
// Scale and Until (s; ToTheEnd for no end) before the first reading.
type Sum struct {
	Scale Scale
	Until float64 // s
	F     float64 // s at the reference temperature, so far

	readings int
	last     Point
	rate     float64 // at the last reading
}

// Add takes the next reading. After an error the sum is what it was before.
func (s *Sum) Add(p Point) error {
	if s.readings == 0 {
		if err := s.Scale.check(); err != nil {
			return err
		}
		if math.IsNaN(s.Until) {
			return RangeError{"end of the count", "s", s.Until, math.Inf(-1), math.Inf(1)}
		}
		s.last.Seconds = math.Inf(-1)
	}
	if math.IsNaN(p.Seconds) || math.IsInf(p.Seconds, 0) || p.Seconds < s.last.Seconds {
		return SeriesError{s.readings, p.Seconds, s.last.Seconds}
	}
	if err := within("temperature", "K", p.Kelvin, leastTemperature, MostTemperature); err != nil {
		return fmt.Errorf("reading %d: %w", s.readings, err)
	}
	rate := s.Scale.rate(p.Kelvin)
	if s.readings > 0 && s.last.Seconds < s.Until {
		span := p.Seconds - s.last.Seconds
		counted, end := span, rate
		if p.Seconds > s.Until {
			counted = s.Until - s.last.Seconds
			end = s.rate + float64((rate-s.rate)*(counted/span))
		}
		s.F += float64(counted * (s.rate + end) / 2)
	}
	s.readings++
	s.last, s.rate = p, rate
	return nil
}
