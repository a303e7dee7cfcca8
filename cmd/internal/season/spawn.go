package season

import (
	"cmp"
	"slices"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/unit"
)

// How many days sooner than it has to be a generation of spawn is begun at the most,
// where its day is taken, and in how many ways that is tried for a batch that is in
// time or late (design choice). Grown jars keep in the cold; how long, is the
// protocol's.
const (
	mostSooner = 5
	waysInTime = 12
	waysLate   = 4
)

// sooners are the ways in which spawn of a batch may be begun sooner, the shortest
// wait first, and before them none at all.
func (t *taking) sooners(most int) []*taking {
	out := []*taking{t}
	n := len(t.batch.Demands)
	if n == 0 {
		return out
	}
	var ways [][]int
	for a := range mostSooner + 1 {
		for b := range mostSooner + 1 {
			if way := make([]int, n); a+b > 0 && (n > 1 || b == 0) {
				way[0] = a
				if n > 1 {
					way[1] = b
				}
				ways = append(ways, way)
			}
		}
	}
	slices.SortStableFunc(ways, func(x, y []int) int { return cmp.Compare(waits(x), waits(y)) })
	for _, way := range ways {
		if len(out) > most {
			break
		}
		if t.bears(way) {
			u := *t
			u.sooner = way
			u.needs, u.dirty = slices.Clip(t.needs[:t.unspawn.needs]), slices.Clip(t.dirty[:t.unspawn.dirty])
			u.spawn()
			out = append(out, &u)
		}
	}
	return out
}

func waits(way []int) int {
	sum := 0
	for _, days := range way {
		sum += days
	}
	return sum
}

// bears reports whether spawn may be begun so much sooner: it keeps so long, somebody
// is there from the soaking on, and nothing of it is past.
func (t *taking) bears(way []int) bool {
	keeps := int(float64(t.batch.Process.Input.Protocol.Spawn.AgeMost) / unit.Day)
	by := 0
	for i, d := range t.batch.Demands {
		by += way[i]
		jars := t.jars(d.Generation)
		soaking := int(float64(d.Soak-d.Start)/unit.Day + 0.5)
		switch past := jars.Date-calendar.Date(soaking) < t.since; {
		case past && way[i] == 0, by == 0:
			continue // bought, or as late as it can be
		case past:
			return false
		}
		if int(jars.Due-jars.Date)+way[i] > keeps {
			return false
		}
		for day := jars.Date - calendar.Date(by+soaking); day <= jars.Date-calendar.Date(by); day++ {
			if day < t.since || !t.means.work.Open(day) {
				return false
			}
		}
	}
	plates := t.plan.Tasks[0].Date
	return plates < t.since || t.means.work.Previous(plates-calendar.Date(by)) >= t.since
}

// planned is the plan with its spawn as soon as it is begun.
func (t *taking) planned() *calendar.Plan {
	if waits(t.sooner) == 0 {
		return t.plan
	}
	out := *t.plan
	out.Tasks = slices.Clone(t.plan.Tasks)
	by, of := 0, map[int]int{}
	for i, d := range t.batch.Demands {
		by += t.sooner[i]
		of[d.Generation] = by
	}
	for i := range out.Tasks {
		task := &out.Tasks[i]
		days := 0
		switch task.Step {
		case calendar.SoakGrain, calendar.StartJars:
			days = of[task.Number]
		case calendar.StartPlates:
			days = by
		}
		if days == 0 {
			continue
		}
		task.Date -= calendar.Date(days)
		if task.Step == calendar.StartPlates {
			task.Due -= calendar.Date(days)
			task.Date = t.means.work.Previous(task.Date)
		}
		task.FirstDay, task.FinalDay, task.Closed = task.Date, task.Date, !t.means.work.Open(task.Date)
	}
	slices.SortStableFunc(out.Tasks, func(a, b calendar.Task) int { return cmp.Compare(a.Date, b.Date) })
	return &out
}
