package words_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// roomQuantities are those of the demo farm's rooms, with variants that between them
// enter every quantity of a room: with and without fan, leakage, coil and steam, purged
// by the clock and by the meter, with a stay of its own and a whole shift.
func roomQuantities(t *testing.T) []*working.Quantity {
	t.Helper()
	folder := farm()
	var processes []*process.Process
	for _, p := range folder.Protocols {
		pr, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		require.NoError(t, err)
		processes = append(processes, pr)
	}
	var out []*working.Quantity
	for _, with := range []func(*protocol.Room){
		func(*protocol.Room) {},
		func(r *protocol.Room) { r.Fan, r.Leakage, r.Coil, r.People, r.Stay = nil, nil, nil, 0, 0 },
		func(r *protocol.Room) {
			high, fan := unit.Concentration(0.008), unit.AirFlow(0.1)
			r.CO2Most, r.PurgeFan, r.Purge, r.Humidifier = &high, &fan, 10*unit.Minute, "steam"
		},
	} {
		f := folder.Farm
		f.Rooms = slices.Clone(f.Rooms)
		for i := range f.Rooms {
			if climate.Settled(f.Rooms[i]) {
				with(&f.Rooms[i])
			}
		}
		s := climate.NewSite(f, folder.Library)
		out = append(out, s.Ledger.All()...)
		for _, test := range s.Tests {
			out = append(out, test.Ledger.Own()...)
		}
		for _, p := range processes {
			out = append(out, s.Habits(p).All()...)
			out = append(out, s.Places(p).All()...)
		}
		for _, r := range climate.Rooms(s, processes) {
			require.NoError(t, r.Ledger.Err(), r.ID)
			out = append(out, r.Ledger.Own()...)
		}
	}
	return out
}
