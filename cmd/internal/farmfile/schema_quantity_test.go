package farmfile

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/unit"
)

// The number of a quantity as unit.Parse takes it, any but 0, and up to 100.
const (
	anyNumber    = `([0-9]+(\.[0-9]+)?|\.[0-9]+)`
	anySize      = `([0-9]*[1-9][0-9]*(\.[0-9]+)?|[0-9]*\.[0-9]*[1-9][0-9]*)`
	atMostAll    = `(0*(100(\.0+)?|[0-9]{1,2}(\.[0-9]+)?)|\.[0-9]+)`
	blankPattern = "[\\s\u00a0\u202f]"
)

// quantityPattern is a regular expression of what the reader takes for a quantity under
// a key. It knows no bound of a temperature, nor how one unit compares with another.
func quantityPattern(key string, k unit.Kind) string {
	size, sign := anyNumber, `\+?`
	switch {
	case k == unit.ShareOf && !mayExceed[key]:
		size = atMostAll
	case hasSize[key] && k != unit.ShareOf && k != unit.PartsPerMillion && k != unit.TemperatureOf:
		size = anySize
	}
	if mayBeNegative[key] || k == unit.TemperatureOf {
		sign = `[+\-−]?`
	}
	var names []string
	for _, n := range unit.Spellings(k) {
		names = append(names, strings.ReplaceAll(regexp.QuoteMeta(n), " ", blankPattern+"+"))
	}
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	last := "(" + strings.Join(names, "|") + ")"
	switch k {
	case unit.PartsPerMillion: // of which a percentage is a share
		return "^" + blankPattern + "*" + sign + "(" + size + blankPattern + "*ppm|" + atMostAll + blankPattern + "*%)" + blankPattern + "*$"
	case unit.MoneyOf:
		last = "[A-Z]{3}"
	case unit.PriceOfMass, unit.PriceOfTime, unit.PriceOfEnergy, unit.PriceOfVolume:
		last = "[A-Z]{3}" + blankPattern + "*/" + blankPattern + "*" + last
	}
	blanks := blankPattern + "*"
	return "^" + blanks + sign + size + blanks + last + blanks + "$"
}

// unitOf says how a quantity is written.
func (m *schemaMaker) unitOf(f field) string {
	t := f.kind
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Map {
		t = t.Elem()
	}
	var k unit.Kind
	switch {
	case t == stepType:
		k = stepKinds[f.key]
	case moneyTypes[t] != unit.None:
		k = moneyTypes[t]
	case isRange(t):
		k = kindOf(reflect.Zero(t.Field(0).Type))
		return fmt.Sprintf("From and to, with units: [%s, %s].", blank(f.key, k), blank(f.key, k))
	case t.Implements(kindedType):
		k = kindOf(reflect.Zero(t))
	default:
		return ""
	}
	if names := unit.Names(k); len(names) > 0 {
		return fmt.Sprintf("With its unit, %s; units: %s.", blank(f.key, k), strings.Join(names, ", "))
	}
	return fmt.Sprintf("With its unit, such as %s.", quoted(k.Example()))
}
