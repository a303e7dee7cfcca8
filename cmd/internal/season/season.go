// Package season puts many batches on days: those that orders ask for and those
// that are under way, with what each takes of the farm on each day (runs of the
// sterilizer, places to cool, hands, places in rooms, vessels), so that no more is
// taken than there is, or it is said what is short, which order is late and what
// would mend it.
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

// Input is all that a season depends on.
type Input struct {
	Farm      protocol.Farm
	Processes map[string]*process.Process // by the protocol's name, those without errors
	Orders    protocol.Orders
	Results   protocol.Results // batches that are not emptied are under way, and take what they take
	Workdays  calendar.Workdays
	Today     *calendar.Date // nothing new begins before it; nil where nobody said
	Basis     calendar.Basis
}

// Season is the plan of a farm. It is not changed once made.
type Season struct {
	First, Last calendar.Date // the first and the last day on which anything is taken
	Batches     []Batch       // by the day of the first mix, then by code
	Deliveries  []Delivery    // by day, then by order
	Resources   []Resource
	Shortages   []Shortage // what binds, the worst first; none where every order is met in time
}

// Batch is one batch on its days.
type Batch struct {
	Code       string // enoki-850-2026-12-03; of one under way, that on its cards
	Batch      *batch.Batch
	Plan       *calendar.Plan
	Deliveries []int // that it is for, as places in Season.Deliveries
	UnderWay   bool  // from the results: its day is not ours to choose
	Stays      []Stay
}

// Stay is what stands in a room from a day on.
type Stay struct {
	Cohort   int    // from 1
	Stage    string // as in process.Stage
	Room     string // id; "" where the farm has written down no room for the stage
	Vessels  int
	From, To calendar.Date // To is the day on which they leave, and is not taken
}

// Delivery is one day of an order.
type Delivery struct {
	Order    int // place in Input.Orders.Orders
	Day      calendar.Date
	Mass     unit.Mass // as sold
	Good     int       // vessels that have to be good
	Batch    int       // place in Season.Batches, -1 where no batch can be had for it
	Late     int       // days after Day on which the batch is picked; 0 where it is in time
	Blocked  string    // id of the resource that kept it from being in time; "" where it was the time alone
	Soonest  calendar.Date
	WouldFix []Fix
}

// Fix is a change that would bring a late delivery in time, each tried.
type Fix struct {
	Resource string  // id
	More     float64 // of its unit a day
}

// Kind is what a resource is of.
type Kind string

// The kinds of resource.
const (
	Runs    Kind = "runs"    // of one sterilizer, a day
	Cooling Kind = "cooling" // places over night
	Bench   Kind = "bench"   // vessels inoculated a day
	Washing Kind = "washing" // vessels a day
	Places  Kind = "places"  // in one room
	Vessels Kind = "vessels" // of one kind in circulation
	Hours   Kind = "hours"   // of one role, a day
)

// Resource is something of which the farm has so much and no more.
type Resource struct {
	ID       string // "runs:steam-1"
	Kind     Kind
	Of       string    // id of the sterilizer, room or vessel, or the role
	Capacity float64   // a day: runs, vessels, places or hours
	Bounded  bool      // false where the farm did not say how much it has: then it is counted and binds nothing
	Taken    []float64 // by day from Season.First
	Peak     float64
	PeakDay  calendar.Date
	Mean     float64 // of the days on which there is a choice: working days for runs, bench, washing and hours
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
