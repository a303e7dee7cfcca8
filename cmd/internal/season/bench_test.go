package season_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
)

// large is a year of weekly orders for six species, 312 batches, on a farm with three
// of the demo farm's sterilizers, a longer shift and more room.
func large(t testing.TB, kg float64) season.Input {
	in := demoIn(t, func(f *protocol.Farm) {
		f.Shift.Length = 12 * unit.Hour
		for i := range f.Rooms {
			f.Rooms[i].Places *= 3
		}
		for _, id := range []string{"steam-8", "steam-9"} {
			more := f.Sterilizers[0]
			more.ID, more.Name = id, id
			f.Sterilizers = append(f.Sterilizers, more)
		}
		f.Capacity = &protocol.Capacity{Inoculated: 300, Washed: 300,
			Hours: map[string]unit.Duration{"grower": 16 * unit.Hour, "picker": 8 * unit.Hour},
			Owns:  []protocol.Holds{{Vessel: "bottle-850", Count: 2400}, {Vessel: "bottle-1100", Count: 2000}}}
	}, map[string]string{"oyster-1100": "steam-8", "beech-850": "steam-8", "lions-mane-950": "steam-9", "maitake-quart": "steam-9"})
	today := date(t, "2026-11-26")
	in.Today = &today
	in.Orders.Orders = []protocol.Order{
		order("a", "enoki-850", "2027-04-05", "2028-04-01", 1, kg),
		order("b", "oyster-1100", "2027-04-06", "2028-04-01", 1, kg),
		order("c", "lions-mane-950", "2027-04-07", "2028-04-01", 1, kg),
		order("d", "beech-850", "2027-04-08", "2028-04-01", 1, kg),
		order("e", "king-oyster-1100", "2027-04-09", "2028-04-01", 1, kg),
		order("f", "maitake-quart", "2027-04-10", "2028-04-01", 1, kg),
	}
	return in
}

// 52 weeks of orders for six species are to be planned in less than 2 s.
func BenchmarkYearOfSixSpecies(b *testing.B) {
	for name, kg := range map[string]float64{"easy": 6, "crowded": 14, "hopeless": 30} {
		in := large(b, kg)
		b.Run(name, func(b *testing.B) {
			late, unmet := 0, 0
			for b.Loop() {
				s, err := season.Plan(in)
				require.NoError(b, err)
				late, unmet = 0, 0
				for _, d := range s.Deliveries {
					if d.Late > 0 {
						late++
					}
					if d.Batch < 0 {
						unmet++
					}
				}
				require.Equal(b, 312, len(s.Deliveries)) // of Len, a failure would print all of them
			}
			b.ReportMetric(float64(late), "late")
			b.ReportMetric(float64(unmet), "unmet")
		})
	}
}
