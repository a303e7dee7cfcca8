package leaf

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// Season is a planned season with what its pages and the terminal need to tell it.
type Season struct {
	*season.Season
	Orders   []protocol.Order
	Workdays calendar.Workdays
	Vessels  map[string]protocol.Vessel // of the library
	Today    *calendar.Date             // nil where nobody said
}

// SeasonPath is the page of the season.
const SeasonPath = "season.html"

// WeekPath is the page of the week of a day.
func WeekPath(d calendar.Date) string { return weeks + d.WeekName() + ".html" }

const weeks = "weeks/"

// IsOfSeason reports whether a page is there for a planned season alone.
func IsOfSeason(path string) bool { return path == SeasonPath || strings.HasPrefix(path, weeks) }

// DayMessage is a day with its weekday and week, as plans head them.
func DayMessage(d calendar.Date) protocol.Message {
	_, week := d.Week()
	return words.Message("plan.day", "weekday", words.Message("plan.weekday."+d.Weekday().String()), "date", d.String(), "n", week)
}

// bounds are the Monday of the first week that has anything and the Sunday of the
// last, tasks and deliveries too; where today is known, from its week on.
func (s Season) bounds() (first, last calendar.Date) {
	first, last = s.First, s.Last
	for _, b := range s.Batches {
		for _, t := range b.Plan.Tasks {
			first, last = min(first, t.Date), max(last, t.Date)
		}
	}
	for _, d := range s.Deliveries {
		first, last = min(first, d.Day), max(last, d.Day)
	}
	if s.Today != nil { // what is past is past
		first = min(max(first, *s.Today), last)
	}
	return season.Monday(first), season.Monday(last) + 6
}

// busy reports whether there is a task or a delivery in the week of a Monday.
func (s Season) busy(monday calendar.Date) bool {
	in := func(d calendar.Date) bool { return season.Monday(d) == monday }
	return slices.ContainsFunc(s.Deliveries, func(d season.Delivery) bool { return in(d.Day) }) ||
		slices.ContainsFunc(s.Batches, func(b season.Batch) bool {
			return slices.ContainsFunc(b.Plan.Tasks, func(t calendar.Task) bool { return in(t.Date) })
		})
}

// Mondays of all weeks that have a page: those in which anything is done.
func (s Season) Mondays() []calendar.Date {
	first, last := s.bounds()
	var out []calendar.Date
	for d := first; d <= last; d += 7 {
		if s.busy(d) {
			out = append(out, d)
		}
	}
	return out
}

// Resource finds a resource by its id; nil where there is none.
func (s Season) Resource(id string) *season.Resource {
	i := slices.IndexFunc(s.Resources, func(r season.Resource) bool { return r.ID == id })
	if i < 0 {
		return nil
	}
	return &s.Resources[i]
}

// ResourceName is what a resource is called.
func (s Season) ResourceName(farm protocol.Farm, r season.Resource) protocol.Message {
	name := r.Of
	switch r.Kind {
	case season.Runs:
		for _, x := range farm.Sterilizers {
			if x.ID == r.Of {
				name = x.Name
			}
		}
	case season.Places:
		for _, x := range farm.Rooms {
			if x.ID == r.Of {
				name = x.Name
			}
		}
	case season.Vessels:
		name = s.vesselName(r.Of)
	case season.Hours:
		return words.Message("season.resource.hours", "role", words.Message("role."+r.Of))
	case season.Line, season.Cooling, season.Bench, season.Washing:
		return words.Message("season.resource." + string(r.Kind))
	}
	return words.Message("season.resource."+string(r.Kind), "name", name)
}

// vesselName is what a vessel of the library is called.
func (s Season) vesselName(id string) string {
	if v, ok := s.Vessels[id]; ok {
		return v.Name
	}
	return id
}

// ResourceAmount is so much of a resource: hours to a tenth, all else counted.
func ResourceAmount(k season.Kind, v float64) unit.Amount {
	if k.Timed() {
		return unit.Amount{Kind: unit.TimeOf, Value: v * unit.Hour, Unit: "h", Step: unit.Hour / 10}
	}
	return unit.Amount{Kind: unit.CountOf, Value: v, Step: 1}
}

// MeanAmount is an average of a resource, to a tenth.
func MeanAmount(k season.Kind, v float64) unit.Amount {
	a := ResourceAmount(k, v)
	if !k.Timed() {
		a.Step = 0.1
	}
	return a
}

// Sold is a mass of a delivery as it is ordered.
func Sold(m unit.Mass) unit.Amount { return unit.Amount{Kind: unit.MassOf, Value: float64(m)} }

// Verdict says whether a delivery is in time, and if not why and what would mend it:
// Outcome, Reason and Mends, a line each.
func (s Season) Verdict(farm protocol.Farm, d season.Delivery) []protocol.Message {
	out := []protocol.Message{s.Outcome(d)}
	if why := s.Reason(farm, d); why.ID != "" {
		out = append(out, why)
	}
	return append(out, s.Mends(farm, d)...)
}

// Outcome says whether a delivery is in time.
func (s Season) Outcome(d season.Delivery) protocol.Message {
	switch {
	case d.Batch < 0:
		return words.Message("season.none." + string(d.Unmet))
	case d.Early > season.Keeps:
		return words.Message("season.early", "n", d.Early, "date", (d.Day - calendar.Date(d.Early)).String())
	case d.Late == 0:
		return words.Message("season.in_time")
	}
	return words.Message("season.late", "n", d.Late, "date", (d.Day + calendar.Date(d.Late)).String())
}

// Reason says what keeps a delivery from being in time; nothing where it is, or where
// nothing can be named.
func (s Season) Reason(farm protocol.Farm, d season.Delivery) protocol.Message {
	if !IsLate(d) {
		return protocol.Message{}
	}
	if r := s.Resource(d.Blocked); r != nil {
		return words.Message("season.blocked", "resource", s.ResourceName(farm, *r))
	}
	if d.Soonest > d.Day {
		return words.Message("season.too_soon", "date", d.Soonest.String())
	}
	return protocol.Message{}
}

// Mends says what would bring a late delivery in time: each line by itself or, after a
// line that says so, all of them together.
func (s Season) Mends(farm protocol.Farm, d season.Delivery) []protocol.Message {
	if !IsLate(d) {
		return nil
	}
	var out []protocol.Message
	fixes := func(id string, list []season.Fix) {
		for _, f := range list {
			if r := s.Resource(f.Resource); r != nil {
				out = append(out, words.Message(id, "resource", s.ResourceName(farm, *r), "more", ResourceAmount(r.Kind, unit.Up(f.More*10)/10)))
			}
		}
	}
	fixes("season.fix", d.WouldFix)
	if len(d.Together) > 1 {
		out = append(out, words.Message("season.fix_all"))
		fixes("season.fix_part", d.Together)
	} else {
		fixes("season.fix", d.Together)
	}
	return out
}

// For says who a delivery is for: in the farm's words or, without them, the order.
func (s Season) For(d season.Delivery) string {
	o := s.Orders[d.Order]
	if o.For != "" {
		return o.For
	}
	return o.ID
}

// IsLate reports whether a delivery is late or can't be had.
func IsLate(d season.Delivery) bool { return d.Late > 0 || d.Batch < 0 }

// Late counts the deliveries that are late or can't be had.
func (s Season) Late() int {
	n := 0
	for _, d := range s.Deliveries {
		if IsLate(d) {
			n++
		}
	}
	return n
}

// roomName is what the place is called where something stands: a room, or, where
// the farm has written down none, what is done there.
func roomName(farm protocol.Farm, stay season.Stay) protocol.Message {
	for _, r := range farm.Rooms {
		if r.ID == stay.Room {
			return words.Message("season.room", "name", r.Name)
		}
	}
	return words.Message("season.no_room", "stage", words.Message("book.stage."+stay.Stage))
}

// Where is where a batch stands for a task: what leaves a room is picked where it
// stood. It is empty for what is done before it stands in a room, and after.
func Where(farm protocol.Farm, b season.Batch, task calendar.Task) protocol.Message {
	switch work.StationOf(task.Step) {
	case work.Incubation, work.Fruiting, work.Packing:
	default:
		return protocol.Message{}
	}
	stay := b.Standing(task.Cohort, task.Date)
	if stay == nil {
		stay = b.Standing(task.Cohort, task.Date-1)
	}
	if stay == nil {
		return protocol.Message{}
	}
	return roomName(farm, *stay)
}
