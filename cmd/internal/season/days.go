package season

import (
	"slices"

	"bottlecrop/cmd/internal/calendar"
)

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

// Standing is a stay with the batch that it is of.
type Standing struct {
	Batch int // place in Season.Batches
	Stay
}

// In lists what stands in a room on a day, by the batches' order.
func (s *Season) In(room string, d calendar.Date) []Standing {
	var out []Standing
	for i, b := range s.Batches {
		for _, stay := range b.Stays {
			if stay.Room == room && stay.From <= d && d < stay.To {
				out = append(out, Standing{i, stay})
			}
		}
	}
	return out
}

// Changes lists the days on which something comes into a room, ascending: between
// them nothing is added to what stands there.
func (s *Season) Changes(room string) []calendar.Date {
	var out []calendar.Date
	for _, b := range s.Batches {
		for _, stay := range b.Stays {
			if stay.Room == room {
				out = append(out, stay.From)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
