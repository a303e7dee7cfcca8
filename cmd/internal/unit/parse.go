package unit

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
)

// Fault says why a written quantity was refused.
type Fault uint8

// The reasons for refusal.
const (
	NoUnit      Fault = iota + 1 // a number alone: "15"
	UnknownUnit                  // a unit that the program does not know: "15 stone"
	OtherKind                    // a unit of something else: "15 kg" where a time is needed
	NotANumber                   // no plain decimal number in front: "about 15 psi"
	NotFinite                    // NaN or infinity
)

// Error is a written quantity that was refused. Its fields are for a message
// in the reader's own words; Error() is for developers.
type Error struct {
	Fault Fault
	Kind  Kind   // what was needed
	Text  string // what was found
	Unit  string // the unit part of what was found
	Other Kind   // for OtherKind: what that unit measures
}

func (e *Error) Error() string {
	return fmt.Sprintf("unit: %q is not a %s such as %q", e.Text, e.Kind, e.Kind.Example())
}

// A number is a plain decimal: no exponent, no digit grouping, no decimal
// comma. Each of those is read differently somewhere, and a recipe that is
// read differently is a spoiled batch.
var quantityPattern = regexp.MustCompile(`^([+\-−]?)(\d+(?:\.\d+)?|\.\d+)\s*(.*)$`)

var notFinitePattern = regexp.MustCompile(`(?i)^[+\-−]?(nan|inf|infinity)\b`)

// Parse reads a number with its unit and returns it in SI units.
// Errors are always *Error.
func Parse(k Kind, text string) (float64, error) {
	x, name, err := split(k, text)
	if err != nil {
		return 0, err
	}
	if name == "" {
		return 0, &Error{Fault: NoUnit, Kind: k, Text: text}
	}
	s, ok := find(k, name)
	if !ok {
		if other, known := kindOf(name); known {
			return 0, &Error{Fault: OtherKind, Kind: k, Text: text, Unit: name, Other: other}
		}
		return 0, &Error{Fault: UnknownUnit, Kind: k, Text: text, Unit: name}
	}
	v := scale(x, s.factor) + s.offset
	if math.IsInf(v, 0) {
		return 0, &Error{Fault: NotFinite, Kind: k, Text: text}
	}
	return v, nil
}

// scale multiplies, or divides by the exact inverse where the factor is a
// negative power of ten: 0.01 is not a binary fraction, and 65·0.01 is one bit
// off 0.65 while 65/100 is not. The product is rounded by itself, so that the
// value of a file, and its fingerprint, are the same on a processor that fuses it
// with what is added.
func scale(x, factor float64) float64 {
	switch factor {
	case 1e-2:
		return x / 100
	case 1e-3:
		return x / 1000
	case 1e-6:
		return x / 1e6
	}
	return float64(x * factor)
}

// split cuts a written quantity into its number and its unit.
func split(k Kind, text string) (float64, string, error) {
	t := strings.TrimSpace(strings.ReplaceAll(strings.ReplaceAll(text, "\u00a0", " "), "\u202f", " "))
	if notFinitePattern.MatchString(t) {
		return 0, "", &Error{Fault: NotFinite, Kind: k, Text: text}
	}
	m := quantityPattern.FindStringSubmatch(t)
	if m == nil {
		return 0, "", &Error{Fault: NotANumber, Kind: k, Text: text}
	}
	x, err := strconv.ParseFloat(m[2], 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, "", &Error{Fault: NotFinite, Kind: k, Text: text}
	}
	if m[1] == "-" || m[1] == "−" {
		x = -x
	}
	name := strings.Join(strings.Fields(m[3]), " ")
	if strings.HasPrefix(name, ",") || strings.HasPrefix(name, ".") {
		return 0, "", &Error{Fault: NotANumber, Kind: k, Text: text}
	}
	return x, name, nil
}

// kindOf finds what a unit measures, for "15 kg is a mass, a time is needed".
// Kinds are tried in their order, so the answer does not depend on map order.
func kindOf(name string) (Kind, bool) {
	kinds := make([]int, 0, len(symbols))
	for k := range symbols {
		kinds = append(kinds, int(k))
	}
	sort.Ints(kinds)
	for _, k := range kinds {
		if _, ok := find(Kind(k), name); ok {
			return Kind(k), true
		}
	}
	return None, false
}

// Money is an amount in a currency (ISO 4217 code).
type Money struct {
	Amount   float64
	Currency string
}

// Price is money per kg, s, J or m³, as its kind says.
type Price struct {
	Amount   float64 // currency per SI unit
	Currency string
}

// The prices by what they are for, so that a reader of files knows which unit
// is to follow the slash.
type (
	MassPrice   Price
	TimePrice   Price
	EnergyPrice Price
	VolumePrice Price
)

// Kind implements Kinded.
func (Money) Kind() Kind { return MoneyOf }

// Kind implements Kinded.
func (MassPrice) Kind() Kind { return PriceOfMass }

// Kind implements Kinded.
func (TimePrice) Kind() Kind { return PriceOfTime }

// Kind implements Kinded.
func (EnergyPrice) Kind() Kind { return PriceOfEnergy }

// Kind implements Kinded.
func (VolumePrice) Kind() Kind { return PriceOfVolume }

var currencyPattern = regexp.MustCompile(`^[A-Z]{3}$`)

// ParseMoney reads "1.20 USD".
func ParseMoney(text string) (Money, error) {
	x, name, err := split(MoneyOf, text)
	switch {
	case err != nil:
		return Money{}, err
	case name == "":
		return Money{}, &Error{Fault: NoUnit, Kind: MoneyOf, Text: text}
	case !currencyPattern.MatchString(name):
		return Money{}, &Error{Fault: UnknownUnit, Kind: MoneyOf, Text: text, Unit: name}
	}
	return Money{x, name}, nil
}

// ParsePrice reads "0.35 USD/kg", "21 USD/h" or "0.16 USD/kWh", as k says.
func ParsePrice(k Kind, text string) (Price, error) {
	x, name, err := split(k, text)
	if err != nil {
		return Price{}, err
	}
	if name == "" {
		return Price{}, &Error{Fault: NoUnit, Kind: k, Text: text}
	}
	currency, per, found := strings.Cut(name, "/")
	factor, ok := perUnits[k][strings.TrimSpace(per)]
	if !found || !ok || !currencyPattern.MatchString(strings.TrimSpace(currency)) {
		return Price{}, &Error{Fault: UnknownUnit, Kind: k, Text: text, Unit: name}
	}
	amount := x / factor
	if math.IsInf(amount, 0) {
		return Price{}, &Error{Fault: NotFinite, Kind: k, Text: text}
	}
	return Price{amount, strings.TrimSpace(currency)}, nil
}

// Step is the smallest step that an instrument shows, together with the unit
// in which it shows it: a gauge with "0.5 psi" is read in psi whatever the
// rest of the farm uses.
type Step struct {
	Size float64 // SI
	Unit string  // as written: "psi", "g", "oz"
}

// ParseStep reads an instrument's step such as "10 g" or "0.5 psi".
func ParseStep(k Kind, text string) (Step, error) {
	v, err := Parse(k, text)
	if err != nil {
		return Step{}, err
	}
	_, name, err := split(k, text)
	return Step{Size: v, Unit: name}, err
}
