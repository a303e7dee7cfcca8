// Package season puts many batches on days: those that orders ask for and those
// that are under way, with what each takes of the farm on each day (runs of the
// sterilizer, places to cool, hands, places in rooms, vessels), so that no more is
// taken than there is, or it is said what is short, which order is late and what
// would mend it.
//
// A day is a date of package calendar, an amount is what Resource says: runs, vessels,
// places or hours.
package season

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// Keeps is how many days a crop is kept cold before it is delivered, at the most: the
// last of a batch is picked on the day of its delivery or up to so many days before.
// 1 to 2 days are common practice, no source.
const Keeps = 2

// MostLate is how many days late a delivery may be; one that would be later is not
// met at all: design choice.
const MostLate = 28

// Input is all that a season depends on.
type Input struct {
	Farm      protocol.Farm
	Processes map[string]*process.Process // by the protocol's name, those without errors
	Orders    protocol.Orders
	Results   protocol.Results // batches that are not emptied are under way, and take what they take
	Workdays  calendar.Workdays
	Today     *calendar.Date // nothing is mixed before it; nil where nobody said
	Basis     calendar.Basis
}

// Season is the plan of a farm. It is not changed once made.
type Season struct {
	First, Last calendar.Date // the first and the last day on which anything is taken
	Batches     []Batch       // by the day of the first mix, then by code
	Deliveries  []Delivery    // by day, then by order
	Resources   []Resource
	Runs        []Run      // of the sterilizers, by day
	Shortages   []Shortage // what binds, the worst first; none where every order is met in time
	Unplanned   []string   // codes of batches under way whose protocol is gone or has errors
}

// Batch is one batch on its days.
type Batch struct {
	Code       string // enoki-850-2026-12-03; of one under way, that on its cards
	Batch      *batch.Batch
	Plan       *calendar.Plan
	Deliveries []int // that it is for, as places in Season.Deliveries
	UnderWay   bool  // from the results: its day is not ours to choose
	Stays      []Stay
	Ready      calendar.Date // all of it is picked, as sure as Input.Basis has it

	// BuysSpawn tells that jars or plates of its own spawn had to be begun before
	// Today. It takes grown spawn of the same age from elsewhere; what of its spawn
	// falls on Today or later is still made.
	BuysSpawn bool
}

// Stay is what stands in a room from a day on.
type Stay struct {
	Cohort   int    // from 1
	Stage    string // as in process.Stage
	Room     string // id; "" where the farm has written down no room for the stage
	Vessels  int
	From, To calendar.Date // To is the day on which they leave, and is not taken
}

// Unmet is why there is no batch for a delivery.
type Unmet string

// The reasons.
const (
	Met        Unmet = ""
	NoProtocol Unmet = "protocol" // the protocol has errors, or there is none of that name
	NoBatch    Unmet = "batch"    // no batch of that size can be made: it has errors, or there is no number of vessels for it
	NoDays     Unmet = "days"     // the calendar has no days for it
	NoTime     Unmet = "time"     // begun today, it would be more than MostLate days late
	NoPlace    Unmet = "place"    // there is no day up to MostLate days late on which nothing is short
)

// Delivery is one day of an order.
type Delivery struct {
	Order    int // place in Input.Orders.Orders
	Day      calendar.Date
	Mass     unit.Mass     // as sold
	Good     int           // vessels that have to be good; 0 where that can't be said
	Batch    int           // place in Season.Batches, -1 where no batch can be had for it
	Unmet    Unmet         // why there is none; Met where there is one
	Late     int           // days after Day on which the batch is picked; 0 where it is in time
	Early    int           // days before Day on which all of it is picked, which it waits in the cold
	Blocked  string        // id of the resource that kept it from being in time; "" where it was the time alone
	Soonest  calendar.Date // of one that is late or not met and that the time alone keeps: the soonest day, begun today; else Day
	WouldFix []Fix
	Together []Fix // where no one of them would alone: what is needed of several at once
}

// Fix is a change that would bring a late delivery in time, each tried: with so much
// more of that resource and of nothing else there is a place for it, and the season is
// no later for it. The changes of Delivery.Together are needed all at once.
type Fix struct {
	Resource string  // id
	More     float64 // of its unit a day; of the line, hours by which the shift is longer, which makes room for more loads and runs
}

// Kind is what a resource is of.
type Kind string

// The kinds of resource.
const (
	Line    Kind = "line"    // hours of the shift that loads keep the mixer, the bench and their crew, a day
	Runs    Kind = "runs"    // of one sterilizer, a day: loads, and runs with spawn jars or with bad vessels
	Cooling Kind = "cooling" // places over night, in all rooms for it
	Bench   Kind = "bench"   // vessels and spawn jars inoculated a day
	Washing Kind = "washing" // vessels a day
	Places  Kind = "places"  // in one room
	Vessels Kind = "vessels" // of one kind in circulation
	Hours   Kind = "hours"   // of one role, a day
)

// Kinds lists every kind, in the order in which a batch meets them.
func Kinds() []Kind { return []Kind{Line, Runs, Cooling, Bench, Washing, Places, Vessels, Hours} }

// Resource is something of which the farm has so much and no more.
type Resource struct {
	ID       string // "runs:steam-1"; "cooling", "bench", "washing" and "line" are alone of their kind
	Kind     Kind
	Of       string    // id of the sterilizer, room or vessel, or the role; "" where there is one of the kind
	Capacity float64   // a day: runs, vessels, places or hours; 0 where it is not bounded
	Bounded  bool      // false where the farm did not say how much it has: then it is counted and binds nothing
	Taken    []float64 // by day from Season.First
	Dirty    []float64 // of vessels: those of Taken that are emptied and not washed and dry; nil for other kinds
	Peak     float64   // the most of Taken, on PeakDay
	PeakDay  calendar.Date
	Mean     float64 // of the days on which there is a choice: working days for line, runs, bench, washing and hours
}

// Washed is how many vessels in circulation stand washed and empty, by day; nil
// where the farm has not said how many it owns.
func (r Resource) Washed() []float64 {
	if r.Kind != Vessels || !r.Bounded {
		return nil
	}
	out := make([]float64, len(r.Taken))
	for i, n := range r.Taken {
		out[i] = max(0, r.Capacity-n)
	}
	return out
}

// Shortage is a resource that keeps deliveries from being in time.
type Shortage struct {
	Resource   string
	Short      float64 // of its unit a day at the worst, were all deliveries in time
	Day        calendar.Date
	Deliveries []int
}

// Task is one entry of a day: what is done of which batch.
type Task struct {
	Batch int // place in Season.Batches
	calendar.Task
}

// On lists the tasks of a day, in the order in which a day goes: by role, then as
// they are done.
func (s *Season) On(d calendar.Date) []Task {
	var out []Task
	for i, b := range s.Batches {
		for _, t := range b.Plan.Tasks {
			if t.Date == d {
				out = append(out, Task{i, t})
			}
		}
	}
	byRole(out)
	return out
}

func byRole(tasks []Task) {
	rank := map[work.Role]int{}
	for i, r := range work.Roles() {
		rank[r] = i
	}
	slices.SortStableFunc(tasks, func(a, b Task) int { return cmp.Compare(rank[a.Role], rank[b.Role]) })
}
