package calendar

import (
	"errors"
	"fmt"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// Cohort is what of a batch is mixed on one day. From then on it stays together: it
// is spawned, opened and picked as one.
type Cohort struct {
	Number   int // from 1
	Loads    []int
	Vessels  int // all of its loads
	Grown    int // without the controls
	Mixing   Date
	Spawning Date // the vessels cool overnight, in clean air
	White    Date // as a rule
	Opening  Date
	Pins     Date // as a rule
	Harvest  Date // as a rule
}

// lengths are the lengths of the stages in whole days.
type lengths struct {
	incubation, ripening, pinning, fruiting int
}

func (l lengths) sum() int { return l.incubation + l.ripening + l.pinning + l.fruiting }

// layout is all that the days of a batch rest on, but for the first of them.
type layout struct {
	work                     Workdays
	cohorts                  []Cohort // without dates
	shortest, usual, longest lengths
	safety                   int // days to add to the usual ones to be safe
	spawnWithin              int // days after mixing
	emptyWithin              int // days after picking
	spawnKeeps               int // days
	ripened                  bool
}

func newLayout(b *batch.Batch, w Workdays) (*layout, error) {
	if w.week == [7]bool{} {
		return nil, errors.New("calendar: no working day; make workdays with NewWorkdays")
	}
	if len(b.Runs) == 0 || len(b.Runs) != len(b.Loads) {
		return nil, errors.New("calendar: the batch has no timetable, for a figure of it could not be worked out: mend its errors first")
	}
	pr := b.Process.Input.Protocol
	l := &layout{
		work: w,
		// A load that stayed closed bears to stand so long. It stands overnight in any
		// case, or it would not be cool: where it may stand for less than a day, the
		// calendar can't tell, and the limit on the sheet holds.
		spawnWithin: max(1, int(float64(pr.Sterilization.UseWithin)/unit.Day)),
		emptyWithin: int(float64(pr.Cleaning.EmptyWithin) / unit.Day),
		spawnKeeps:  int(float64(pr.Spawn.AgeMost) / unit.Day),
	}
	var mean, variance float64
	for _, s := range b.Process.Stages {
		low, usual, high := process.WholeDays(s.Shortest), process.WholeDays(s.Usual), process.WholeDays(s.Longest)
		switch s.ID {
		case "incubation":
			l.shortest.incubation, l.usual.incubation, l.longest.incubation = low, usual, high
		case "ripening":
			l.ripened = true
			l.shortest.ripening, l.usual.ripening, l.longest.ripening = low, usual, high
		case "pinning":
			l.shortest.pinning, l.usual.pinning, l.longest.pinning = low, usual, high
		case "fruiting":
			l.shortest.fruiting, l.usual.fruiting, l.longest.fruiting = low, usual, high
		default:
			return nil, fmt.Errorf("calendar: a stage %q, which has no place on the way to the harvest", s.ID)
		}
		m, sd, err := PERT(float64(low), float64(usual), float64(high))
		if err != nil {
			return nil, fmt.Errorf("stage %s: %w", s.ID, err)
		}
		mean, variance = mean+m, variance+sd*sd
	}
	l.safety = safeDays(mean, variance, l.usual.sum())
	for i, r := range b.Runs {
		if i == 0 || b.Runs[i-1].Day != r.Day {
			l.cohorts = append(l.cohorts, Cohort{Number: len(l.cohorts) + 1})
		}
		cohort, load := &l.cohorts[len(l.cohorts)-1], b.Loads[i]
		cohort.Loads = append(cohort.Loads, load.Number)
		cohort.Vessels += load.Vessels
		cohort.Grown += load.Vessels - load.Controls
	}
	return l, nil
}

// mostSearched is how far ahead a day for mixing is looked for.
const mostSearched = 3 * 366

// mixing is the first day from d on for mixing: somebody works then, and again
// as long after it as the sterilized vessels bear to stand.
func (l *layout) mixing(d Date) (Date, error) {
	for day := l.work.Next(d); day < d+mostSearched; day = l.work.Next(day + 1) {
		if l.work.Next(day+1) <= day+Date(l.spawnWithin) {
			return day, nil
		}
	}
	return 0, &NoMixing{d, l.spawnWithin}
}

// grow is the way of a cohort from its spawning, with stages of such lengths.
func (l *layout) grow(cohort Cohort, stages lengths) Cohort {
	cohort.White = cohort.Spawning + Date(stages.incubation)
	cohort.Opening = l.work.place(FromSpawning, cohort.Spawning, stages.incubation+stages.ripening, Waits, openingBears).Date
	cohort.Pins = cohort.Opening + Date(stages.pinning)
	cohort.Harvest = cohort.Pins + Date(stages.fruiting)
	return cohort
}

// lay puts the cohorts on days, the first mix on start or as soon after it as can be.
func (l *layout) lay(start Date) ([]Cohort, error) {
	cohorts := make([]Cohort, len(l.cohorts))
	day := start
	for i, cohort := range l.cohorts {
		var err error
		if cohort.Mixing, err = l.mixing(day); err != nil {
			return nil, err
		}
		cohort.Spawning = l.work.Next(cohort.Mixing + 1)
		cohorts[i] = l.grow(cohort, l.usual)
		day = cohort.Mixing + 1
	}
	if start < First || l.ready(cohorts, l.longest) > Last-protocol.HolidaysMost {
		return nil, &OutOfYears{start}
	}
	return cohorts, nil
}

// ready is the day on which the last cohort is picked, with stages of such lengths.
func (l *layout) ready(cohorts []Cohort, stages lengths) Date {
	return l.grow(cohorts[len(cohorts)-1], stages).Harvest
}

// safe is the day by which the last cohort of nine batches of ten is picked.
func (l *layout) safe(cohorts []Cohort) Date {
	return min(l.ready(cohorts, l.usual)+Date(l.safety), l.ready(cohorts, l.longest))
}
