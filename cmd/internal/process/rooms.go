package process

import (
	"cmp"
	"math"
	"slices"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// RoomWithin is how far in K a room's air may be from what a stage wants, for the
// stage to have a place there: design choice, no source.
const RoomWithin unit.Temperature = 2

// Rooms lists the farm's rooms in which a stage may stand, the nearest in
// temperature first: those that are for it, whose air is within RoomWithin of what
// it wants and has no more CO2 than it bears. A room without a setpoint takes any.
func (p *Process) Rooms(s Stage) []protocol.Room {
	off := func(r protocol.Room) float64 {
		if r.Air == nil {
			return 0
		}
		return math.Abs(float64(*r.Air - s.Air))
	}
	const hair = 1 + 1e-12
	stale := func(r protocol.Room) bool {
		return r.CO2Most != nil && float64(*r.CO2Most) > float64(s.CO2Most)*hair
	}
	var out []protocol.Room
	for _, r := range p.Input.Farm.Rooms {
		if slices.Contains(r.For, s.ID) && off(r) <= float64(RoomWithin)*hair && !stale(r) {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b protocol.Room) int { return cmp.Compare(off(a), off(b)) })
	return out
}
