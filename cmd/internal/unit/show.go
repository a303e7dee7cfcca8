package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is how pages print amounts: in which units, and with which sign before
// decimals. Two of them are equal where they print alike.
type System struct {
	us    bool
	comma bool
	times string // what a factor is called, "" for "times"
}

// The two sets of units, with the decimal point. A farm file may mix units freely; a
// page never does.
var (
	Metric = System{}
	US     = System{us: true}
)

// ParseSystem reads "metric" or "us".
func ParseSystem(s string) (System, error) {
	switch s {
	case "metric":
		return Metric, nil
	case "us":
		return US, nil
	}
	return Metric, fmt.Errorf("unit: %q is neither metric nor us", s)
}

// WithComma prints the same units with a decimal comma.
func (s System) WithComma() System { s.comma = true; return s }

// WithTimes prints a factor with that word behind it: no other unit is a word, and the
// signs of all others are the same in all languages.
func (s System) WithTimes(word string) System { s.times = word; return s }

// WithPoint prints the same units with a decimal point.
func (s System) WithPoint() System { s.comma = false; return s }

// HasComma reports whether it prints a decimal comma.
func (s System) HasComma() bool { return s.comma }

// Times is what a factor is called, "" for "times".
func (s System) Times() string { return s.times }

// IsUS reports whether it prints in US customary units.
func (s System) IsUS() bool { return s.us }

func (s System) String() string {
	if s.us {
		return "us"
	}
	return "metric"
}

// decimal puts the system's sign before the decimals of a number.
func (s System) decimal(number string) string {
	if s.comma {
		return strings.Replace(number, ".", ",", 1)
	}
	return number
}

// Decimal puts the system's sign before the decimals of a number that is written with a
// point.
func (s System) Decimal(number string) string { return s.decimal(number) }

// Space joins a number and its unit: a no-break space, so that no line ends
// between them.
const Space = "\u00a0"

// shown lists, per set of units and kind, the units that are printed: the unit is
// the last one whose floor the magnitude reaches.
type shown struct {
	floor float64 // SI magnitude from which this unit is used
	name  string
}

var shownUnits = map[bool]map[Kind][]shown{
	false: {
		MassOf:                {{0, "g"}, {1, "kg"}},
		VolumeOf:              {{0, "mL"}, {1e-3, "L"}, {10, "m³"}},
		LengthOf:              {{0, "mm"}, {1, "m"}},
		AreaOf:                {{0, "m²"}},
		TemperatureOf:         {{0, "°C"}},
		TemperatureDifference: {{0, "K"}},
		GaugePressureOf:       {{0, "kPa"}},
		AbsolutePressureOf:    {{0, "kPa"}},
		DensityOf:             {{0, "kg/L"}},
		LightOf:               {{0, "lx"}},
		AirFlowOf:             {{0, "m³/h"}},
		WaterFlowOf:           {{0, "L/h"}},
		MassFlowOf:            {{0, "g/h"}},
		RespirationOf:         {{0, "mg/(kg·h)"}},
		HumidityRatioOf:       {{0, "g/kg"}},
		SpecificVolumeOf:      {{0, "m³/kg"}},
		SpecificEnergyOf:      {{0, "kJ/kg"}},
		SpeedOf:               {{0, "m/s"}},
	},
	true: { // US
		MassOf:                {{0, "oz"}, {pound, "lb"}},
		VolumeOf:              {{0, "fl oz"}, {gallon / 4, "qt"}, {gallon, "gal"}, {3, "ft³"}},
		LengthOf:              {{0, "in"}, {yard, "ft"}},
		AreaOf:                {{0, "ft²"}},
		TemperatureOf:         {{0, "°F"}},
		TemperatureDifference: {{0, "°F"}},
		GaugePressureOf:       {{0, "psi"}},
		AbsolutePressureOf:    {{0, "psia"}},
		DensityOf:             {{0, "lb/ft³"}},
		LightOf:               {{0, "fc"}},
		AirFlowOf:             {{0, "cfm"}},
		WaterFlowOf:           {{0, "gal/d"}},
		MassFlowOf:            {{0, "oz/h"}},
		RespirationOf:         {{0, "mg/(lb·h)"}},
		HumidityRatioOf:       {{0, "gr/lb"}},
		SpecificVolumeOf:      {{0, "ft³/lb"}},
		SpecificEnergyOf:      {{0, "Btu/lb"}},
		SpeedOf:               {{0, "ft/min"}},
	},
}

// bothSystems are kinds printed alike everywhere.
var bothSystems = map[Kind][]shown{
	TimeOf:          {{0, "s"}, {Minute, "min"}, {3 * Hour, "h"}, {Day, "d"}},
	ShareOf:         {{0, "%"}},
	PowerOf:         {{0, "W"}, {1000, "kW"}},
	PartsPerMillion: {{0, "ppm"}},
	EnergyOf:        {{0, "kWh"}},
	SpecificHeatOf:  {{0, "kJ/(kg·K)"}},
	HeatCapacityOf:  {{0, "MJ/(m³·K)"}},
	ConductivityOf:  {{0, "W/(m·K)"}},
	ConductanceOf:   {{0, "W/(m²·K)"}},

	AirChangesOf:          {{0, "/h"}},
	MolarVolumeOf:         {{0, "L/mol"}},
	MolarMassOf:           {{0, "g/mol"}},
	MolarEnergyOf:         {{0, "kJ/mol"}},
	SurfaceResistanceOf:   {{0, "m²·K/W"}},
	WaterOfHeatOf:         {{0, "kg/kWh"}},
	PartsPerMillionAnHour: {{0, "ppm/h"}},
	WaterLossOf:           {{0, "g/(kg·h)"}},
	FactorOf:              {{0, "times"}},
	RateOf:                {{0, "/min"}},
	SoundLevelOf:          {{0, "dB(A)"}},
}

// UnitFor returns the unit in which a value of that size is printed.
// It is "" for kinds without a unit.
func UnitFor(k Kind, si float64, sys System) string {
	list := bothSystems[k]
	if list == nil {
		list = shownUnits[sys.us][k]
	}
	name := ""
	for _, s := range list {
		// A hair under the floor counts as on it: 1 kg computed as
		// 0.9999999999 kg is printed in kg.
		if math.Abs(si) >= s.floor*(1-1e-9) {
			name = s.name
		}
	}
	return name
}

// In converts an SI value to the named unit of its kind. A name that the kind
// does not have is a programmer's error and panics.
func In(k Kind, si float64, name string) float64 {
	if name == "" {
		return si
	}
	s, ok := find(k, name)
	if !ok {
		panic("unit: no unit " + name + " for a " + k.String())
	}
	v := si - s.offset
	switch s.factor {
	case 1e-2:
		return v * 100
	case 1e-3:
		return v * 1000
	case 1e-6:
		return v * 1e6
	}
	return v / s.factor
}

// SizeOf returns one unit of that name in SI: SizeOf(MassOf, "lb") = 0.45….
// For temperatures it is the size of a degree.
func SizeOf(k Kind, name string) float64 {
	if name == "" {
		return 1
	}
	s, ok := find(k, name)
	if !ok {
		panic("unit: no unit " + name + " for a " + k.String())
	}
	return s.factor
}

// Show prints a value in the system's usual unit, to the given number of
// significant digits; trailing zeros are dropped. A value is never shown as
// a power of ten.
func Show(k Kind, si float64, sys System, digits int) string {
	name := UnitFor(k, si, sys)
	return join(sys.decimal(trimZeros(significant(In(k, si, name), digits))), sys.called(k, name))
}

// ShowIn prints a value in the named unit to a step in SI, as an instrument
// reads it: with a step of 10 g, 41.234 kg is "41.23 kg". All decimals of the
// step are shown.
func (s System) ShowIn(k Kind, si float64, name string, step float64) string {
	return join(s.Number(In(k, si, name), step/SizeOf(k, name)), s.called(k, name))
}

// called is what a unit is called on a page.
func (s System) called(k Kind, name string) string {
	if k == FactorOf && s.times != "" {
		return s.times
	}
	return name
}

// Number prints a plain number to a step, with the decimals of the step.
func (s System) Number(x, step float64) string {
	if step <= 0 {
		return s.decimal(trimZeros(significant(x, 6)))
	}
	return s.decimal(minus(strconv.FormatFloat(Nearest(x/step)*step, 'f', decimals(step), 64)))
}

// Grouped sets the digits of a whole number in groups of three, from five digits on,
// with a space that no line ends at: neither comma nor point, which mean another thing
// in another country (SI Brochure, 9th edition, 5.4.4).
func Grouped(digits string) string {
	if len(digits) < 5 {
		return digits
	}
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + Space + digits[i:]
	}
	return digits
}

// decimals is how many digits behind the point a step of that size needs:
// 0.25 needs two, 5 needs none.
func decimals(step float64) int {
	for d := 0; d < 9; d++ {
		p := step * math.Pow10(d)
		if math.Abs(p-math.Round(p)) < 1e-6 && math.Round(p) > 0 {
			return d
		}
	}
	return 9
}

func significant(x float64, digits int) string {
	if x == 0 {
		return "0"
	}
	d := digits - 1 - int(Down(math.Log10(math.Abs(x))))
	if d < 0 {
		p := math.Pow10(-d)
		return strconv.FormatFloat(Nearest(x/p)*p, 'f', 0, 64)
	}
	return fixed(x, d)
}

// fixed prints a number with so many digits behind the point.
func fixed(x float64, decimals int) string {
	p := math.Pow10(decimals)
	return strconv.FormatFloat(Nearest(x*p)/p, 'f', decimals, 64)
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return minus(s)
}

// minus writes a true minus sign, and no sign before a zero.
func minus(s string) string {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return "−" + rest
	}
	return s
}

func join(number, name string) string {
	if name == "" {
		return number
	}
	return number + Space + name
}

// Money prints an amount of money with two decimals.
func (s System) Money(amount float64, currency string) string {
	return join(s.decimal(minus(fixed(amount, 2))), currency)
}

// NiceStep is the smallest step of 1, 2 or 5 times a power of ten of the
// named unit that is no finer than the given step (SI). A scale that reads
// 10 g is used in steps of 0.05 lb when a page is printed in pounds: a finer
// figure could not be weighed.
func NiceStep(k Kind, step float64, name string) float64 {
	x := step / SizeOf(k, name)
	p := math.Pow(10, Down(math.Log10(x)))
	for _, m := range []float64{1, 2, 5, 10} {
		if m*p >= x*(1-1e-9) {
			return m * p * SizeOf(k, name)
		}
	}
	return 10 * p * SizeOf(k, name)
}
