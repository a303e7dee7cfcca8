package calendar

import "fmt"

// TooLate says that a delivery can't be met from today on.
type TooLate struct {
	Delivery Date
	Start    Date // by which the batch had to begin
	Today    Date
	Soonest  Date // the soonest day of delivery, begun today
}

func (e *TooLate) Error() string {
	return fmt.Sprintf("calendar: for a delivery on %v the first mix had to be on %v, and it is %v: %v can be met", e.Delivery, e.Start, e.Today, e.Soonest)
}

// NoMixing says that there is no day for mixing: sterilized vessels bear to stand
// for some days alone, and nobody works so soon after any working day.
type NoMixing struct {
	From   Date
	Within int // days, as sterilization.use_within allows
}

func (e *NoMixing) Error() string {
	return fmt.Sprintf("calendar: from %v on there is no working day with another within %d days after it, as sterilized vessels need it (sterilization.use_within): add a working day", e.From, e.Within)
}

// OutOfYears says that a batch of that start or delivery leaves the years that can
// be planned.
type OutOfYears struct {
	Day Date
}

func (e *OutOfYears) Error() string {
	return fmt.Sprintf("calendar: a batch that begins or is delivered on %v leaves the years that can be planned, %v to %v", e.Day, First, Last)
}
