package calendar_test

import (
	"io/fs"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// inputs are the protocols of the demo farm, which is this repository.
func inputs(t testing.TB) []process.Input {
	t.Helper()
	folder, findings := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	require.NotEqual(t, protocol.Error, protocol.Worst(findings))
	var out []process.Input
	for _, p := range folder.Protocols {
		out = append(out, process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
	}
	return out
}

func input(t testing.TB, name string) process.Input {
	t.Helper()
	all := inputs(t)
	i := slices.IndexFunc(all, func(in process.Input) bool { return in.Protocol.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return all[i]
}

func compute(t testing.TB, in process.Input, n int) *batch.Batch {
	t.Helper()
	p, err := process.Plan(in)
	require.NoError(t, err)
	b, err := batch.Compute(p, n)
	require.NoError(t, err)
	require.NotEqual(t, protocol.Error, protocol.Worst(b.Findings), "%s at %d", in.Protocol.Name, n)
	return b
}

func weekdays(t require.TestingT, holidays ...string) calendar.Workdays {
	w, err := calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, holidays)
	require.NoError(t, err)
	return w
}

func of(p *calendar.Plan, step work.StepID, cohort int) []calendar.Task {
	var out []calendar.Task
	for _, task := range p.Tasks {
		if task.Step == step && task.Cohort == cohort {
			out = append(out, task)
		}
	}
	return out
}

func only(t testing.TB, p *calendar.Plan, step work.StepID, cohort int) calendar.Task {
	t.Helper()
	list := of(p, step, cohort)
	require.Len(t, list, 1, "%s of cohort %d", step, cohort)
	return list[0]
}

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

// farms are workdays with closed days in any place.
func farms(rt *rapid.T) calendar.Workdays {
	all := []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
	first := rapid.IntRange(0, 6).Draw(rt, "first day")
	week := []string{all[first], all[(first+1)%7]} // two in a row, for spawning
	for _, d := range all {
		if !slices.Contains(week, d) && rapid.Bool().Draw(rt, d) {
			week = append(week, d)
		}
	}
	var holidays []string
	for range rapid.IntRange(0, 6).Draw(rt, "holidays") {
		from := date(rt, "2027-11-01") + calendar.Date(rapid.IntRange(0, 200).Draw(rt, "holiday"))
		holidays = append(holidays, from.String()+".."+(from+calendar.Date(rapid.IntRange(0, 12).Draw(rt, "long"))).String())
	}
	w, err := calendar.NewWorkdays(week, holidays)
	require.NoError(rt, err)
	return w
}

// The days from which plans of the property tests begin: over a year's end, a leap
// day and both changes of clocks.
func begin(rt *rapid.T) calendar.Date {
	return date(rt, "2027-10-01") + calendar.Date(rapid.IntRange(0, 200).Draw(rt, "begin"))
}

func TestPlansKeepTheRules(t *testing.T) {
	var batches []*batch.Batch
	for _, in := range inputs(t) {
		for _, n := range in.Protocol.BatchSizes {
			batches = append(batches, compute(t, in, n))
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		b, w, start := rapid.SampledFrom(batches).Draw(rt, "batch"), farms(rt), begin(rt)
		p, err := calendar.Forwards(b, w, start)
		require.NoError(rt, err)
		assert.GreaterOrEqual(rt, p.Start, start)
		assert.True(rt, p.Earliest <= p.Expected && p.Expected <= p.Safe && p.Safe <= p.Latest, "%+v", p)
		assert.True(rt, slices.IsSortedFunc(p.Tasks, func(a, b calendar.Task) int { return int(a.Date - b.Date) }))
		seen := map[[3]any]bool{}
		for _, task := range p.Tasks {
			key := [3]any{task.Step, task.Cohort, task.Number}
			assert.False(rt, seen[key], "%v twice", key)
			seen[key] = true
			assert.Equal(rt, !w.Open(task.Date), task.Closed)
			assert.LessOrEqual(rt, task.FirstDay, task.Date)
			assert.GreaterOrEqual(rt, task.FinalDay, task.Date, "%s inside its window", task.Step)
			switch task.Rule {
			case calendar.Waits:
				assert.False(rt, task.Closed, "%s on a closed day", task.Step)
				assert.GreaterOrEqual(rt, task.Date, task.Due)
				assert.Equal(rt, max(0, int(task.Date-task.Due)-task.Bears), task.Over)
			case calendar.Ahead:
				assert.LessOrEqual(rt, task.Date, task.Due)
				assert.LessOrEqual(rt, int(task.Due-task.Date), task.Bears)
				if task.Closed {
					assert.Less(rt, w.Previous(task.Due), task.Due-calendar.Date(task.Bears), "%s: there was a working day", task.Step)
					assert.Equal(rt, task.Due, task.Date)
				}
			case calendar.Stays:
				assert.Equal(rt, task.Due, task.Date)
			}
		}
		checkSpawn(rt, b, p)
		for i, cohort := range p.Cohorts {
			assert.True(rt, w.Open(cohort.Mixing) && w.Open(cohort.Spawning) && w.Open(cohort.Opening))
			within := max(1, int(float64(b.Process.Input.Protocol.Sterilization.UseWithin)/unit.Day))
			assert.LessOrEqual(rt, int(cohort.Spawning-cohort.Mixing), within)
			assert.True(rt, cohort.Mixing < cohort.Spawning && cohort.Spawning < cohort.White && cohort.White <= cohort.Opening && cohort.Opening < cohort.Pins && cohort.Pins < cohort.Harvest)
			if i > 0 {
				assert.Greater(rt, cohort.Mixing, p.Cohorts[i-1].Mixing)
			}
			pick := of(p, work.HarvestCrop, cohort.Number)
			require.Len(rt, pick, 1)
			assert.Equal(rt, cohort.Harvest, pick[0].Date)
			for _, l := range of(p, work.Inspect, cohort.Number) {
				assert.True(rt, cohort.Spawning < l.Date && l.Date < cohort.Opening)
			}
			empty := of(p, work.Empty, cohort.Number)[0].Date
			assert.LessOrEqual(rt, int(empty-cohort.Harvest), int(float64(b.Process.Input.Protocol.Cleaning.EmptyWithin)/unit.Day))
			assert.GreaterOrEqual(rt, empty, cohort.Harvest)
		}
	})
}

// checkSpawn holds each generation of spawn to the one that it goes into: grown by
// then, and soaked as long before it is inoculated as it should be.
func checkSpawn(rt *rapid.T, b *batch.Batch, p *calendar.Plan) {
	used, after := p.Cohorts[0].Spawning, unit.Duration(0)
	for _, d := range b.Demands {
		number := func(step work.StepID) calendar.Task {
			list := of(p, step, 0)
			i := slices.IndexFunc(list, func(task calendar.Task) bool { return task.Number == d.Generation })
			require.GreaterOrEqual(rt, i, 0)
			return list[i]
		}
		jars, soak := number(calendar.StartJars), number(calendar.SoakGrain)
		assert.GreaterOrEqual(rt, float64(used-jars.Date), float64(d.Start-after)/unit.Day, "grown when it is used")
		assert.LessOrEqual(rt, float64(used-jars.Date), float64(d.Start-after+b.Process.Input.Protocol.Spawn.AgeMost)/unit.Day+1, "and not too old")
		assert.InDelta(rt, float64(d.Soak-d.Start)/unit.Day, float64(jars.Date-soak.Date), 0.999)
		used, after = jars.Date, d.Start
	}
	if len(b.Demands) > 0 {
		plates := of(p, calendar.StartPlates, 0)
		require.Len(rt, plates, 1)
		assert.GreaterOrEqual(rt, float64(used-plates[0].Date), float64(b.Plates.Start-after)/unit.Day)
	}
}

// Counted back from a delivery, a batch is picked by then, and one that begins
// on the next day on which it could is not.
func TestBackwardsAndForwards(t *testing.T) {
	var batches []*batch.Batch
	for _, in := range inputs(t) {
		batches = append(batches, compute(t, in, in.Protocol.BatchSizes[len(in.Protocol.BatchSizes)-1]))
	}
	rapid.Check(t, func(rt *rapid.T) {
		b, w, delivery := rapid.SampledFrom(batches).Draw(rt, "batch"), farms(rt), begin(rt)
		basis := rapid.SampledFrom([]calendar.Basis{calendar.Usually, calendar.Safely}).Draw(rt, "basis")
		ready := func(p *calendar.Plan) calendar.Date {
			if basis == calendar.Safely {
				return p.Safe
			}
			return p.Expected
		}
		back, err := calendar.Backwards(b, w, delivery, basis, nil)
		require.NoError(rt, err)
		assert.LessOrEqual(rt, ready(back), delivery)
		again, err := calendar.Forwards(b, w, back.Start)
		require.NoError(rt, err)
		assert.Equal(rt, again, back)
		next, err := calendar.Forwards(b, w, back.Start+1)
		require.NoError(rt, err)
		assert.Greater(rt, ready(next), delivery)

		// Today is that day: it can be met. A day later it can't, and the soonest
		// that is offered can.
		_, err = calendar.Backwards(b, w, delivery, basis, &back.Start)
		require.NoError(rt, err)
		today := back.Start + 1
		_, err = calendar.Backwards(b, w, delivery, basis, &today)
		var late *calendar.TooLate
		require.ErrorAs(rt, err, &late)
		assert.Equal(rt, back.Start, late.Start)
		assert.Equal(rt, ready(next), late.Soonest)
		kept, err := calendar.Backwards(b, w, late.Soonest, basis, &today)
		require.NoError(rt, err)
		assert.LessOrEqual(rt, ready(kept), late.Soonest)
	})
}

// A holiday on any one day of a plan, whatever is done on it, still gives a plan
// that keeps the rules: what waits has gone later, and the harvest has not moved.
func TestHolidayOnEveryStage(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 48)
	start := date(t, "2028-01-20") // over February 29
	usual, err := calendar.Forwards(b, calendar.EveryDay(), start)
	require.NoError(t, err)
	every := []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
	cohort := usual.Cohorts[0]
	for _, c := range []struct {
		name string
		day  calendar.Date
		want calendar.Cohort
	}{
		{"mixing", cohort.Mixing, calendar.Cohort{Mixing: cohort.Mixing + 1, Spawning: cohort.Spawning + 1, Opening: cohort.Opening + 1, Harvest: cohort.Harvest + 1}},
		{"spawning", cohort.Spawning, calendar.Cohort{Mixing: cohort.Mixing + 2, Spawning: cohort.Spawning + 2, Opening: cohort.Opening + 2, Harvest: cohort.Harvest + 2}},
		{"opening", cohort.Opening, calendar.Cohort{Mixing: cohort.Mixing, Spawning: cohort.Spawning, Opening: cohort.Opening + 1, Harvest: cohort.Harvest + 1}},
		{"pins", cohort.Pins, cohort}, {"harvest", cohort.Harvest, cohort},
	} {
		w, err := calendar.NewWorkdays(every, []string{c.day.String()})
		require.NoError(t, err)
		p, err := calendar.Forwards(b, w, start)
		require.NoError(t, err)
		got := p.Cohorts[0]
		assert.Equal(t, c.want.Mixing, got.Mixing, c.name)
		assert.Equal(t, c.want.Spawning, got.Spawning, c.name)
		assert.Equal(t, c.want.Opening, got.Opening, c.name)
		assert.Equal(t, c.want.Harvest, got.Harvest, c.name)
		switch c.name {
		case "pins":
			collar := only(t, p, work.FitCollar, 1)
			assert.Equal(t, c.day-1, collar.Date, "it goes on sooner")
			assert.False(t, collar.Closed)
		case "harvest":
			pick := only(t, p, work.HarvestCrop, 1)
			assert.Equal(t, c.day, pick.Date)
			assert.True(t, pick.Closed, "it is ripe, whoever rests")
		}
	}
	// Closed from harvest on: who picks empties as well.
	w, err := calendar.NewWorkdays(every, []string{cohort.Harvest.String() + ".." + (cohort.Harvest + 3).String()})
	require.NoError(t, err)
	p, err := calendar.Forwards(b, w, start)
	require.NoError(t, err)
	assert.Equal(t, cohort.Harvest, only(t, p, work.Empty, 1).Date)
	assert.Equal(t, cohort.Harvest+4, only(t, p, work.Wash, 1).Date)
	// Closed all the time in which pins may come: somebody comes for the collars.
	w, err = calendar.NewWorkdays(every, []string{(cohort.Opening + 1).String() + ".." + cohort.Pins.String()})
	require.NoError(t, err)
	p, err = calendar.Forwards(b, w, start)
	require.NoError(t, err)
	assert.Equal(t, cohort.Pins, only(t, p, work.FitCollar, 1).Date)
	assert.True(t, only(t, p, work.FitCollar, 1).Closed)
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
