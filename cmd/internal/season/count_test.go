package season_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// tally counts anew what batches take, from their plans alone: by what and day.
type tally map[string]map[calendar.Date]float64

func (c tally) add(what string, from, to calendar.Date, n float64) {
	if c[what] == nil {
		c[what] = map[calendar.Date]float64{}
	}
	for d := from; d < to; d++ {
		c[what][d] += n
	}
}

// count is the tally of a season without batches under way. What is before today is
// not counted.
func count(t require.TestingT, s *season.Season, today calendar.Date) tally {
	c := tally{}
	add := func(what string, from, to calendar.Date, n float64) { c.add(what, max(from, today), to, n) }
	for _, b := range s.Batches {
		steam := b.Batch.Process.Sterilizer.ID
		for _, cohort := range b.Plan.Cohorts {
			add("load:"+steam, cohort.Mixing, cohort.Mixing+1, float64(len(cohort.Loads)))
			add("cooling", cohort.Mixing, cohort.Spawning, float64(cohort.Vessels))
			add("bench", cohort.Spawning, cohort.Spawning+1, float64(cohort.Grown))
			washed := cohort.Harvest
			for _, task := range b.Plan.Tasks {
				if task.Step == work.Wash && task.Cohort == cohort.Number {
					washed = task.Date
					add("washing", washed, washed+1, float64(cohort.Vessels))
				}
			}
			require.Greater(t, washed, cohort.Mixing)
			add("vessels:"+b.Batch.Process.Vessel.ID, cohort.Mixing, washed+1, float64(cohort.Vessels))
		}
		standing := map[[2]string]float64{}
		for _, stay := range b.Stays {
			if stay.Room != "" {
				add("places:"+stay.Room, stay.From, stay.To, float64(stay.Vessels))
			}
			standing[[2]string{stay.Stage, fmt.Sprint(stay.Cohort)}] += float64(stay.Vessels)
		}
		for key, n := range standing {
			for _, cohort := range b.Plan.Cohorts {
				if fmt.Sprint(cohort.Number) == key[1] {
					assert.GreaterOrEqual(t, n, float64(cohort.Grown), "all stand somewhere")
				}
			}
		}
		for _, task := range b.Plan.Tasks {
			add("hours:"+string(task.Role), task.Date, task.Date+1, float64(task.Takes)/float64(unit.Hour))
			if task.Step != calendar.StartJars {
				continue
			}
			for _, d := range b.Batch.Demands {
				if d.Generation != task.Number {
					continue
				}
				add("jars", task.Date-1, task.Date, float64(d.Jars))
				add("cooling", task.Date-1, task.Date, float64(d.Jars))
				add("bench", task.Date, task.Date+1, float64(d.Made))
				if task.Date-1 >= today {
					used := b.Plan.Cohorts[len(b.Plan.Cohorts)-1].Spawning
					for _, next := range b.Plan.Tasks {
						if next.Step == calendar.StartJars && next.Number == d.Generation+1 {
							used = next.Date
						}
					}
					add("vessels:"+b.Batch.Process.Grain.Into.ID, task.Date-1, used+1, float64(d.Jars))
				}
			}
		}
	}
	return c
}

// day is how long a day of loads is, in the order in which they come: one crew mixes
// one after the other, and each sterilizer takes first what is not mixed that day.
func day(s *season.Season, d calendar.Date, order []int, others map[string]float64) float64 {
	free, line := map[string]float64{}, 0.0
	last := 0.0
	for steam, h := range others {
		free[steam], last = h, max(last, h)
	}
	for _, i := range order {
		b := s.Batches[i].Batch
		for _, c := range s.Batches[i].Plan.Cohorts {
			if c.Mixing != d {
				continue
			}
			for range c.Loads {
				line += b.Value("line_time") / unit.Hour
				steam := b.Process.Sterilizer.ID
				free[steam] = max(free[steam], line) + b.Value("load_cycle")/unit.Hour
				last = max(last, free[steam])
			}
		}
	}
	return last
}

// Random orders on random farms: no place, run, vessel, hand or hour is used twice, by
// a count that is made here from the plans; and each day's loads and runs fit in its
// shift.
func TestNothingIsUsedTwice(t *testing.T) {
	checks.Cases(t, 12)
	rapid.Check(t, func(rt *rapid.T) {
		hours := rapid.SampledFrom([]float64{7, 8, 9, 11, 14}).Draw(rt, "shift")
		bench, wash := rapid.IntRange(40, 200).Draw(rt, "bench"), rapid.IntRange(40, 200).Draw(rt, "wash")
		bottles, grower := rapid.IntRange(100, 700).Draw(rt, "bottles"), rapid.Float64Range(2, 8).Draw(rt, "grower")
		factor := rapid.Float64Range(0.3, 1.5).Draw(rt, "rooms")
		in := demo(t, func(f *protocol.Farm) {
			f.Shift.Length = unit.Duration(hours * float64(unit.Hour))
			for i := range f.Rooms {
				f.Rooms[i].Places = int(factor * float64(f.Rooms[i].Places))
			}
			f.Capacity = &protocol.Capacity{Inoculated: bench, Washed: wash,
				Hours: map[string]unit.Duration{"grower": unit.Duration(grower * float64(unit.Hour))},
				Owns:  []protocol.Holds{{Vessel: "bottle-850", Count: bottles}, {Vessel: "jar-quart", Count: 150}}}
		})
		today := date(t, "2026-11-26") + calendar.Date(rapid.IntRange(0, 800).Draw(rt, "today"))
		in.Today = &today
		if rapid.Bool().Draw(rt, "closed") { // weekends, two weeks over the end of a year, single days
			var closed []string
			for range rapid.IntRange(0, 6).Draw(rt, "holidays") {
				closed = append(closed, (today + calendar.Date(rapid.IntRange(0, 250).Draw(rt, "holiday"))).String())
			}
			var err error
			in.Workdays, err = calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, append(closed, "2026-12-24..2027-01-06", "2027-12-24..2028-01-06", "2028-02-28..2028-03-01"))
			require.NoError(rt, err)
		}
		in.Basis = rapid.SampledFrom([]calendar.Basis{calendar.Usually, calendar.Safely}).Draw(rt, "basis")
		for i := range rapid.IntRange(1, 5).Draw(rt, "orders") {
			first := today + calendar.Date(rapid.IntRange(20, 150).Draw(rt, "first"))
			last := first + calendar.Date(rapid.IntRange(0, 45).Draw(rt, "last"))
			in.Orders.Orders = append(in.Orders.Orders, order(fmt.Sprint("o", i), rapid.SampledFrom(protocols).Draw(rt, "of"),
				first.String(), last.String(), rapid.IntRange(0, 4).Draw(rt, "weeks"), rapid.Float64Range(0.5, 18).Draw(rt, "kg")))
		}
		s := plan(rt, in)
		c := count(rt, s, today)
		asCounted(rt, s, c)
		shifts(rt, in, s, c)
		judgeDeliveries(rt, in, s, today)
	})
}

// asCounted holds what is said to be taken to the count, and to what there is.
func asCounted(t require.TestingT, s *season.Season, c tally) {
	for _, r := range s.Resources {
		if r.Kind == season.Line || r.Kind == season.Runs {
			continue
		}
		for d := s.First; d <= s.Last; d++ {
			taken := r.Taken[d-s.First]
			require.InDelta(t, c[r.ID][d], taken, 0.01, "%s on %v", r.ID, d)
			if r.Bounded {
				require.LessOrEqual(t, taken, r.Capacity+0.01, "%s on %v", r.ID, d)
			}
		}
	}
}

// The demo farm's season of orders, by the same count: most are in time, a few are late
// with a reason, and some spawn is begun sooner than it has to be, where its day is
// taken.
func TestDemoSeason(t *testing.T) {
	in := demo(t, nil)
	folder, _ := readDemo()
	in.Orders = folder.Orders
	require.Greater(t, len(in.Orders.Orders), 5)
	today := date(t, "2026-11-26")
	in.Today = &today
	s := plan(t, in)
	c := count(t, s, today)
	asCounted(t, s, c)
	shifts(t, in, s, c)
	judgeDeliveries(t, in, s, today)
	late := 0
	for _, d := range s.Deliveries {
		if d.Late > 0 || d.Batch < 0 {
			late++
			assert.NotEmpty(t, d.Blocked)
			assert.NotEmpty(t, append(d.WouldFix, d.Together...))
		}
	}
	assert.Positive(t, late)
	assert.Less(t, late, len(s.Deliveries)/4)
	sooner := 0
	for _, b := range s.Batches {
		usual, err := calendar.Forwards(b.Batch, in.Workdays, b.Plan.Start)
		require.NoError(t, err)
		assert.Len(t, b.Plan.Tasks, len(usual.Tasks))
		first := func(p *calendar.Plan) calendar.Date {
			return p.Tasks[slices.IndexFunc(p.Tasks, func(t calendar.Task) bool { return t.Step == calendar.StartJars })].Date
		}
		if first(b.Plan) < first(usual) {
			sooner++
		}
		assert.LessOrEqual(t, first(b.Plan), first(usual))
	}
	assert.Positive(t, sooner)
}

// shifts holds the runs of each day to what is to be sterilized, and to the shift.
func shifts(t require.TestingT, in season.Input, s *season.Season, c tally) {
	length := float64(in.Farm.Shift.Length) / float64(unit.Hour)
	of := map[string]map[calendar.Date]float64{}
	jars, bad := map[calendar.Date]float64{}, 0.0
	for _, r := range s.Runs {
		if of[r.Sterilizer] == nil {
			of[r.Sterilizer] = map[calendar.Date]float64{}
		}
		of[r.Sterilizer][r.Day] += float64(r.Runs)
		switch r.With {
		case season.Load:
			require.EqualValues(t, c["load:"+r.Sterilizer][r.Day], r.Runs)
		case season.Spawn:
			jars[r.Day] += r.Vessels
			require.EqualValues(t, math.Ceil(r.Vessels/100), r.Runs, "100 jars in a run")
		case season.Bad:
			require.True(t, in.Workdays.Open(r.Day))
			bad += r.Vessels
			if r.Vessels > 0.7 {
				require.Positive(t, r.Runs)
			}
		}
	}
	require.Equal(t, len(c["jars"]), len(jars))
	for d, n := range c["jars"] {
		require.Equal(t, n, jars[d], "jars on %v", d)
	}
	for _, r := range s.Resources {
		if r.Kind != season.Runs {
			continue
		}
		for d := s.First; d <= s.Last; d++ {
			require.Equal(t, of[r.Of][d], r.Taken[d-s.First], "%s on %v", r.ID, d)
			require.LessOrEqual(t, of[r.Of][d], r.Capacity)
		}
	}
	for d := s.First; d <= s.Last; d++ {
		var order []int
		for i, b := range s.Batches {
			for _, cohort := range b.Plan.Cohorts {
				if cohort.Mixing == d {
					order = append(order, i)
				}
			}
		}
		others := map[string]float64{}
		for _, r := range s.Runs {
			if r.Day == d && r.With != season.Load {
				longest := 0.0
				for _, b := range r.Batches {
					longest = max(longest, s.Batches[b].Batch.Value("load_cycle")/unit.Hour)
				}
				others[r.Sterilizer] += float64(r.Runs) * longest
			}
		}
		shortest := math.Inf(1)
		permute(order, 0, func(order []int) { shortest = min(shortest, day(s, d, order, others)) })
		alone := len(order) > 0
		for _, i := range order {
			alone = alone && s.Batches[i].Batch.Value("shift_needed")/unit.Hour > length
		}
		if !alone { // a load that is longer than the shift is a limit's business
			require.LessOrEqual(t, shortest, length+1e-6, "%v: %d loads and %v h of other runs", d, len(order), others)
		}
	}
}

func permute(list []int, n int, f func([]int)) {
	if n == len(list) {
		f(list)
		return
	}
	for i := n; i < len(list); i++ {
		list[n], list[i] = list[i], list[n]
		permute(list, n+1, f)
		list[n], list[i] = list[i], list[n]
	}
}

// judgeDeliveries holds what is said of deliveries to the plans.
func judgeDeliveries(t require.TestingT, in season.Input, s *season.Season, today calendar.Date) {
	for i, d := range s.Deliveries {
		if d.Batch < 0 {
			require.NotEqual(t, season.Met, d.Unmet)
			continue
		}
		b := s.Batches[d.Batch]
		require.Contains(t, b.Deliveries, i)
		require.Equal(t, in.Orders.Orders[d.Order].Protocol, b.Batch.Process.Input.Protocol.Name)
		require.GreaterOrEqual(t, b.Plan.Start, today)
		ready := b.Plan.Expected
		if in.Basis == calendar.Safely {
			ready = b.Plan.Safe
		}
		require.Equal(t, max(0, int(ready-d.Day)), d.Late)
		require.Equal(t, max(0, int(d.Day-ready)), d.Early)
		require.LessOrEqual(t, d.Late, season.MostLate)
		if d.Early > season.Keeps { // only where whatever begins later is late
			latest, err := calendar.Backwards(b.Batch, in.Workdays, d.Day, in.Basis, nil)
			require.NoError(t, err)
			soonest := latest.Expected
			if in.Basis == calendar.Safely {
				soonest = latest.Safe
			}
			require.Equal(t, soonest, ready)
		}
		for _, task := range b.Plan.Tasks {
			if task.OfSpawn() && task.Date < today {
				require.True(t, b.BuysSpawn)
			}
		}
	}
}
