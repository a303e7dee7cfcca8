package season_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/work"
)

// The busiest four weeks by hand: 70 days from Monday, January 4, 2027 with weekends
// closed; a run on each working day from the 29th day on for four weeks, and on each
// Monday else. Of the 28 days from February 1 on, each working day has one.
func TestBusiest(t *testing.T) {
	w, err := calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, nil)
	require.NoError(t, err)
	s := &season.Season{First: date(t, "2027-01-04"), Last: date(t, "2027-03-14")}
	r := season.Resource{ID: "runs:a", Kind: season.Runs, Capacity: 2, Bounded: true, Peak: 1, Taken: make([]float64, 70)}
	for i := range r.Taken {
		d := s.First + calendar.Date(i)
		if d.Weekday() == calendar.Monday || i >= 28 && i < 56 && w.Open(d) {
			r.Taken[i] = 1
		}
	}
	mean, from := s.Busiest(r, w)
	assert.Equal(t, 1.0, mean)
	assert.Equal(t, "2027-01-30", from.String(), "the weekend before it adds no working day")
	// Of places, weekends count: 20 of 28 days.
	r.Kind = season.Places
	mean, _ = s.Busiest(r, w)
	assert.InDelta(t, 20.0/28, mean, 1e-12)
	// A season that is shorter is all there is.
	r.Kind, r.Taken = season.Runs, r.Taken[:7]
	mean, from = s.Busiest(r, w)
	assert.InDelta(t, 0.2, mean, 1e-12)
	assert.Equal(t, s.First, from)
}

// A room that is nearly full for four weeks is found, where its places are written; one
// that has more room is not.
func TestTightIsFound(t *testing.T) {
	for places, want := range map[int][]string{96: {"season.tight"}, 180: nil} {
		in := demo(t, func(f *protocol.Farm) {
			for i := range f.Rooms {
				if f.Rooms[i].ID == "cold" {
					f.Rooms[i].Places = places
				}
			}
		})
		in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-06-04", "2027-08-27", 2, 12)}
		s := plan(t, in)
		l, found := s.Judge(in.Farm, in.Workdays, map[string]string{"places:cold": "places in the cold room"})
		var got []string
		for _, f := range found {
			got = append(got, f.Rule)
			assert.Equal(t, protocol.Warning, f.Severity)
			assert.Contains(t, f.Origin.Key, "].places")
			assert.Equal(t, "places in the cold room", f.What.Args["quantity"].(protocol.Message).Args["of"])
		}
		assert.Equal(t, want, got, places)
		assert.InDelta(t, l.ValueOf("resource_taken", "places:cold")/float64(places), l.ValueOf("utilization", "places:cold"), 1e-12)
	}
}

// A room without a number of places is never full, and is worth a note with what
// stands there at the most; one that nothing stands in is not.
func TestRoomWithoutPlaces(t *testing.T) {
	in := demo(t, func(f *protocol.Farm) {
		for i := range f.Rooms {
			f.Rooms[i].Places = 0
		}
	})
	in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-06-04", "2027-06-18", 1, 12)}
	s := plan(t, in)
	for _, d := range s.Deliveries {
		assert.NotContains(t, d.Blocked, "places")
	}
	_, found := s.Judge(in.Farm, in.Workdays, map[string]string{"places:cold": "Cold room", "places:pinning": "Pinning room", "places:incubation": "Incubation room"})
	said := map[string]any{}
	for _, f := range found {
		if f.Rule == "season.places" {
			assert.Equal(t, protocol.Note, f.Severity)
			said[f.What.Args["room"].(string)] = f.What.Args["n"]
		}
	}
	cold := resource(t, s, "places:cold")
	assert.Equal(t, int(cold.Peak), said["Cold room"])
	assert.Len(t, said, 3)
}

// Little's law beside the count, for each room of a season: what came in a day, times
// the days that it stayed, is what stood there on the average.
func TestLittleBesideTheCount(t *testing.T) {
	in := large(t, 6)
	in.Orders.Orders = in.Orders.Orders[:4]
	s := plan(t, in)
	rooms := 0
	for _, r := range s.Resources {
		level, ok := s.Little(r)
		if !ok {
			continue
		}
		rooms++
		stand, err := work.Occupancy.At(map[string]float64{"lambda": level.Rate, "W": level.Stay})
		require.NoError(t, err)
		assert.InDelta(t, level.Counted, stand, 1e-9, r.ID)
		assert.Positive(t, level.Counted, r.ID)
	}
	assert.GreaterOrEqual(t, rooms, 4)
	// A stay that is not counted shows.
	i := slices.IndexFunc(s.Batches, func(b season.Batch) bool { return b.Stays[0].Room != "" })
	room := s.Batches[i].Stays[0].Room
	s.Batches[i].Stays = s.Batches[i].Stays[1:]
	level, _ := s.Little(resource(t, s, "places:"+room))
	assert.Greater(t, level.Counted, level.Rate*level.Stay+1e-6)
}
