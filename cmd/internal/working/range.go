package working

import "fmt"

// RangeError is a value outside the range in which a law holds.
type RangeError struct {
	Quantity string  // "relative humidity", "frequency of lifts"
	Unit     string  // of the figures below; "" where there is none
	Found    float64 // SI
	Least    float64 // lowest value that is taken
	Most     float64 // highest value that is taken
	Why      string  // what sets the range, where it is not plain
}

func (e RangeError) Error() string {
	text := fmt.Sprintf("%s is %v", e.Quantity, e.Found)
	if e.Unit != "" {
		text += " " + e.Unit
	}
	text += fmt.Sprintf("; %v to %v is taken", e.Least, e.Most)
	if e.Why != "" {
		text += " (" + e.Why + ")"
	}
	return text
}

// Within returns a RangeError for a value outside the range, both ends included; no
// number is outside every range. The three are in the unit that it is told, "" for a
// plain number.
func Within(quantity, unit string, found, least, most float64, why string) error {
	if found >= least && found <= most {
		return nil
	}
	return RangeError{quantity, unit, found, least, most, why}
}

// Between makes a function for laws that passes a value on when it is in the
// range in which the law holds, and refuses it elsewhere.
func Between(quantity, unit string, least, most float64, why string) Function {
	return Exactly(1, func(args ...float64) (float64, error) {
		return args[0], Within(quantity, unit, args[0], least, most, why)
	})
}

// Exactly makes a function refuse any number of values but n: the parser
// doesn't count the values of functions that it is given.
func Exactly(n int, f Function) Function {
	return func(args ...float64) (float64, error) {
		if len(args) != n {
			return 0, fmt.Errorf("takes %d values, %d were given", n, len(args))
		}
		return f(args...)
	}
}
