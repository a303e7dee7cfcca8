package season

import (
	"math"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// taking is what a batch on its days takes of a farm.
type taking struct {
	means *means
	batch *batch.Batch
	plan  *calendar.Plan
	since calendar.Date // what is before it is past
	share float64       // of the vessels that are still there; 1 for a batch to be made

	sooner []int // days by which each generation of spawn is begun sooner than it has to, by its place among the demands

	needs   []need
	stays   []Stay
	of      []int // the need of each stay, -1 for none
	dirty   []dirt
	unspawn struct{ needs, dirty int } // how many of them are not of the spawn
}

// dirt are vessels that wait for their wash.
type dirt struct {
	of, from, to int
	amount       int64
}

// takes works out what a batch on its days takes from a day on.
func (m *means) takes(b *batch.Batch, p *calendar.Plan, since calendar.Date, share float64) *taking {
	t := &taking{means: m, batch: b, plan: p, since: since, share: share}
	for _, c := range p.Cohorts {
		t.cohort(c)
	}
	t.hours()
	t.unspawn.needs, t.unspawn.dirty = len(t.needs), len(t.dirty)
	t.sooner = make([]int, len(b.Demands))
	t.spawn()
	return t
}

// need takes an amount of what has one of the ids, the first that has it.
func (t *taking) need(from, to calendar.Date, amount int64, ids ...string) {
	from = max(from, t.since)
	if from >= to || amount <= 0 {
		return
	}
	n := need{from: int(from), to: int(to), amount: amount}
	for _, id := range ids {
		n.of = append(n.of, t.means.at[id])
	}
	t.needs = append(t.needs, n)
}

func (t *taking) left(vessels int) int { return int(unit.Up(float64(vessels) * t.share)) }

// cohort is what vessels of one day of mixing take, from the mixer to the shelf of
// washed ones.
func (t *taking) cohort(c calendar.Cohort) {
	p := t.batch.Process
	day := func(d calendar.Date, amount int64, id string) { t.need(d, d+1, amount, id) }
	loads := int64(len(c.Loads))
	day(c.Mixing, loads*t.line(), id(Line, ""))
	day(c.Mixing, loads, id(Runs, p.Sterilizer.ID))
	t.need(c.Mixing, c.Spawning, int64(t.left(c.Vessels)), id(Cooling, ""))
	day(c.Spawning, int64(t.left(c.Grown)), id(Bench, ""))
	for _, s := range t.plan.Stages {
		if s.Cohort == c.Number {
			t.stay(s, c)
		}
	}
	var looks []calendar.Date
	emptied, washed := c.Harvest, c.Harvest
	for _, task := range t.plan.Tasks {
		if task.Cohort != c.Number {
			continue
		}
		switch task.Step {
		case work.Reject:
			looks = append(looks, task.Date)
		case work.Empty:
			emptied = task.Date
			washed = max(washed, emptied)
		case work.Wash:
			washed = task.Date
			day(task.Date, int64(t.left(c.Vessels)), id(Washing, ""))
		}
	}
	for _, d := range looks {
		t.kill(d, p.Value("lost_share")*float64(c.Grown)/float64(len(looks)))
	}
	if p.Setting().Reusable {
		t.circulate(p.Vessel.ID, c.Mixing, emptied, washed, t.left(c.Vessels))
	}
}

// KillWaits is how many days bad vessels wait closed in their bin, so that those of
// several looks go into one run: design choice.
const KillWaits = 3

// kill sterilizes the bad vessels of a look, before anybody opens them: on the day
// itself or some days later, in any sterilizer of the farm that takes them, the
// protocol's first.
func (t *taking) kill(look calendar.Date, bad float64) {
	p := t.batch.Process
	ids := []string{killPool + ":" + p.Sterilizer.ID}
	for _, s := range t.means.farm.Sterilizers {
		if s.ID != p.Sterilizer.ID && holds(s, p.Vessel.ID) > 0 {
			ids = append(ids, killPool+":"+s.ID)
		}
	}
	before := len(t.needs)
	t.need(look, look+1, int64(unit.Nearest(milli*bad)), ids...)
	if len(t.needs) == before {
		return
	}
	for d := look + 1; d <= look+KillWaits; d++ {
		if t.means.work.Open(d) {
			t.needs[before].later = append(t.needs[before].later, int(d))
		}
	}
}

func holds(s protocol.FarmSterilizer, vessel string) int {
	for _, h := range s.Holds {
		if h.Vessel == vessel {
			return h.Count
		}
	}
	return 0
}

// line is how long one load keeps the line, s: its part of a shift, or the time at
// the mixer and the bench where no shift bounds it.
func (t *taking) line() int64 {
	if s := t.means.farm.Shift; s != nil {
		return int64(float64(s.Length)) / int64(loadsFit(t.batch, float64(s.Length)))
	}
	return int64(unit.Up(t.batch.Value("line_time")))
}

// circulate takes vessels out of those that are washed: from the day on which they
// are filled up to that on which they are washed, for they have to dry.
func (t *taking) circulate(kind string, filled, emptied, washed calendar.Date, vessels int) {
	t.need(filled, washed+1, int64(vessels), id(Vessels, kind))
	if from := max(emptied, t.since); from <= washed {
		t.dirty = append(t.dirty, dirt{t.means.at[id(Vessels, kind)], int(from), int(washed) + 1, int64(vessels)})
	}
}

// stay puts a stage of a cohort in a room. Controls stand with the others as long as
// these are closed.
func (t *taking) stay(s calendar.Stretch, c calendar.Cohort) {
	vessels := c.Vessels
	if s.Stage == "pinning" || s.Stage == "fruiting" {
		vessels = c.Grown
	}
	out := Stay{Cohort: c.Number, Stage: s.Stage, Vessels: t.left(vessels), From: s.From, To: s.To}
	var rooms []string
	for _, stage := range t.batch.Process.Stages {
		if stage.ID == s.Stage {
			rooms = t.rooms(stage)
		}
	}
	at := -1
	if len(rooms) > 0 {
		before := len(t.needs)
		t.need(s.From, s.To, int64(out.Vessels), rooms...)
		if len(t.needs) > before {
			at = before
		}
	}
	t.stays, t.of = append(t.stays, out), append(t.of, at)
}

func (t *taking) rooms(s process.Stage) []string {
	var out []string
	for _, r := range t.batch.Process.Rooms(s) {
		out = append(out, id(Places, r.ID))
	}
	return out
}

// spawn is what the jars of a batch's own spawn take: they are sterilized the day
// before they are inoculated, and cool over night.
func (t *taking) spawn() {
	g := t.batch.Process.Grain
	if g == nil {
		return
	}
	used := t.plan.Cohorts[len(t.plan.Cohorts)-1].Spawning
	by := calendar.Date(0)
	for i, d := range t.batch.Demands { // the last generation is the first of them
		by += calendar.Date(t.sooner[i])
		jars := t.jars(d.Generation).Date - by
		run := jars - 1
		t.need(run, run+1, int64(d.Jars), grainPool+":"+g.In.ID)
		t.need(run, jars, int64(d.Jars), id(Cooling, ""))
		t.need(jars, jars+1, int64(d.Made), id(Bench, ""))
		if run >= t.since {
			t.circulate(g.Into.ID, run, used, used, d.Jars)
		}
		used = jars
	}
}

// jars is the task of inoculating the jars of a generation.
func (t *taking) jars(generation int) calendar.Task {
	for _, task := range t.plan.Tasks {
		if task.Step == calendar.StartJars && task.Number == generation {
			return task
		}
	}
	return calendar.Task{}
}

// hours is the work of each role on each day.
func (t *taking) hours() {
	type key struct {
		day  calendar.Date
		role work.Role
	}
	sum, order := map[key]float64{}, []key(nil)
	for _, task := range t.plan.Tasks {
		k := key{task.Date, task.Role}
		if _, ok := sum[k]; !ok {
			order = append(order, k)
		}
		sum[k] += float64(task.Takes)
	}
	for _, k := range order {
		t.need(k.day, k.day+1, int64(math.Ceil(sum[k]-1e-6)), id(Hours, string(k.role)))
	}
}
