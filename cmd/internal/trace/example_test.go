package trace_test

import (
	"fmt"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
)

// A made-up record: spawn S-2 was made from S-1 and went into batch A, of which harvest H-1
// went to an inn. Forward from S-1 all of that is reached, and back from the batch both lots.
func ExampleWeb_Forward() {
	w := trace.New(trace.Input{Results: protocol.Results{
		Spawn: []protocol.SpawnLot{{Lot: "S-1"}, {Lot: "S-2", From: "S-1"}},
		Batches: []protocol.Result{{
			Code: "A", Protocol: "enoki-850", Mixed: "2026-03-02", Filled: 12,
			Spawned: []protocol.Spawned{{Lot: "S-2", Vessels: 12}},
			Picked:  []protocol.Picked{{On: "2026-04-20", Mass: 3, Lot: "H-1"}},
		}},
		Sent: []protocol.Sent{{Lot: "H-1", To: "Inn", On: "2026-04-21", Mass: 3}},
	}})
	fmt.Println("forward", w.Forward(w.Find("S-1").Node))
	fmt.Println("back", w.Back(w.Find("A").Node))
	// Output:
	// forward [{spawn S-2} {batch A} {harvest H-1} {customer Inn}]
	// back [{spawn S-1} {spawn S-2}]
}
