package season

import (
	"errors"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
)

// planner puts batches on days, each batch once on each day.
type planner struct {
	in    Input
	means *means
	plans map[start]*taking
}

type start struct {
	batch *batch.Batch
	day   calendar.Date
}

// on is a batch that is first mixed on a day; nil where nothing is mixed that day or
// where it leaves the years that can be planned.
func (p *planner) on(b *batch.Batch, d calendar.Date) *taking {
	k := start{b, d}
	if t, ok := p.plans[k]; ok {
		return t
	}
	var t *taking
	if plan, err := calendar.Forwards(b, p.in.Workdays, d); err == nil && plan.Start == d {
		t = p.means.takes(b, plan, p.since(), 1)
	}
	p.plans[k] = t
	return t
}

// since is the day before which nothing is taken: it is past.
func (p *planner) since() calendar.Date {
	if p.in.Today == nil {
		return calendar.First
	}
	return *p.in.Today
}

// offer makes a job of what is wanted. Its candidates in time are those of which all
// is picked on the day or up to Keeps days before it, the latest start first, and
// always the latest start at all. Then come the late ones, day by day.
func (p *planner) offer(w *wanted) {
	plan, err := calendar.Backwards(w.batch, p.in.Workdays, w.day, p.in.Basis, p.in.Today)
	var late *calendar.TooLate
	latest := calendar.Date(0)
	switch {
	case errors.As(err, &late):
		w.soonest, latest = late.Soonest, late.Start
	case err != nil:
		w.unmet = NoDays
		return
	default:
		latest = plan.Start
	}
	if late != nil && late.Soonest-w.day > MostLate {
		w.unmet = NoTime
		return
	}
	w.job = &job{due: int(w.day), weight: max(1, int64(float64(w.mass)*milli+0.5)), unmet: MostLate + 7}
	var early []candidate
	if late == nil {
		least := min(w.day-Keeps, ready(plan, p.in.Basis))
		for d := latest; d >= p.since(); d-- {
			t := p.on(w.batch, d)
			if t == nil && latest-d < mostClosed {
				continue
			}
			if t == nil || ready(t.plan, p.in.Basis) < least {
				break
			}
			early = append(early, w.candidates(t, 0)...)
		}
	}
	next := max(latest+1, p.since())
	w.job.more = func() []candidate {
		if early != nil {
			out := early
			early = nil
			return out
		}
		out := p.nextLate(w, &next)
		return out
	}
}

// mostClosed is for how many days on end nothing is mixed at the most, before it is
// given up to look for an earlier day.
const mostClosed = 60

// nextLate are the candidates that are late by the fewest days from a start on; none
// where that is more than MostLate.
func (p *planner) nextLate(w *wanted, next *calendar.Date) []candidate {
	var same []*taking
	late := calendar.Date(0)
	for idle := 0; idle < mostClosed; *next++ {
		t := p.on(w.batch, *next)
		if t == nil {
			idle++
			continue
		}
		l := ready(t.plan, p.in.Basis) - w.day
		if l > MostLate || len(same) > 0 && l != late {
			break
		}
		if l > 0 {
			same, late = append(same, t), l
		}
	}
	var out []candidate
	for i := len(same) - 1; i >= 0; i-- {
		out = append(out, w.candidates(same[i], int(late))...)
	}
	return out
}

// candidates are the ways to make a batch on its days.
func (w *wanted) candidates(t *taking, late int) []candidate {
	var out []candidate
	ways := waysInTime
	if late > 0 {
		ways = waysLate
	}
	for _, way := range t.sooners(ways) {
		w.takings = append(w.takings, way)
		out = append(out, candidate{late: late, start: int(t.plan.Start), waits: waits(way.sooner), needs: way.needs})
	}
	return out
}
