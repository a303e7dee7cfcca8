package season_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
)

func plan(t require.TestingT, in season.Input) *season.Season {
	s, err := season.Plan(in)
	require.NoError(t, err)
	return s
}

func resource(t require.TestingT, s *season.Season, id string) season.Resource {
	i := slices.IndexFunc(s.Resources, func(r season.Resource) bool { return r.ID == id })
	require.GreaterOrEqual(t, i, 0, id)
	return s.Resources[i]
}

var protocols = []string{"beech-850", "enoki-850", "enoki-quart", "king-oyster-1100", "lions-mane-950", "maitake-quart", "oyster-1100"}

// One order and nothing in its way is planned as package calendar plans it backwards,
// on any day: around leap days, the ends of years, holidays and the days on which
// clocks are changed in Europe and in the USA (March 14 and 28, October 31 and
// November 7 of 2027).
func TestOneOrderIsAsBackwards(t *testing.T) {
	in := demo(t, nil)
	week, err := calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, []string{"2027-12-24..2028-01-02", "2027-05-17", "2028-02-29"})
	require.NoError(t, err)
	days := []string{"2028-02-28", "2028-02-29", "2028-03-01", "2027-12-31", "2028-01-01", "2028-01-03", "2028-12-31",
		"2027-03-14", "2027-03-15", "2027-03-28", "2027-10-31", "2027-11-07", "2027-05-17", "2027-05-18"}
	rapid.Check(t, func(t *rapid.T) {
		in, day := in, rapid.SampledFrom(days).Draw(t, "day")
		if rapid.Bool().Draw(t, "any") {
			day = (date(t, "2027-01-01") + calendar.Date(rapid.IntRange(0, 1500).Draw(t, "n"))).String()
		}
		in.Basis = rapid.SampledFrom([]calendar.Basis{calendar.Usually, calendar.Safely}).Draw(t, "basis")
		if rapid.Bool().Draw(t, "week") {
			in.Workdays = week
		}
		name, kg := rapid.SampledFrom(protocols).Draw(t, "protocol"), rapid.Float64Range(0.5, 6).Draw(t, "kg")
		in.Orders.Orders = []protocol.Order{order("a", name, day, "", 0, kg)}
		s := plan(t, in)
		b, err := batch.ForMass(in.Processes[name], unit.Mass(kg))
		require.NoError(t, err)
		want, err := calendar.Backwards(b, in.Workdays, date(t, day), in.Basis, nil)
		require.NoError(t, err)
		require.Len(t, s.Batches, 1)
		assert.Equal(t, want.Start, s.Batches[0].Plan.Start)
		assert.Equal(t, want.Cohorts, s.Batches[0].Plan.Cohorts)
		d := s.Deliveries[0]
		assert.Zero(t, d.Late)
		assert.Equal(t, b.Good, d.Good)
		if d.Early > season.Keeps { // nothing that begins later is in time
			next, err := calendar.Forwards(b, in.Workdays, want.Start+1)
			require.NoError(t, err)
			ready := next.Expected
			if in.Basis == calendar.Safely {
				ready = next.Safe
			}
			assert.Greater(t, ready, d.Day)
		}
	})
}

// Orders by hand: every second week from Friday, January 8, 2027 to February 20, but
// not on January 22: the 8th, February 5 and 19.
func TestDays(t *testing.T) {
	o := order("a", "enoki-850", "2027-01-08", "2027-02-20", 2, 5)
	o.But = []string{"2027-01-22"}
	days, err := season.Days(o)
	require.NoError(t, err)
	assert.Equal(t, []calendar.Date{date(t, "2027-01-08"), date(t, "2027-02-05"), date(t, "2027-02-19")}, days)
	o.Last, o.But, o.Weeks = "", nil, 0
	days, err = season.Days(o)
	require.NoError(t, err)
	assert.Len(t, days, 1)
	for last, says := range map[string]string{"2027-01-07": "before its first day", "2127-01-08": "731 are possible", "2027-02-30": "2027-02-30"} {
		o.Last = last
		_, err = season.Days(o)
		assert.ErrorContains(t, err, says)
		in := season.Input{Orders: protocol.Orders{Orders: []protocol.Order{o}}}
		_, err = season.Plan(in)
		assert.ErrorContains(t, err, says)
	}
}

// Deliveries of one protocol on one day are one batch; another day is another.
func TestOneBatchForOneDay(t *testing.T) {
	in := demo(t, nil)
	in.Orders.Orders = []protocol.Order{
		order("a", "oyster-1100", "2027-06-04", "", 0, 3),
		order("b", "oyster-1100", "2027-06-04", "2027-06-18", 2, 4),
		order("c", "enoki-850", "2027-06-04", "", 0, 3),
	}
	s := plan(t, in)
	require.Len(t, s.Batches, 3)
	require.Len(t, s.Deliveries, 4)
	at := s.Deliveries[0].Batch
	assert.Equal(t, at, s.Deliveries[1].Batch)
	assert.Equal(t, []int{0, 1}, s.Batches[at].Deliveries)
	both, err := batch.ForMass(in.Processes["oyster-1100"], 7)
	require.NoError(t, err)
	assert.Equal(t, both.Vessels, s.Batches[at].Batch.Vessels)
	assert.Equal(t, "oyster-1100-"+s.Batches[at].Plan.Start.String(), s.Batches[at].Code)
}

// A batch's code is made by the farm's rule, and none is one that the farm has given
// already, in whatever letters: also not that of a batch that is emptied.
func TestCodesByTheFarmsRule(t *testing.T) {
	in := demo(t, func(f *protocol.Farm) { f.BatchCode = "{mixed-week}.{protocol}{letter}" })
	in.Orders.Orders = []protocol.Order{order("a", "oyster-1100", "2027-06-04", "", 0, 3)}
	s := plan(t, in)
	require.Len(t, s.Batches, 1)
	first := s.Batches[0].Plan.Start.Mixing().Week + ".oyster-1100A"
	assert.Equal(t, first, s.Batches[0].Code)
	in.Results.Batches = []protocol.Result{{Code: strings.ToLower(first), Protocol: "oyster-1100", Mixed: "2027-01-04", Filled: 80, Emptied: "2027-03-04"}}
	s = plan(t, in)
	require.Len(t, s.Batches, 1)
	assert.Equal(t, s.Batches[0].Plan.Start.Mixing().Week+".oyster-1100B", s.Batches[0].Code)
}

// Two large batches in one growing room at once: the second order is late, and as many
// places more as are said bring it in time; one less does not.
func TestLateForARoom(t *testing.T) {
	const room = "places:cold"
	planned := func(places int) (season.Input, *season.Season) {
		in := demo(t, func(f *protocol.Farm) {
			for i := range f.Rooms {
				if f.Rooms[i].ID == "cold" {
					f.Rooms[i].Places = places
				}
			}
			f.Shift.Length = 14 * unit.Hour
		})
		in.Orders.Orders = []protocol.Order{
			order("a", "enoki-850", "2027-06-04", "", 0, 12),
			order("b", "enoki-850", "2027-06-11", "", 0, 10),
		}
		return in, plan(t, in)
	}
	_, s := planned(120)
	d := s.Deliveries[1]
	require.Positive(t, d.Late)
	assert.Zero(t, s.Deliveries[0].Late)
	assert.Equal(t, room, d.Blocked)
	require.NotEmpty(t, d.WouldFix)
	require.Equal(t, room, d.WouldFix[0].Resource)
	more := int(d.WouldFix[0].More)
	// Both stand there, without their controls.
	assert.Equal(t, s.Batches[0].Batch.Vessels+s.Batches[1].Batch.Vessels-120, more)
	_, mended := planned(120 + more)
	assert.Zero(t, mended.Deliveries[1].Late)
	_, almost := planned(120 + more - 1)
	assert.Positive(t, almost.Deliveries[1].Late)
	require.NotEmpty(t, s.Shortages)
	assert.Equal(t, room, s.Shortages[0].Resource)
	assert.Equal(t, float64(more), s.Shortages[0].Short)
	assert.Equal(t, []int{1}, s.Shortages[0].Deliveries)
	assert.Empty(t, mended.Shortages)
}

// A longer shift that is said to mend a delivery mends it.
func TestLateForTheShift(t *testing.T) {
	planned := func(hours float64) *season.Season {
		in := demo(t, func(f *protocol.Farm) { f.Shift.Length = unit.Duration(hours * float64(unit.Hour)) })
		for _, name := range []string{"enoki-850", "beech-850", "king-oyster-1100", "oyster-1100", "lions-mane-950"} {
			p := in.Processes[name]
			b, err := batch.ForMass(p, 6)
			require.NoError(t, err)
			back, err := calendar.Forwards(b, in.Workdays, date(t, "2027-06-01"))
			require.NoError(t, err)
			in.Orders.Orders = append(in.Orders.Orders, order(name, name, back.Expected.String(), "", 0, 6))
		}
		return plan(t, in)
	}
	late := func(s *season.Season) (n int, fix float64) {
		for _, d := range s.Deliveries {
			if d.Late > 0 || d.Batch < 0 {
				n++
				for _, f := range d.WouldFix {
					if f.Resource == "line" {
						fix = max(fix, f.More)
					}
				}
			}
		}
		return n, fix
	}
	s := planned(8)
	n, fix := late(s)
	require.Positive(t, n, "five batches are to be mixed within three days")
	require.Positive(t, fix)
	after, _ := late(planned(8 + fix))
	assert.Less(t, after, n)
}

// What can't be met says why.
func TestUnmet(t *testing.T) {
	in := demo(t, func(f *protocol.Farm) {
		for i := range f.Rooms {
			if slices.Contains(f.Rooms[i].For, "fruiting") {
				f.Rooms[i].Places = 50
			}
		}
	})
	today := date(t, "2027-01-04")
	in.Today = &today
	in.Orders.Orders = []protocol.Order{
		order("gone", "enoki-gone", "2027-06-04", "", 0, 3),
		order("vast", "enoki-850", "2027-06-05", "", 0, 5e6),
		order("soon", "beech-850", "2027-02-01", "", 0, 3),
		order("late", "oyster-1100", "2027-02-01", "", 0, 3),
		order("many", "enoki-850", "2027-06-06", "", 0, 9),
	}
	s := plan(t, in)
	of := map[string]season.Delivery{}
	for _, d := range s.Deliveries {
		of[in.Orders.Orders[d.Order].ID] = d
	}
	assert.Equal(t, season.NoProtocol, of["gone"].Unmet)
	assert.Equal(t, season.NoBatch, of["vast"].Unmet)
	assert.Equal(t, season.NoTime, of["soon"].Unmet)
	assert.Greater(t, of["soon"].Soonest, of["soon"].Day+season.MostLate)
	assert.Equal(t, season.NoPlace, of["many"].Unmet)
	assert.Equal(t, "places:cold", of["many"].Blocked)
	for _, id := range []string{"gone", "vast", "soon", "many"} {
		assert.Equal(t, -1, of[id].Batch, id)
	}
	late := of["late"]
	assert.Equal(t, season.Met, late.Unmet)
	assert.Positive(t, late.Late)
	assert.Empty(t, late.Blocked, "it is the time alone")
	assert.Equal(t, late.Day+calendar.Date(late.Late), late.Soonest)
	assert.GreaterOrEqual(t, s.Batches[late.Batch].Plan.Start, today)
	assert.True(t, s.Batches[late.Batch].BuysSpawn)
}

// At the ends of the calendar's years nothing can be planned, and that is said.
func TestEndsOfTheCalendar(t *testing.T) {
	in := demo(t, nil)
	in.Orders.Orders = []protocol.Order{order("a", "beech-850", "1900-01-05", "", 0, 3), order("b", "enoki-850", "1900-03-05", "", 0, 3)}
	s := plan(t, in)
	assert.Equal(t, season.NoDays, s.Deliveries[0].Unmet)
	assert.Equal(t, season.Met, s.Deliveries[1].Unmet)
	in.Orders.Orders = []protocol.Order{order("a", "beech-850", "2199-12-31", "", 0, 3), order("b", "enoki-850", "2199-06-05", "", 0, 3)}
	s = plan(t, in)
	for _, d := range s.Deliveries { // a crop of the autumn before would lie for months
		assert.Equal(t, season.NoDays, d.Unmet)
		assert.Negative(t, d.Batch)
	}
}

// A mass that would take more vessels than can be under way is not to be had, and not
// put on days for half a minute either.
func TestMassBeyondAnyFarm(t *testing.T) {
	in := demo(t, nil)
	in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-03-05", "2029-03-01", 1, 100_000)}
	s := plan(t, in)
	require.Len(t, s.Deliveries, 104)
	for _, d := range s.Deliveries {
		assert.Equal(t, season.NoBatch, d.Unmet)
	}
}

// The same input gives the same season.
func TestSameSeason(t *testing.T) {
	in := large(t, 14)
	in.Orders.Orders = in.Orders.Orders[:3]
	a, b := plan(t, in), plan(t, in)
	assert.Equal(t, a.Deliveries, b.Deliveries)
	assert.Equal(t, a.Resources, b.Resources)
	assert.Equal(t, a.Runs, b.Runs)
	assert.Equal(t, a.Shortages, b.Shortages)
}

// No orders, no season.
func TestNothingToDo(t *testing.T) {
	in := demo(t, nil)
	s := plan(t, in)
	assert.Empty(t, s.Batches)
	assert.Empty(t, s.Shortages)
	for _, r := range s.Resources {
		assert.Zero(t, r.Peak, r.ID)
	}
}
