package leaf

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// Telling has the words for the tasks of a batch on its days.
type Telling struct {
	batch *batch.Batch
	plan  *calendar.Plan
	today *calendar.Date // nil where nobody said
	steps map[work.StepID]procedure.Step
}

// Tell tells a batch on its days. Without a day that counts as today none is past.
func Tell(b *batch.Batch, p *calendar.Plan, today *calendar.Date) Telling {
	t := Telling{b, p, today, map[work.StepID]procedure.Step{}}
	for _, s := range procedure.Build(b).Steps {
		t.steps[s.ID] = s
	}
	return t
}

// Title says what a task is.
func (t Telling) Title(task calendar.Task) protocol.Message {
	title := t.plain(task)
	if task.Cohort > 0 && len(t.plan.Cohorts) > 1 {
		if mixed := t.plan.Cohorts[task.Cohort-1].Mixing; mixed != task.Date {
			return words.Message("plan.several", "title", title, "date", mixed.String())
		}
	}
	return title
}

// plain is what a task is, without which part of its batch it is of.
func (t Telling) plain(task calendar.Task) protocol.Message {
	switch task.Step {
	case calendar.StartPlates:
		return words.Message("plan.spawn.plates", "jars", t.batch.Plates.Made)
	case calendar.SoakGrain, calendar.StartJars:
		for _, d := range t.batch.Demands {
			if d.Generation == task.Number && task.Step == calendar.SoakGrain {
				return words.Message("plan.spawn.soak", "jars", d.Jars, "n", d.Generation)
			}
			if d.Generation == task.Number {
				return words.Message("plan.spawn.jars", "jars", d.Made, "n", d.Generation)
			}
		}
	}
	return t.steps[task.Step].Title
}

// Note says why a task is on its day, where that is not plain.
func (t Telling) Note(task calendar.Task) protocol.Message {
	switch {
	case t.bought(task):
		return words.Message("plan.past.spawn")
	case t.today != nil && task.Date < *t.today:
		return words.Message("plan.past", "today", t.today.String())
	case task.Step == work.HarvestCrop && task.Closed:
		return words.Message("plan.window.closed", "from", task.FirstDay.String(), "to", task.FinalDay.String())
	case task.Step == work.HarvestCrop:
		return words.Message("plan.window", "from", task.FirstDay.String(), "to", task.FinalDay.String())
	case task.Over > 0:
		return words.Message("plan.over", "due", task.Due.String(), "n", task.Over)
	case task.Closed:
		return words.Message("plan.closed")
	case task.Date != task.Due:
		return words.Message("plan.due", "due", task.Due.String())
	}
	return protocol.Message{}
}

// bought reports whether a task is of spawn that can't be begun any more, for a batch
// that can: it was not done, and what should have come of it is got from elsewhere.
func (t Telling) bought(task calendar.Task) bool {
	return t.today != nil && task.OfSpawn() && task.Date < *t.today && *t.today <= t.plan.Start
}

// Number is the number of a task's step on its sheet, 0 for one that is on none.
func (t Telling) Number(task calendar.Task) int { return t.steps[task.Step].Number }

// HandsOn is a time of work to whole minutes, 1 at least: nobody plans finer.
func HandsOn(d unit.Duration) unit.Amount {
	return unit.Amount{Kind: unit.TimeOf, Value: max(1, unit.Nearest(float64(d)/unit.Minute)) * unit.Minute, Step: unit.Minute}
}
