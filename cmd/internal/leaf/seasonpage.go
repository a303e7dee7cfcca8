package leaf

import (
	"strings"

	"math"
	"strconv"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// seasonPage is the season of a farm: what is delivered, where all of it stands, and
// what is short.
type seasonPage struct {
	frame
	Lead       string
	AsOf       string // the day that counted as today, where one was said
	Short      []string
	Beside     []string // batches that are not in the plan, and spawn from elsewhere
	Field      picture
	Weeks      []seasonWeek
	Deliveries []seasonDelivery
	Resources  []seasonResource
	Little     []seasonLevel
	Vessels    *picture
}

// seasonWeek is one week with its page.
type seasonWeek struct {
	link
	Monday, Mixed, Sold, Time string
}

// seasonDelivery is one day of an order.
type seasonDelivery struct {
	Day, For, Mass string
	Batch          link // leads to its protocol; the protocol alone where there is none
	When           string
	Late           bool
	Why            []string
}

// seasonResource is what there is of something, and how much of it is taken.
type seasonResource struct {
	Name, Most, On, Mean, Capacity string
	Binds                          bool // all of it is taken on a day
}

// seasonLevel is Little's law for one room beside the count.
type seasonLevel struct{ Name, Rate, Stay, Law, Counted string }

// SeasonPage sets the page of a season.
func SeasonPage(e Edition, s Season, recipes []Recipe) ([]byte, error) {
	page := seasonPage{frame: e.frame(SeasonPath, "season", e.say("book.season"), e.say("book.season"), "")}
	page.Lead = e.Voice.Say(s.Summary())
	if s.Today != nil {
		page.AsOf = e.say("book.season.as_of", "date", s.Today.String())
	}
	for _, x := range s.Shortages {
		page.Short = append(page.Short, e.Voice.Say(s.Shortage(e.Farm, x)))
	}
	for _, m := range s.Beside() {
		page.Beside = append(page.Beside, e.Voice.Say(m))
	}
	page.Field = e.field(s)
	for _, monday := range s.Mondays() {
		page.Weeks = append(page.Weeks, e.seasonWeek(s, monday))
	}
	has := map[string]bool{}
	for _, r := range recipes {
		has[r.Method.Protocol] = true
	}
	for _, d := range s.Deliveries {
		o := s.Orders[d.Order]
		row := seasonDelivery{Day: d.Day.String(), For: s.For(d), Mass: e.show(Sold(d.Mass)), Batch: link{Text: o.Protocol}}
		if d.Batch >= 0 {
			row.Batch.Text = s.Batches[d.Batch].Code
		}
		if has[o.Protocol] {
			row.Batch.Href = ProtocolPath(o.Protocol)
		}
		said := s.Verdict(e.Farm, d)
		row.When, row.Late = e.Voice.Capital(e.Voice.Say(said[0])), IsLate(d)
		for _, m := range said[1:] {
			row.Why = append(row.Why, e.Voice.Sentence(m))
		}
		page.Deliveries = append(page.Deliveries, row)
	}
	for _, r := range s.Resources {
		row := seasonResource{Name: e.Voice.Say(s.ResourceName(e.Farm, r)), Most: e.show(ResourceAmount(r.Kind, r.Peak)),
			On: r.PeakDay.String(), Mean: e.show(MeanAmount(r.Kind, r.Mean)), Capacity: e.say("book.season.unbounded")}
		if r.Peak == 0 {
			row.On = e.say("book.none")
		}
		if r.Bounded {
			row.Capacity, row.Binds = e.show(ResourceAmount(r.Kind, r.Capacity)), r.Peak >= r.Capacity*(1-1e-9)
		}
		page.Resources = append(page.Resources, row)
	}
	page.Little = e.little(s)
	page.Vessels = e.vesselPictures(s)
	return e.html("season", page)
}

// Summary says how many deliveries there are and how many of them are late.
func (s Season) Summary() protocol.Message {
	if len(s.Deliveries) == 0 {
		return words.Message("season.no_delivery", "from", s.First.String(), "to", s.Last.String())
	}
	first, last := s.Deliveries[0].Day, s.Deliveries[0].Day
	for _, d := range s.Deliveries {
		first, last = min(first, d.Day), max(last, d.Day)
	}
	late := s.Late()
	if late == 0 {
		return words.Message("season.all_in_time", "n", len(s.Deliveries), "from", first.String(), "to", last.String(), "batches", len(s.Batches))
	}
	return words.Message("season.some_late", "n", len(s.Deliveries), "from", first.String(), "to", last.String(), "batches", len(s.Batches), "late", late)
}

// Beside says what the plan leaves to somebody: batches that it could not take in,
// and those for which grown spawn has to come from elsewhere.
func (s Season) Beside() []protocol.Message {
	var out []protocol.Message
	for _, code := range s.Unplanned {
		out = append(out, words.Message("plan.unplanned", "code", code))
	}
	var codes []string
	for _, b := range s.Batches {
		if b.BuysSpawn {
			codes = append(codes, b.Code)
		}
	}
	if len(codes) > 0 {
		out = append(out, words.Message("plan.buys_spawn", "n", len(codes), "batches", strings.Join(codes, ", ")))
	}
	return out
}

// Shortage says how much of a resource is short, and on which day.
func (s Season) Shortage(farm protocol.Farm, x season.Shortage) protocol.Message {
	r := s.Resource(x.Resource)
	return words.Message("season.short", "resource", s.ResourceName(farm, *r), "short", ResourceAmount(r.Kind, x.Short),
		"date", x.Day.String(), "n", len(x.Deliveries))
}

// seasonWeek is the row of a week.
func (e Edition) seasonWeek(s Season, monday calendar.Date) seasonWeek {
	w := s.Week(monday)
	out := seasonWeek{link: link{WeekPath(monday), monday.WeekName()},
		Monday: monday.String(), Mixed: e.say("book.none"), Sold: e.say("book.none"), Time: e.say("book.none")}
	if w.Filled > 0 {
		out.Mixed = strconv.Itoa(w.Filled)
	}
	if w.Sold > 0 {
		out.Sold = e.show(Sold(w.Sold))
	}
	all := unit.Duration(0)
	for _, r := range work.Roles() {
		all += w.Takes[r]
	}
	if all > 0 {
		out.Time = e.show(WorkAmount(all))
	}
	return out
}

// WorkAmount is the work of a week, to half an hour.
func WorkAmount(d unit.Duration) unit.Amount {
	return unit.Amount{Kind: unit.TimeOf, Value: max(unit.Hour/2, float64(d)), Unit: "h", Step: unit.Hour / 2}
}

// WeekSum is what a week comes to.
type WeekSum struct {
	Filled int // vessels, controls with them
	Sold   unit.Mass
	Takes  map[work.Role]unit.Duration // hands-on
}

// Week sums up the seven days from a Monday on.
func (s Season) Week(monday calendar.Date) WeekSum {
	out := WeekSum{Takes: map[work.Role]unit.Duration{}}
	in := func(d calendar.Date) bool { return d >= monday && d < monday+7 }
	for _, b := range s.Batches {
		for _, c := range b.Plan.Cohorts {
			if in(c.Mixing) {
				out.Filled += c.Vessels
			}
		}
		for _, t := range b.Plan.Tasks {
			if in(t.Date) {
				out.Takes[t.Role] += t.Takes
			}
		}
	}
	for _, d := range s.Deliveries {
		if in(d.Day) {
			out.Sold += d.Mass
		}
	}
	return out
}

// little sets Little's law beside the count, for each room that something stands in.
func (e Edition) little(s Season) []seasonLevel {
	var out []seasonLevel
	for _, r := range s.Resources {
		l, ok := s.Little(r)
		if !ok {
			continue
		}
		one := func(v float64) string { return e.show(unit.Amount{Kind: unit.CountOf, Value: v, Step: 0.1}) }
		out = append(out, seasonLevel{e.Voice.Say(s.ResourceName(e.Farm, r)), one(l.Rate), one(l.Stay), one(l.Rate * l.Stay), one(l.Counted)})
	}
	return out
}

// fullest is the room of which the largest part is taken on one day; nil where no
// room has a bound.
func (s Season) fullest() *season.Resource {
	var out *season.Resource
	part := func(r season.Resource) float64 { return r.Peak / math.Max(r.Capacity, 1) }
	for i, r := range s.Resources {
		if r.Kind == season.Places && r.Bounded && r.Peak > 0 && (out == nil || part(r) > part(*out)) {
			out = &s.Resources[i]
		}
	}
	return out
}

// circulating are the kinds of vessels that go round.
func (s Season) circulating() []season.Resource {
	var out []season.Resource
	for _, r := range s.Resources {
		if r.Kind == season.Vessels && r.Peak > 0 && r.Dirty != nil {
			out = append(out, r)
		}
	}
	return out
}
