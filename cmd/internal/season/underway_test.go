package season_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/work"
)

func of(b season.Batch, step work.StepID, cohort int) calendar.Task {
	for _, t := range b.Plan.Tasks {
		if t.Step == step && t.Cohort == cohort {
			return t
		}
	}
	return calendar.Task{}
}

// A batch of 80 enoki bottles that was mixed on Tuesday, January 5, 2027, by hand with
// the demo's week, which is closed on Sunday: spawning on the 6th, 25 days to
// Sunday, January 31, so opening on Monday, February 1; 10 days of pinning, 17 of
// fruiting: picked on Sunday, February 28. It was opened on Thursday, February 4, three
// days later than it should: so it is picked on March 3.
func TestUnderWay(t *testing.T) {
	in := demo(t, nil)
	today := date(t, "2027-02-08")
	in.Today = &today
	result := protocol.Result{Code: "E-17", Protocol: "enoki-850", Mixed: "2027-01-05", Filled: 80}
	in.Results.Batches = []protocol.Result{result}
	s := plan(t, in)
	require.Len(t, s.Batches, 1)
	b := s.Batches[0]
	assert.True(t, b.UnderWay)
	assert.Equal(t, "E-17", b.Code)
	assert.Equal(t, "2027-02-01", of(b, work.Open, 1).Date.String())
	assert.Equal(t, "2027-02-28", b.Ready.String())

	in.Results.Batches[0].Opened = "2027-02-04"
	s = plan(t, in)
	b = s.Batches[0]
	assert.Equal(t, "2027-02-04", of(b, work.Open, 1).Date.String())
	assert.Equal(t, "2027-03-03", b.Ready.String())
	assert.Equal(t, "2027-03-03", of(b, work.HarvestCrop, 1).Date.String())
	assert.Equal(t, "2027-03-04", of(b, work.Wash, 1).Date.String())
	// It stands in the room for pinning from today on, and then in the cold one.
	pinning, cold := resource(t, s, "places:pinning"), resource(t, s, "places:cold")
	assert.Equal(t, today, s.First)
	assert.Equal(t, 80.0, pinning.Taken[0])
	assert.Equal(t, 0.0, cold.Taken[0])
	assert.Equal(t, 80.0, cold.Taken[date(t, "2027-02-14")-today])
	assert.Equal(t, 0.0, pinning.Taken[date(t, "2027-02-14")-today])
	assert.Equal(t, 82.0, resource(t, s, "vessels:bottle-850").Taken[0], "with its controls")
	assert.Zero(t, resource(t, s, "runs:steam-1").Peak, "that is past")
	dirty := resource(t, s, "vessels:bottle-850")
	assert.Equal(t, 82.0, dirty.Dirty[date(t, "2027-03-04")-today])
	assert.Zero(t, dirty.Dirty[date(t, "2027-03-03")-today])
	assert.Equal(t, 800.0-82, dirty.Washed()[0])

	// A delivery that it can meet is met from it, with what is not lost.
	in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-03-04", "", 0, 5), order("b", "enoki-850", "2027-03-05", "", 0, 5),
		order("c", "enoki-850", "2027-03-06", "", 0, 5)}
	s = plan(t, in)
	assert.Equal(t, "E-17", s.Batches[s.Deliveries[0].Batch].Code)
	assert.Equal(t, 1, s.Deliveries[0].Early)
	assert.Equal(t, "E-17", s.Batches[s.Deliveries[1].Batch].Code)
	assert.NotEqual(t, "E-17", codeOf(s, 2), "some 10 kg are all that it gives, and it is three days old")
	in.Results.Batches[0].Lost = []protocol.LostVessels{{Count: 40, At: "incubation", Why: "green"}}
	s = plan(t, in)
	assert.Equal(t, "E-17", codeOf(s, 0))
	assert.NotEqual(t, "E-17", codeOf(s, 1), "half of it is lost")
	assert.Equal(t, 41.0, resource(t, s, "places:pinning").Taken[0], "40 of 82 are gone, so 42 of 82 of 80")

	// One that is emptied is no more.
	in.Results.Batches[0].Emptied = "2027-02-07"
	in.Orders.Orders = nil
	assert.Empty(t, plan(t, in).Batches)
	// One that should be emptied long since still stands there today.
	in.Results.Batches[0] = result
	late := date(t, "2027-04-03")
	in.Today = &late
	s = plan(t, in)
	assert.Equal(t, "2027-04-03", of(s.Batches[0], work.Empty, 1).Date.String())
	assert.Equal(t, 82.0, resource(t, s, "vessels:bottle-850").Taken[0])
	in.Results.Batches[0].Protocol = "gone"
	assert.Equal(t, []string{"E-17"}, plan(t, in).Unplanned)
}

func codeOf(s *season.Season, delivery int) string {
	if at := s.Deliveries[delivery].Batch; at >= 0 {
		return s.Batches[at].Code
	}
	return ""
}

// What is under way takes its places first, even more than there are; and nothing is
// put beside it there.
func TestUnderWayGoesFirst(t *testing.T) {
	in := demo(t, func(f *protocol.Farm) {
		for i := range f.Rooms {
			if f.Rooms[i].ID == "cold" {
				f.Rooms[i].Places = 100
			}
		}
	})
	today := date(t, "2027-02-08")
	in.Today = &today
	in.Results.Batches = []protocol.Result{{Code: "one", Protocol: "enoki-850", Mixed: "2027-02-02", Filled: 70}, {Code: "two", Protocol: "enoki-850", Mixed: "2027-02-04", Filled: 60}}
	in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-04-05", "", 0, 6)}
	s := plan(t, in)
	assert.Equal(t, 130.0, resource(t, s, "places:cold").Peak)
	require.Len(t, s.Batches, 3)
	require.Positive(t, s.Deliveries[0].Late)
	assert.Equal(t, "places:cold", s.Deliveries[0].Blocked)
	under := s.Batches[1].Ready
	for _, stay := range s.Batches[2].Stays {
		if stay.Room == "cold" {
			assert.GreaterOrEqual(t, stay.From, under)
		}
	}
}
