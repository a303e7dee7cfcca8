package unit

// Amount is a value with all that is needed to print it: what it measures, and
// either the step of the instrument that reads it or a number of digits.
type Amount struct {
	Kind   Kind
	Value  float64 // SI
	Step   float64 // SI; 0 prints Digits significant digits
	Digits int     // 0 means 4
	Unit   string  // "" is the page's usual unit; a dial's own unit where one is read
}

// Height is a height of z (m) above the sea as a page says it: to ten meters or
// feet, since the air does not tell less apart.
func Height(z float64, sys System) Amount {
	name := "m"
	if sys.us {
		name = "ft"
	}
	return Amount{Kind: LengthOf, Value: z, Step: 10 * SizeOf(LengthOf, name), Unit: name}
}

// leastMinutes is the least that is told of a time in minutes, such as the dose
// of a run that sterilizes nothing: a row of zeros before its first digit tells
// no more than that it is next to nothing (a design choice).
const leastMinutes = 0.01

// Show prints the amount in a system of units; a unit of its own wins.
func (a Amount) Show(sys System) string {
	name := a.Unit
	if name == "" {
		name = UnitFor(a.Kind, a.Value, sys)
	}
	if a.Step > 0 {
		return sys.ShowIn(a.Kind, a.Value, name, a.Step)
	}
	if least := leastMinutes * SizeOf(TimeOf, "min"); a.Kind == TimeOf && name == "min" && a.Value > 0 && a.Value < least {
		return "<" + Space + sys.ShowIn(TimeOf, least, name, least)
	}
	digits := a.Digits
	if digits == 0 {
		digits = 4
	}
	return join(sys.decimal(trimZeros(significant(In(a.Kind, a.Value, name), digits))), sys.called(a.Kind, name))
}
