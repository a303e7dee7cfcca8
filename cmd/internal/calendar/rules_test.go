package calendar_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

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

// Near the end of the years that can be planned there is no latest start any more: no
// batch is begun months too early and called in time.
func TestBackwardsAtTheEndOfTheYears(t *testing.T) {
	in := inputs(t)[0]
	b := compute(t, in, in.Protocol.BatchSizes[0])
	for d := calendar.Last - 3*366; d <= calendar.Last; d++ {
		p, err := calendar.Backwards(b, calendar.EveryDay(), d, calendar.Usually, nil)
		if err != nil {
			var out *calendar.OutOfYears
			require.ErrorAs(t, err, &out)
			require.Equal(t, d, out.Day)
			continue
		}
		require.Equal(t, d, p.Expected)
	}
	_, err := calendar.Backwards(b, calendar.EveryDay(), calendar.Last, calendar.Usually, nil)
	require.Error(t, err)
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
