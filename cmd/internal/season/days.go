package season

import "bottlecrop/cmd/internal/calendar"

// Monday is the first day of a date's week (ISO 8601).
func Monday(d calendar.Date) calendar.Date { return d - calendar.Date(d.Weekday()) }

// Timed reports whether a resource is counted in hours.
func (k Kind) Timed() bool { return k == Line || k == Hours }

// Standing is where a cohort of a batch stands on a day; nil where it stands nowhere.
func (b Batch) Standing(cohort int, d calendar.Date) *Stay {
	for i, stay := range b.Stays {
		if stay.Cohort == cohort && stay.From <= d && d < stay.To {
			return &b.Stays[i]
		}
	}
	return nil
}
