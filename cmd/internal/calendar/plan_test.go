package calendar_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// The demo's 48 enoki bottles from Tuesday, December 1, 2026 on, by hand, with
// weekends closed and the days from December 24 to January 1. Incubation is 20, 25
// and 30 days, pinning 7, 10 and 12, fruiting 12, 17 and 22.
//
//	mixing    December 1, a Tuesday; goods are there on Monday
//	spawning  December 2: overnight
//	looks     day 4 is Sunday 6 -> Monday 7; day 10 is Saturday 12 -> 14;
//	          17 is Saturday 19 -> 21; 24 is Saturday 26 -> January 4, nine days:
//	          it bears 3; but that is the day of opening, so none is left
//	opening   day 25 is Sunday, December 27 -> January 4: 8 days; it bears 3
//	pins      10 days: Thursday, January 14
//	harvest   17 days: Sunday, January 31; between January 4 + 19 and + 34
//	emptying  within 24 h: Monday, February 1; washing then too
//	spawn     jars 14 days before December 2: November 18
func TestDemoByHand(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 48)
	w := weekdays(t, "2026-12-24..2027-01-01")
	p, err := calendar.Forwards(b, w, date(t, "2026-12-01"))
	require.NoError(t, err)
	require.Len(t, p.Cohorts, 1)
	for step, want := range map[work.StepID]string{
		work.Weigh: "2026-12-01", work.Sterilize: "2026-12-01", work.Cool: "2026-12-01",
		work.Inoculate: "2026-12-02", work.Incubate: "2026-12-02", work.Open: "2027-01-04", work.Pin: "2027-01-04",
		work.FitCollar: "2027-01-14", work.HarvestCrop: "2027-01-31", work.Release: "2027-01-31",
		work.Empty: "2027-02-01", work.Wash: "2027-02-01", work.Retire: "2027-02-01",
	} {
		assert.Equal(t, want, only(t, p, step, 1).Date.String(), step)
	}
	receive := only(t, p, work.Receive, 0)
	assert.Equal(t, "2026-11-30", receive.Date.String())
	assert.InDelta(t, 10*unit.Minute, float64(receive.Takes), 1e-9)

	var looks []string
	for _, l := range of(p, work.Inspect, 1) {
		looks = append(looks, l.Date.String())
		assert.InDelta(t, 17.5*unit.Minute, float64(l.Takes), 1e-9, "10 and 0.15 for each of 50")
	}
	assert.Equal(t, []string{"2026-12-07", "2026-12-14", "2026-12-21"}, looks)

	open := only(t, p, work.Open, 1)
	assert.Equal(t, calendar.FromSpawning, open.From)
	assert.Equal(t, 25, open.Days)
	assert.Equal(t, "2026-12-27", open.Due.String())
	assert.Equal(t, 5, open.Over, "8 days late, of which it bears 3")
	pick := only(t, p, work.HarvestCrop, 1)
	assert.True(t, pick.Closed, "a Sunday")
	assert.Equal(t, "2027-01-23", pick.FirstDay.String())
	assert.Equal(t, "2027-02-07", pick.FinalDay.String())

	assert.Equal(t, p.Expected, pick.Date)
	// December 2 + 20 is the 22nd, a day of work; + 7 + 12.
	assert.Equal(t, "2027-01-10", p.Earliest.String())
	// + 30 is January 1 -> 4; + 12 + 22.
	assert.Equal(t, "2027-02-07", p.Latest.String())
	// PERT: (20+100+30 + 7+40+12 + 12+68+22) / 6 = 51.83; variances (100+25+100)/36
	// = 6.25, sd 2.5; 51.83 + 1.2816 x 2.5 = 55.04; 52 are usual, so 4 days more.
	assert.Equal(t, "2027-02-04", p.Safe.String())

	jars := of(p, calendar.StartJars, 0)
	require.Len(t, jars, 2)
	assert.Equal(t, []int{1, 2}, []int{jars[0].Number, jars[1].Number})
	assert.Equal(t, w.Previous(date(t, "2026-12-02")-calendar.Date(b.Demands[0].Start/unit.Day)), jars[1].Date)
	assert.Less(t, jars[0].Date, jars[1].Date)
	// Generation 1 is counted from where generation 2 has been put.
	assert.Equal(t, jars[1].Date-calendar.Date((b.Demands[1].Start-b.Demands[0].Start)/unit.Day), jars[0].Due)
	plates := of(p, calendar.StartPlates, 0)
	require.Len(t, plates, 1)
	assert.Equal(t, plates[0], p.Tasks[0], "nothing is sooner")
	require.Len(t, p.Stages, 3)
	assert.Equal(t, calendar.Stretch{Stage: "pinning", Cohort: 1, From: open.Date, To: open.Date + 10}, p.Stages[1])
}

// A batch of several days: 400 bottles are four loads, and the demo's shift of
// 8 h takes as many a day as its batch says. No cohort is mixed before a day that
// nobody spawns on.
func TestSeveralCohorts(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 400)
	last := b.Runs[len(b.Runs)-1].Day
	require.Greater(t, last, 1)
	p, err := calendar.Forwards(b, weekdays(t), date(t, "2026-12-03")) // a Thursday
	require.NoError(t, err)
	require.Len(t, p.Cohorts, last)
	want := []string{"2026-12-03", "2026-12-07", "2026-12-08", "2026-12-09"} // not on Friday
	filled, grown := 0, 0
	for i, cohort := range p.Cohorts {
		assert.Equal(t, want[i], cohort.Mixing.String())
		assert.Equal(t, cohort.Mixing+1, cohort.Spawning)
		filled, grown = filled+cohort.Vessels, grown+cohort.Grown
	}
	assert.Equal(t, b.Filled, filled)
	assert.Equal(t, b.Vessels, grown)

	// Bottles that bear to stand for 48 h may cool over a Saturday.
	w, err := calendar.NewWorkdays([]string{"sun", "mon", "tue", "wed", "thu", "fri"}, nil)
	require.NoError(t, err)
	in := input(t, "enoki-850")
	in.Protocol.Sterilization.UseWithin = 2 * unit.Day
	p, err = calendar.Forwards(compute(t, in, 48), w, date(t, "2026-12-04")) // a Friday
	require.NoError(t, err)
	assert.Equal(t, "2026-12-04", p.Cohorts[0].Mixing.String())
	assert.Equal(t, "2026-12-06", p.Cohorts[0].Spawning.String())
	assert.Zero(t, only(t, p, work.Inoculate, 1).Over)
	p, err = calendar.Forwards(compute(t, input(t, "enoki-850"), 48), w, date(t, "2026-12-04"))
	require.NoError(t, err)
	assert.Equal(t, "2026-12-06", p.Cohorts[0].Mixing.String())
}

// The published length of a cycle of enoki, from mixing to picking, on a farm
// that never closes; and PERT.
func TestPublishedLengths(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	p, err := calendar.Forwards(compute(t, input(t, "enoki-850"), 48), calendar.EveryDay(), date(t, "2026-12-01"))
	require.NoError(t, err)
	table.Row(t, "C109").Meet(t, float64(p.Expected-p.Start))

	r := table.Row(t, "C110")
	mean, sd, err := calendar.PERT(r.Input(t, "a"), r.Input(t, "m"), r.Input(t, "b"))
	require.NoError(t, err)
	r.Meet(t, mean, sd)
	for _, bad := range [][3]float64{{0, 1, 2}, {2, 1, 3}, {1, 3, 2}} {
		_, _, err := calendar.PERT(bad[0], bad[1], bad[2])
		assert.ErrorContains(t, err, "must ascend from above 0")
	}
}

// Each step of each protocol of the demo farm is on a day, and all of its time
// is: looks come again, and the rest adds up to the batch's.
func TestEveryStepHasItsDay(t *testing.T) {
	for _, in := range inputs(t) {
		for _, n := range in.Protocol.BatchSizes {
			b := compute(t, in, n)
			p, err := calendar.Forwards(b, weekdays(t), date(t, "2026-12-01"))
			require.NoError(t, err)
			takes := map[work.StepID]float64{}
			for _, task := range p.Tasks {
				takes[task.Step] += float64(task.Takes)
			}
			for _, s := range b.Process.Steps() {
				if s.ID == work.Inspect {
					assert.GreaterOrEqual(t, takes[s.ID], b.StepTime(s)-1e-6)
					continue
				}
				assert.InDelta(t, b.StepTime(s), takes[s.ID], 1e-6, "%s: %s", in.Protocol.Name, s.ID)
			}
		}
	}
}

// Steps are done in the order of the procedure, over the days and in each. The
// looks, which come again, and what stands between them are left out.
func TestOrderOfSteps(t *testing.T) {
	for _, in := range inputs(t) {
		b := compute(t, in, in.Protocol.BatchSizes[0])
		p, err := calendar.Forwards(b, weekdays(t), date(t, "2026-12-01"))
		require.NoError(t, err)
		var got, want []work.StepID
		for _, task := range p.Tasks {
			if task.Cohort > 1 || task.Step == work.Inspect || task.Step == work.Reject || slices.Contains([]work.StepID{calendar.StartPlates, calendar.SoakGrain, calendar.StartJars}, task.Step) {
				continue
			}
			got = append(got, task.Step)
		}
		for _, s := range b.Process.Steps() {
			if s.ID != work.Inspect && s.ID != work.Reject {
				want = append(want, s.ID)
			}
		}
		assert.Equal(t, want, got, in.Protocol.Name)
	}
}

// A step of the farm's own goes with the one that it stands by.
func TestOwnStep(t *testing.T) {
	in := input(t, "enoki-850")
	takes := unit.Duration(7 * unit.Minute)
	in.Protocol.Steps = []protocol.Step{
		{ID: "turn", After: "fruit", Takes: &takes},
		{ID: "lamp", After: "inspect", Takes: &takes},
		{ID: "sweep", Before: "open", Takes: &takes},
		{ID: "count", After: "retire", Takes: &takes},
	}
	p, err := calendar.Forwards(compute(t, in, 48), weekdays(t), date(t, "2026-12-01"))
	require.NoError(t, err)
	for own, beside := range map[work.StepID]work.StepID{"turn": work.Fruit, "sweep": work.Open, "count": work.Retire} {
		assert.Equal(t, only(t, p, beside, 1).Date, only(t, p, own, 1).Date, own)
	}
	lamp := only(t, p, "lamp", 1)
	assert.Equal(t, of(p, work.Inspect, 1)[0].Date, lamp.Date)
	assert.InDelta(t, 7*unit.Minute, float64(lamp.Takes), 1e-9)
}

func TestNoPlan(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 48)
	apart, err := calendar.NewWorkdays([]string{"mon", "wed", "fri"}, nil)
	require.NoError(t, err)
	_, err = calendar.Forwards(b, apart, date(t, "2026-12-01"))
	assert.ErrorContains(t, err, "no working day with another within 1 days after it")
	_, err = calendar.Backwards(b, apart, date(t, "2026-12-01"), calendar.Usually, nil)
	assert.ErrorContains(t, err, "no working day with another within 1 days after it")
	_, err = calendar.Forwards(b, calendar.Workdays{}, date(t, "2026-12-01"))
	assert.ErrorContains(t, err, "NewWorkdays")
	_, err = calendar.Forwards(b, calendar.EveryDay(), date(t, "2199-12-01"))
	assert.ErrorContains(t, err, "begins or is delivered on 2199-12-01 leaves the years that can be planned")
	_, err = calendar.Backwards(b, calendar.EveryDay(), date(t, "1900-01-20"), calendar.Usually, nil)
	assert.ErrorContains(t, err, "delivered on 1900-01-20 leaves the years")
	_, err = calendar.Backwards(b, calendar.EveryDay(), calendar.Last+1, calendar.Usually, nil)
	assert.ErrorContains(t, err, "delivered on 2200-01-01 leaves the years that can be planned, 1900-01-01 to 2199-12-31")
}
