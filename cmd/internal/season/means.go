package season

import (
	"math"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// means are what a farm has, as resources to be shown and as supplies to be planned
// with. Supplies behind the last resource are pools.
type means struct {
	farm      protocol.Farm
	batches   []*batch.Batch
	work      calendar.Workdays
	resources []Resource
	supplies  []supply
	at        map[string]int // supply by id
	dirty     map[int]*series
}

// Amounts are whole numbers: of hours, seconds.
func scale(k Kind) float64 {
	if k == Line || k == Hours {
		return float64(unit.Hour)
	}
	return 1
}

// newMeans lists what the farm has, for batches that are to be made or under way.
func newMeans(farm protocol.Farm, w calendar.Workdays, batches []*batch.Batch) *means {
	m := &means{farm: farm, batches: batches, work: w, at: map[string]int{}, dirty: map[int]*series{}}
	m.shift(batches)
	m.rooms()
	c := farm.Capacity
	if c == nil {
		c = &protocol.Capacity{}
	}
	m.add(Bench, "", float64(c.Inoculated), c.Inoculated > 0)
	m.add(Washing, "", float64(c.Washed), c.Washed > 0)
	m.vessels(c.Owns, batches)
	for _, r := range work.Roles() {
		hours, ok := c.Hours[string(r)]
		m.add(Hours, string(r), float64(hours)/float64(unit.Hour), ok)
	}
	m.pools(batches)
	return m
}

func id(k Kind, of string) string {
	if of == "" {
		return string(k)
	}
	return string(k) + ":" + of
}

// add adds a resource; one without a bound is counted and binds nothing.
func (m *means) add(k Kind, of string, capacity float64, bounded bool) {
	if !bounded {
		capacity = 0
	}
	m.at[id(k, of)] = len(m.supplies)
	m.resources = append(m.resources, Resource{ID: id(k, of), Kind: k, Of: of, Capacity: capacity, Bounded: bounded})
	m.supplies = append(m.supplies, supply{bounded: bounded, capacity: int64(unit.Nearest(capacity * scale(k))), into: -1})
}

// shift adds the line and the sterilizers. How many loads of a batch a shift takes
// is in its working; so each load keeps the line for its part of a shift. Where a
// day has loads of two batches, each counts as on a day of its own kind.
func (m *means) shift(batches []*batch.Batch) {
	s := m.farm.Shift
	hours := 0.0
	if s != nil {
		hours = float64(s.Length) / float64(unit.Hour)
	}
	m.add(Line, "", hours, s != nil)
	for _, ster := range m.farm.Sterilizers {
		runs := 0
		if s != nil {
			runs = runsOf(ster, batches, float64(s.Length))
		}
		m.add(Runs, ster.ID, float64(runs), runs > 0)
	}
}

// runsOf is how many runs of a sterilizer a shift of s takes, whichever they are; 0
// where nothing is known of its runs. As many loads of one batch as its timetable has
// always fit.
func runsOf(ster protocol.FarmSterilizer, batches []*batch.Batch, s float64) int {
	runs, loads := 0, 0
	for _, b := range batches {
		its := b.Process.Sterilizer.ID == ster.ID
		if !its && !grainIn(b, ster.ID) && holds(ster, b.Process.Vessel.ID) == 0 {
			continue
		}
		if fit := runsFit(s, cycle(b, ster.ID)); runs == 0 || fit < runs {
			runs = fit
		}
		if its {
			loads = max(loads, loadsFit(b, s))
		}
	}
	return max(runs, loads)
}

func grainIn(b *batch.Batch, sterilizer string) bool {
	return b.Process.Grain != nil && b.Process.Grain.In.ID == sterilizer
}

// cycle is how long a run of a batch keeps a sterilizer, s: one of its loads or, where
// that takes longer, one with its spawn jars. Of the latter the hold and the vent are
// known, and the rest is taken to be as for a load.
func cycle(b *batch.Batch, sterilizer string) float64 {
	c := b.Value("load_cycle")
	if grainIn(b, sterilizer) {
		c += max(0, b.Value("grain_hold")+b.Value("grain_vent")-b.Value("hold")-b.Value("vent"))
	}
	return c
}

// runsFit is how many runs of c s one after the other fit in a shift of s: each begins
// on a whole step of 5 min, as in the timetable of a batch.
func runsFit(s, c float64) int {
	return max(1, 1+int(unit.Down((s-c)/fives(c))))
}

func fives(t float64) float64 { return 300 * unit.Up(t/300) }

// loadsFit is how many loads of a batch fit in a shift of s: work.LoadsADay for as
// many as one likes, for a batch of one load says no more than that.
func loadsFit(b *batch.Batch, s float64) int {
	fit := 1 + int(unit.Down((s-b.Value("line_time")-b.Value("load_cycle"))/b.Value("load_every")))
	return max(1, fit, int(b.Value("loads_a_day")))
}

// rooms adds the places to cool, in all rooms together, and those of each other
// room.
func (m *means) rooms() {
	cooling, bounded, any := 0, true, false
	for _, r := range m.farm.Rooms {
		if slices.Contains(r.For, protocol.RoomCooling) {
			cooling, bounded, any = cooling+r.Places, bounded && r.Places > 0, true
		}
	}
	m.add(Cooling, "", float64(cooling), bounded && any)
	for _, r := range m.farm.Rooms {
		if slices.ContainsFunc(r.For, func(s string) bool { return s != protocol.RoomCooling && s != protocol.RoomBench }) {
			m.add(Places, r.ID, float64(r.Places), r.Places > 0)
		}
	}
}

// vessels adds those that the farm owns, and each other kind that comes back.
func (m *means) vessels(owns []protocol.Holds, batches []*batch.Batch) {
	for _, h := range owns {
		m.add(Vessels, h.Vessel, float64(h.Count), true)
	}
	used := func(kind string) {
		if _, ok := m.at[id(Vessels, kind)]; !ok {
			m.add(Vessels, kind, 0, false)
		}
	}
	for _, b := range batches {
		if b.Process.Setting().Reusable {
			used(b.Process.Vessel.ID)
		}
		if g := b.Process.Grain; g != nil {
			used(g.Into.ID)
		}
	}
	for i, r := range m.resources {
		if r.Kind == Vessels {
			m.dirty[i] = &series{}
		}
	}
}

// Pools are no resources of their own.
const (
	grainPool = "grain" // spawn jars that are sterilized on one day, in one run after the other
	killPool  = "kill"  // bad vessels that are sterilized before they are emptied, in thousandths
)

// milli are thousandths.
const milli = 1000

// killLeast is how many bad vessels have to be expected on a day for a run to be
// counted: ln 2, where one is as likely as not (design choice).
var killLeast = int64(math.Ceil(milli * math.Ln2))

// pools adds the runs that batches share: spawn jars of all batches, and their bad
// vessels, by sterilizer.
func (m *means) pools(batches []*batch.Batch) {
	pool := func(name, sterilizer string, lot, least int64) {
		if lot == 0 {
			return
		}
		at, ok := m.at[name+":"+sterilizer]
		if ok { // vessels of several kinds: as many as of the largest
			m.supplies[at].lot = min(m.supplies[at].lot, lot)
			return
		}
		m.at[name+":"+sterilizer] = len(m.supplies)
		m.supplies = append(m.supplies, supply{into: m.at[id(Runs, sterilizer)], lot: lot, least: least})
	}
	for _, b := range batches {
		for _, s := range m.farm.Sterilizers {
			pool(killPool, s.ID, milli*int64(holds(s, b.Process.Vessel.ID)), killLeast)
		}
		if g := b.Process.Grain; g != nil {
			pool(grainPool, g.In.ID, int64(g.Holds), 1)
		}
	}
}
