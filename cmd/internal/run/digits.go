package run

import (
	"reflect"
	"strconv"
)

// digits is how many significant digits of a result are kept. Nothing here is known as
// well as that, and no page prints as many. What lies behind them is not the same on every
// processor: some fuse a multiplication and an addition, and their exponentials differ in
// the last bit, which a dose makes a thousand bits of. A book carries results, so they
// have to be the same wherever it was made.
const digits = 6

// digitsOfCase is how many of a case are kept, for the same reason: the names of results
// in a store hang on it.
const digitsOfCase = 9

// rounded is a number to so many significant digits.
func rounded(x float64, digits int) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	if err != nil { // none: a finite number can be read back, and so can the others
		return x
	}
	return out
}

// toDigits rounds every number of a result that was worked out just now.
func toDigits[T any](result *T, err error) (*T, error) {
	if err == nil {
		round(reflect.ValueOf(result))
	}
	return result, err
}

// round rounds every number of a result, in place.
func round(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(rounded(v.Float(), digits))
	case reflect.Pointer:
		if !v.IsNil() {
			round(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			round(v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			round(v.Index(i))
		}
	}
}
