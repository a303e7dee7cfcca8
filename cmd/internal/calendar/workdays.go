package calendar

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// Workdays are the days on which a farm works.
type Workdays struct {
	week     [7]bool
	holidays []Date // ascending
}

// NewWorkdays reads the days of the week on which a farm works, "mon" to "sun",
// and its holidays, each a date or a range "2026-12-24..2027-01-01", both ends
// included. All faults come at once.
func NewWorkdays(week, holidays []string) (Workdays, error) {
	var w Workdays
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf("calendar: "+format, args...)) }
	for _, name := range week {
		switch day, ok := parseWeekday(name); {
		case !ok:
			fault("%q is no day of the week; %s are possible", name, strings.Join(weekdays, ", "))
		case w.week[day]:
			fault("the working days have %s twice", name)
		default:
			w.week[day] = true
		}
	}
	if w.week == [7]bool{} && len(faults) == 0 {
		fault("a farm with no working day in the week: name one at least, such as mon")
	}
	for _, text := range holidays {
		from, to := protocol.HolidayEnds(text)
		first, err := Parse(from)
		last, err2 := Parse(to)
		switch {
		case err != nil || err2 != nil:
			faults = append(faults, fmt.Errorf("holidays: %w", errors.Join(err, err2)))
		case last < first:
			fault("the holidays %s end before they begin; write the earlier day first", text)
		case last-first >= protocol.HolidaysMost:
			fault("the holidays %s are %d days; %d at most are possible in one range", text, last-first+1, protocol.HolidaysMost)
		default:
			for d := first; d <= last; d++ {
				w.holidays = append(w.holidays, d)
			}
		}
	}
	slices.Sort(w.holidays)
	w.holidays = slices.Compact(w.holidays)
	return w, errors.Join(faults...)
}

// EveryDay are the workdays of a farm that is never closed.
func EveryDay() Workdays { return Workdays{week: [7]bool{true, true, true, true, true, true, true}} }

// Open reports whether somebody works on a day.
func (w Workdays) Open(d Date) bool {
	if !w.week[d.Weekday()] {
		return false
	}
	_, holiday := slices.BinarySearch(w.holidays, d)
	return !holiday
}

// Next is the first working day from a day on. There always is one: holidays
// end, and each week has a working day.
func (w Workdays) Next(d Date) Date {
	for !w.Open(d) {
		d++
	}
	return d
}

// Previous is the last working day up to a day.
func (w Workdays) Previous(d Date) Date {
	for !w.Open(d) {
		d--
	}
	return d
}
