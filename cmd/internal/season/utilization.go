package season

import (
	"slices"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
	"bottlecrop/cmd/internal/working"
)

// busyDays are the days on end over which a resource is judged, its busiest: a day
// alone is often full, and a whole season hides a month that is (design choice).
const busyDays = 28

// Busiest is the mean that is taken of a resource a day in its busiest four weeks, and
// the first day of these. Of what has working days, these alone count.
func (s *Season) Busiest(r Resource, w calendar.Workdays) (mean float64, from calendar.Date) {
	from = s.First
	for i := range r.Taken {
		if i > 0 && i+busyDays > len(r.Taken) {
			break
		}
		sum, days := 0.0, 0
		for k := i; k < min(i+busyDays, len(r.Taken)); k++ {
			if r.Kind.stands() || w.Open(s.First+calendar.Date(k)) {
				sum, days = sum+r.Taken[k], days+1
			}
		}
		if m := sum / float64(max(1, days)); m > mean {
			mean, from = m, s.First+calendar.Date(i)
		}
	}
	return mean, from
}

// stands reports whether a resource is taken on closed days as on others.
func (k Kind) stands() bool { return k == Cooling || k == Places || k == Vessels }

// Judge runs over the limits how much of each resource is taken, for a farm with names
// for its resources by id, and returns the working with what was found. A room that
// something stands in and that has no number of places is worth a note.
func (s *Season) Judge(farm protocol.Farm, w calendar.Workdays, names map[string]string) (*working.Ledger, []protocol.Finding) {
	l := working.NewLedger(nil)
	var unsaid []protocol.Finding
	for _, r := range s.Resources {
		if r.Kind == Places && !r.Bounded && r.Peak > 0 {
			unsaid = append(unsaid, protocol.Finding{
				Severity: protocol.Note, Rule: "season.places", Origin: protocol.InFarm(keyOf(farm, r)),
				What: protocol.Message{ID: "season.places", Args: map[string]any{"room": names[r.ID], "n": int(r.Peak), "on": r.PeakDay.String()}},
				Hint: protocol.Message{ID: "season.places.hint"},
			})
		}
		if !r.Bounded || r.Capacity == 0 || r.Peak == 0 {
			continue
		}
		kind, one := unit.CountOf, 1.0
		if r.Kind.Timed() {
			kind, one = unit.TimeOf, unit.Hour
		}
		mean, _ := s.Busiest(r, w)
		taken := l.GivenOf("resource_taken", r.ID, kind, mean*one, working.Origin{}, "counted day by day")
		there := l.GivenOf("resource_there", r.ID, kind, r.Capacity*one, protocol.InFarm(keyOf(farm, r)), "")
		l.DeriveOf("utilization", r.ID, unit.ShareOf, work.Utilization, working.Bind("D", taken), working.Bind("C", there))
	}
	return l, append(limit.Check(l.Own(), l, names, ""), unsaid...)
}

// keyOf is where the farm's file says how much there is of a resource.
func keyOf(farm protocol.Farm, r Resource) string {
	room := func(is func(protocol.Room) bool) string {
		return protocol.RoomKey(max(0, slices.IndexFunc(farm.Rooms, is)), "places")
	}
	switch r.Kind {
	case Line:
		return "shift.length"
	case Runs:
		return protocol.SterilizerKey(max(0, slices.IndexFunc(farm.Sterilizers, func(s protocol.FarmSterilizer) bool { return s.ID == r.Of })), "id")
	case Cooling:
		return room(func(x protocol.Room) bool { return slices.Contains(x.For, protocol.RoomCooling) })
	case Places:
		return room(func(x protocol.Room) bool { return x.ID == r.Of })
	case Bench:
		return "capacity.inoculated_a_day"
	case Washing:
		return "capacity.washed_a_day"
	case Vessels:
		return protocol.OwnedKey(max(0, slices.IndexFunc(farm.Capacity.Owns, func(h protocol.Holds) bool { return h.Vessel == r.Of })), "count")
	case Hours:
		return "capacity.hours_a_day." + r.Of
	}
	return ""
}
