package calendar

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// Task is a step of a batch on its day.
type Task struct {
	Placed
	Step   work.StepID
	Role   work.Role
	Cohort int           // 0 for what is done once for the whole batch
	Number int           // from 1, of a step that comes again; of spawn, the generation
	Takes  unit.Duration // hands-on, of one person; 0 where nothing is known
	order  int
}

// The tasks of a farm that grows its own spawn. They are no steps of the procedure,
// and no step of a farm has a point in its id.
const (
	StartPlates work.StepID = "spawn.plates" // agar plates are started
	SoakGrain   work.StepID = "spawn.soak"   // the grain goes into water
	StartJars   work.StepID = "spawn.jars"   // the sterilized jars are inoculated
)

// OfSpawn reports whether a task is of the farm's own spawn.
func (t Task) OfSpawn() bool {
	return t.Step == StartPlates || t.Step == SoakGrain || t.Step == StartJars
}

// Stretch is a stage of a cohort: it grows, and nobody need be there.
type Stretch struct {
	Stage    string // as in process.Stage
	Cohort   int
	From, To Date // To is the day on which the next one begins
}

// Plan is a batch on its days. There is no one day of harvest: on Earliest, all
// stages were as short as they are, on Latest as long, and by Safe nine batches
// of ten are picked.
type Plan struct {
	Start    Date // the first mix
	Cohorts  []Cohort
	Tasks    []Task // by day, and in a day as they are done
	Stages   []Stretch
	Earliest Date // all cohorts picked
	Expected Date
	Safe     Date
	Latest   Date
}

// Forwards plans a batch from the day on which it may begin.
func Forwards(b *batch.Batch, w Workdays, start Date) (*Plan, error) {
	l, err := newLayout(b, w)
	if err != nil {
		return nil, err
	}
	return l.plan(b, start)
}

func (l *layout) plan(b *batch.Batch, start Date) (*Plan, error) {
	cohorts, err := l.lay(start)
	if err != nil {
		return nil, err
	}
	p := &Plan{
		Start: cohorts[0].Mixing, Cohorts: cohorts,
		Earliest: l.ready(cohorts, l.shortest), Expected: l.ready(cohorts, l.usual), Safe: l.safe(cohorts), Latest: l.ready(cohorts, l.longest),
	}
	steps := phased(b.Process.Steps())
	for i, cohort := range cohorts {
		p.Stages = append(p.Stages, l.stages(cohort)...)
		days := l.days(cohorts, i)
		for order, s := range steps {
			if s.phase == receiving && i > 0 {
				continue // goods come once
			}
			placed := days[s.phase]
			if s.Own && len(placed) > 1 {
				placed = placed[:1] // the book's own step comes again, not this one
			}
			share := float64(cohort.Vessels) / float64(b.Filled)
			if s.GrownAlone() {
				share = float64(cohort.Grown) / float64(b.Vessels)
			}
			takes := b.StepTime(s.Step) * share
			number := cohort.Number
			switch {
			case s.phase == receiving:
				takes, number = b.StepTime(s.Step), 0
			case s.ID == work.Reject:
				takes /= float64(max(1, len(placed))) // how many are bad does not grow with the looks
			}
			for n, at := range placed {
				p.Tasks = append(p.Tasks, Task{Placed: at, Step: s.ID, Role: s.Role, Cohort: number, Number: n + 1,
					Takes: unit.Duration(takes), order: order})
			}
		}
	}
	p.Tasks = append(p.Tasks, l.spawn(b, cohorts[0].Spawning)...)
	slices.SortStableFunc(p.Tasks, func(a, b Task) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.order, b.order), cmp.Compare(a.Cohort, b.Cohort), cmp.Compare(a.Number, b.Number))
	})
	return p, nil
}

func (l *layout) stages(cohort Cohort) []Stretch {
	out := []Stretch{{"incubation", cohort.Number, cohort.Spawning, cohort.White}}
	if l.ripened {
		out = append(out, Stretch{"ripening", cohort.Number, cohort.White, cohort.Opening})
	} else {
		out[0].To = cohort.Opening // white ones that wait stand where they stood
	}
	return append(out, Stretch{"pinning", cohort.Number, cohort.Opening, cohort.Pins}, Stretch{"fruiting", cohort.Number, cohort.Pins, cohort.Harvest})
}

// days are the days of the phases of a cohort.
func (l *layout) days(cohorts []Cohort, i int) map[phase][]Placed {
	cohort, w := cohorts[i], l.work
	one := func(p Placed) []Placed { return []Placed{p} }
	mix := w.place(FromStart, cohorts[0].Mixing, 0, Waits, Any)
	if i > 0 {
		// A day that no spawning day follows is passed over, so it may be later
		// than the rule alone would have it.
		mix = w.place(FromCohort, cohorts[i-1].Mixing, 1, Waits, Any)
		mix.Date, mix.FirstDay, mix.FinalDay = cohort.Mixing, cohort.Mixing, cohort.Mixing
	}
	pins := w.place(FromOpening, cohort.Opening, l.usual.pinning, Ahead, l.usual.pinning-l.shortest.pinning)
	pick := w.place(FromOpening, cohort.Opening, l.usual.pinning+l.usual.fruiting, Stays, 0)
	pick.FirstDay = cohort.Opening + Date(l.shortest.pinning+l.shortest.fruiting)
	pick.FinalDay = cohort.Opening + Date(l.longest.pinning+l.longest.fruiting)
	clear := w.place(FromHarvest, cohort.Harvest, l.emptyWithin, Ahead, l.emptyWithin)
	if clear.Closed {
		clear = w.place(FromHarvest, cohort.Harvest, 0, Stays, 0) // by those who pick
	}
	return map[phase][]Placed{
		receiving: one(w.place(FromStart, cohorts[0].Mixing, -1, Ahead, Any)),
		mixing:    one(mix),
		spawning:  one(w.place(FromMixing, cohort.Mixing, 1, Waits, l.spawnWithin-1)),
		looking:   l.looks(cohort),
		ripening:  one(w.place(FromSpawning, cohort.Spawning, l.usual.incubation, Waits, ripeningBears)),
		opening:   one(w.place(FromSpawning, cohort.Spawning, l.usual.incubation+l.usual.ripening, Waits, openingBears)),
		growing:   one(pins),
		picking:   one(pick),
		emptying:  one(clear),
		washing:   one(w.place(FromEmptying, clear.Date, 0, Waits, washingBears)),
	}
}

// looks are the days on which a cohort is looked over, until it is opened. Two that
// fall on one day are one.
func (l *layout) looks(cohort Cohort) []Placed {
	var out []Placed
	last := cohort.Spawning
	for day := work.FirstLook; cohort.Spawning+Date(day) < cohort.Opening; {
		if at := l.work.place(FromSpawning, cohort.Spawning, day, Waits, lookBears); at.Date > last && at.Date < cohort.Opening {
			out, last = append(out, at), at.Date
		}
		if day < work.ThirdLook {
			day = work.ThirdLook
		} else {
			day += work.LookEvery
		}
	}
	return out
}

// spawn are the tasks of the farm's own spawn, counted back from the day on which
// it is used: each generation from where the next has been put, for what is not
// grown can't be used. Grown jars keep in the cold, so each may be made sooner.
func (l *layout) spawn(b *batch.Batch, used Date) []Task {
	if len(b.Demands) == 0 {
		return nil
	}
	var out []Task
	add := func(id work.StepID, generation int, p Placed) {
		out = append(out, Task{Placed: p, Step: id, Role: work.Inoculator, Number: generation, order: -len(out) - 1})
	}
	whole := func(t unit.Duration) int { return int(unit.Up(float64(t) / unit.Day)) }
	from, next, after := FromFirstSpawning, used, unit.Duration(0)
	for _, d := range b.Demands { // the last generation is the first of them
		soaking := whole(d.Soak - d.Start)
		jars := l.jars(from, next, whole(d.Start-after), soaking)
		add(StartJars, d.Generation, jars)
		add(SoakGrain, d.Generation, l.work.place(FromJars, jars.Date, -soaking, Stays, 0))
		from, next, after = FromNextJars, jars.Date, d.Start
	}
	add(StartPlates, 0, l.work.place(from, next, -whole(b.Plates.Start-after), Ahead, l.spawnKeeps))
	return out
}

// jars is the day on which jars are inoculated, so many days before they are used.
// Soaked grain sours: on each day from the soaking on somebody has to be there,
// for the sterilizer too. Where no such days come together, they come on closed ones.
func (l *layout) jars(from Anchor, used Date, before, soaking int) Placed {
	p := l.work.place(from, used, -before, Ahead, l.spawnKeeps)
	for d := p.Due; d >= p.Due-Date(l.spawnKeeps); d-- {
		open := true
		for i := range Date(soaking + 1) {
			open = open && l.work.Open(d-i)
		}
		if open {
			p.Date, p.FirstDay, p.FinalDay, p.Closed = d, d, d, false
			break
		}
	}
	return p
}
