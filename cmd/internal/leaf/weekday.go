package leaf

import (
	"slices"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// weekDay sets a day of a week: what is delivered, then by role what is done, the runs
// with the operator's, and what is cleaned.
func (e Edition) weekDay(t tellers, recipes []Recipe, d calendar.Date, hours map[work.Role]unit.Duration) weekDay {
	out := weekDay{Name: e.Voice.Say(DayMessage(d))}
	for _, x := range t.Deliveries {
		if x.Day == d || IsLate(x) && x.Batch >= 0 && x.Day+calendar.Date(x.Late) == d {
			out.Rows = append(out.Rows, e.deliveryRow(t.Season, x, d))
		}
	}
	var all unit.Duration
	stints := t.stints(d)
	for _, role := range work.Roles() {
		for _, x := range stints {
			if x.role == role {
				hours[role] += x.takes
				all += x.takes
				out.Rows = append(out.Rows, e.stintRow(t, recipes, d, x))
			}
		}
		if role == work.Operator {
			out.Rows = append(out.Rows, e.runRows(t, recipes, d)...)
		}
	}
	if row := e.cleaningRow(t.Workdays, d); row != nil {
		out.Rows = append(out.Rows, *row)
	}
	for i := 1; i < len(out.Rows); i++ {
		out.Rows[i].Again = out.Rows[i].Role == out.Rows[i-1].Role
	}
	if all > 0 {
		out.Time = e.worked(all)
	}
	if len(out.Rows) == 0 {
		out.Nothing = e.say(map[bool]string{true: "book.week.nothing", false: "book.week.closed"}[t.Workdays.Open(d)])
	}
	return out
}

// deliveryRow is a delivery on the day that it is due or, where it is late, on the
// day that it comes.
func (e Edition) deliveryRow(s Season, x season.Delivery, d calendar.Date) weekRow {
	row := weekRow{Role: e.say("book.week.deliver"), Delivered: true,
		What: e.say("book.week.deliver.what", "mass", Sold(x.Mass), "for", s.For(x))}
	if x.Batch >= 0 {
		row.Batches = []string{s.Batches[x.Batch].Code}
	} else {
		row.Batches = []string{s.Orders[x.Order].Protocol}
	}
	switch {
	case x.Day != d:
		row.Notes = append(row.Notes, e.say("book.week.was_due", "date", x.Day.String()))
	case IsLate(x):
		row.Notes = append(row.Notes, e.Voice.Sentence(s.Outcome(x)), e.say("book.week.tell"))
	}
	return row
}

func (e Edition) stintRow(t tellers, recipes []Recipe, d calendar.Date, x stint) weekRow {
	b, told := t.Batches[x.batch], t.tell(x.batch)
	first, last := x.tasks[0], x.tasks[len(x.tasks)-1]
	row := weekRow{Role: e.say("role." + string(x.role)), Batches: []string{b.Code}, What: e.Voice.Say(told.plain(first)),
		Href: e.taskHref(recipes, b, told.Number(first)), Place: e.places(told, b, x.tasks)}
	if len(x.tasks) > 1 {
		row.What = e.say("book.week.through", "first", told.plain(first), "last", told.plain(last))
	}
	if n, m := told.Number(first), told.Number(last); n > 0 && m > n {
		row.Steps = e.say("book.week.steps", "from", n, "to", m)
	} else if n > 0 {
		row.Steps = e.say("book.week.step", "n", n)
	}
	if x.takes > 0 {
		row.Time = e.worked(x.takes)
	}
	if x.cohort > 0 {
		c := b.Plan.Cohorts[x.cohort-1]
		row.Vessels = e.counted(b.Batch, c.Grown)
		if controls := c.Vessels - c.Grown; controls > 0 && slices.ContainsFunc(x.tasks, func(t calendar.Task) bool { return !work.OnlyGrown(t.Step) && !work.GrownAt(told.station(t)) }) {
			row.Vessels = e.say("book.week.controls", "grown", row.Vessels, "controls", controls)
		}
		if len(b.Plan.Cohorts) > 1 && c.Mixing != d {
			row.Notes = append(row.Notes, e.say("book.week.mixed", "date", c.Mixing.String()))
		}
	}
	for _, task := range x.tasks {
		note := told.Note(task)
		switch note.ID {
		case "", "plan.due", "plan.past": // a day late is no news on its day, and the page says which days are past
			continue
		}
		if text := e.Voice.Sentence(note); !slices.Contains(row.Notes, text) {
			row.Notes = append(row.Notes, text)
		}
	}
	return row
}

// places says where tasks are done: in the room where the batch stands, else at their
// stations, a sterilizer by its name.
func (e Edition) places(told Telling, b season.Batch, tasks []calendar.Task) string {
	if room := Where(e.Farm, b, tasks[len(tasks)-1]); room.ID != "" {
		return e.Voice.Say(room)
	}
	var out []string
	for _, task := range tasks {
		at := told.station(task)
		name := ""
		switch {
		case at == "", at == work.Starting, task.Step == work.Cool: // no place, and what cools is left alone
			continue
		case at == work.Sterilizing:
			name = b.Batch.Process.Sterilizer.Name
		default:
			name = e.say("station." + string(at))
		}
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return e.Voice.List(out)
}

// station is where a task is done: a farm's own step where its sheet has it, and
// spawn where its page has it.
func (t Telling) station(task calendar.Task) work.Station {
	switch {
	case task.Step == calendar.SoakGrain:
		return work.Mixing
	case task.OfSpawn():
		return work.Bench
	}
	return t.steps[task.Step].Station
}

// runRows are the runs of a day that no step of a batch's sheet stands for: jars of
// grain, and bad vessels before they are emptied.
func (e Edition) runRows(t tellers, recipes []Recipe, d calendar.Date) []weekRow {
	var out []weekRow
	for _, r := range t.Runs {
		if r.Day != d || r.Runs == 0 || r.With == season.Load {
			continue
		}
		row := weekRow{Role: e.say("role." + string(work.Operator)), What: e.say("book.week.run."+string(r.With), "n", int(unit.Up(r.Vessels)))}
		for _, s := range e.Farm.Sterilizers {
			if s.ID == r.Sterilizer {
				row.Place = s.Name
			}
		}
		for i, at := range r.Batches {
			b, step := t.Batches[at], 0
			if r.With == season.Bad {
				step = t.tell(at).Number(calendar.Task{Step: work.Reject})
			}
			if i == 0 {
				row.Href = e.taskHref(recipes, b, step)
			}
			if r.With == season.Spawn { // bad vessels come from where they were found
				row.Batches = append(row.Batches, b.Code)
			}
		}
		out = append(out, row)
	}
	return out
}

// cleaningRow is what is cleaned on a day beside the daily work, nil where that is
// nothing. What falls on a closed day comes on the next open one of its week, and at
// the end of a week on the last one.
func (e Edition) cleaningRow(open calendar.Workdays, d calendar.Date) *weekRow {
	if e.Farm.Hygiene == nil {
		return nil
	}
	monday := season.Monday(d)
	var names []string
	for _, task := range e.Farm.Hygiene.Weekly {
		due := monday
		for due.Weekday().String() != task.On && due < monday+6 {
			due++
		}
		on := open.Next(due)
		if on > monday+6 {
			on = open.Previous(due)
		}
		if on == d {
			names = append(names, e.say("book.hygiene.clean."+task.Do))
		}
	}
	if len(names) == 0 {
		return nil
	}
	return &weekRow{Role: e.say("book.week.clean"), What: e.Voice.Phrases(names), Href: "../" + HygienePath}
}
