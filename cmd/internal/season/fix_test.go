package season_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
)

// Each kind of resource can be what keeps an order from being in time; then it is
// named, and with as much more of it as is said, and no less, the order is in time.
func TestEachResourceCanBind(t *testing.T) {
	orders := []protocol.Order{
		order("a", "enoki-850", "2027-06-04", "", 0, 7),
		order("b", "oyster-1100", "2027-06-05", "", 0, 7),
		order("c", "enoki-850", "2027-06-05", "", 0, 6),
	}
	for id, set := range map[string]func(f *protocol.Farm, n float64){
		"bench":              func(f *protocol.Farm, n float64) { f.Capacity.Inoculated = int(n) },
		"washing":            func(f *protocol.Farm, n float64) { f.Capacity.Washed = int(n) },
		"vessels:bottle-850": func(f *protocol.Farm, n float64) { f.Capacity.Owns = owns("bottle-850", n) },
		"vessels:jar-quart":  func(f *protocol.Farm, n float64) { f.Capacity.Owns = owns("jar-quart", n) },
		"hours:grower":       func(f *protocol.Farm, n float64) { f.Capacity.Hours = hours("grower", n) },
		"hours:picker":       func(f *protocol.Farm, n float64) { f.Capacity.Hours = hours("picker", n) },
		"cooling": func(f *protocol.Farm, n float64) {
			f.Rooms[slices.IndexFunc(f.Rooms, func(r protocol.Room) bool { return slices.Contains(r.For, "cooling") })].Places = int(n)
		},
		"places:pinning": func(f *protocol.Farm, n float64) {
			f.Rooms[slices.IndexFunc(f.Rooms, func(r protocol.Room) bool { return r.ID == "pinning" })].Places = int(n)
		},
	} {
		t.Run(id, func(t *testing.T) {
			planned := func(n float64) *season.Season {
				in := demo(t, func(f *protocol.Farm) {
					f.Shift.Length = 22 * unit.Hour // time for all loads on any day
					f.Capacity = &protocol.Capacity{}
					if n > 0 {
						set(f, n)
					}
				})
				in.Orders.Orders = orders
				return plan(t, in)
			}
			free := planned(0)
			for _, d := range free.Deliveries {
				require.Zero(t, d.Late)
			}
			has := resource(t, free, id).Peak
			require.Positive(t, has)
			part := 0.1
			for step := 0; ; step++ {
				require.Less(t, step, 40, "nothing is late for it")
				has *= 1 - part
				s := planned(has)
				i := slices.IndexFunc(s.Deliveries, func(d season.Delivery) bool { return d.Late > 0 || d.Batch < 0 })
				if i < 0 {
					continue
				}
				d := s.Deliveries[i]
				assert.Equal(t, id, d.Blocked)
				require.NotEmpty(t, d.WouldFix)
				assert.Equal(t, id, d.WouldFix[0].Resource)
				got := resource(t, s, id).Capacity
				mended := planned(got + d.WouldFix[0].More)
				require.GreaterOrEqual(t, mended.Deliveries[i].Batch, 0)
				assert.Zero(t, mended.Deliveries[i].Late)
				require.NotEmpty(t, s.Shortages)
				assert.Equal(t, id, s.Shortages[0].Resource)
				assert.NotEmpty(t, s.Shortages[0].Deliveries)
				assert.Positive(t, s.Shortages[0].Short)
				return
			}
		})
	}
}

func owns(vessel string, n float64) []protocol.Holds {
	return []protocol.Holds{{Vessel: vessel, Count: int(n)}}
}

func hours(role string, n float64) map[string]unit.Duration {
	return map[string]unit.Duration{role: unit.Duration(n * float64(unit.Hour))}
}

// Where two rooms are full at once, more of one is not enough: what both need is said,
// and mends it.
func TestSeveralTogether(t *testing.T) {
	planned := func(pinning, cold float64) *season.Season {
		in := demo(t, func(f *protocol.Farm) {
			f.Shift.Length = 22 * unit.Hour
			for i := range f.Rooms {
				switch f.Rooms[i].ID {
				case "pinning":
					f.Rooms[i].Places = int(pinning)
				case "cold":
					f.Rooms[i].Places = int(cold)
				}
			}
		})
		in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-06-04", "", 0, 12), order("b", "enoki-850", "2027-06-08", "", 0, 11)}
		return plan(t, in)
	}
	s := planned(130, 120)
	d := s.Deliveries[1]
	require.Positive(t, d.Late)
	assert.Empty(t, d.WouldFix)
	require.Len(t, d.Together, 2)
	assert.Equal(t, "places:pinning", d.Together[0].Resource)
	assert.Equal(t, "places:cold", d.Together[1].Resource)
	assert.Zero(t, planned(130+d.Together[0].More, 120+d.Together[1].More).Deliveries[1].Late)
	assert.Positive(t, planned(130+d.Together[0].More-1, 120+d.Together[1].More).Deliveries[1].Late)
	assert.Positive(t, planned(130+d.Together[0].More, 120+d.Together[1].More-1).Deliveries[1].Late)
}
