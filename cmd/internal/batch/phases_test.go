package batch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// The phases are the way of a load that the timetable is made of, cut up: the
// demo's 102 bottles as TestStagingByHand has them, in minutes.
func TestPhasesByHand(t *testing.T) {
	b := compute(t, onShift(t, 8, 20), 400)
	list := b.Phases()
	ids := []string{"load", "up", "vent", "up-again", "hold", "fall", "lid", "unload"}
	require.Len(t, list, len(ids))
	takes, at := map[string]float64{}, 0.0
	for i, p := range list {
		assert.Equal(t, ids[i], p.ID)
		assert.InDelta(t, at, float64(p.From), 1e-6, "no gap before %s", p.ID)
		takes[p.ID] = float64(p.Takes) / unit.Minute
		at += float64(p.Takes)
	}
	assert.InDelta(t, 245.2, at/unit.Minute, 1e-9)
	assert.InDelta(t, 15.1, takes["load"], 1e-9)
	assert.InDelta(t, 40, takes["up"]+takes["up-again"], 1e-9)
	assert.InDelta(t, 120, takes["hold"], 1e-9)
	assert.InDelta(t, 20, takes["lid"], 1e-9, "10 at the lid, 10 cracked")
	assert.InDelta(t, 10.1, takes["unload"], 1e-9)
	// From 20 to 98.6 °C is 78 of 98 K on the way to 118: more than half of the heat.
	assert.Greater(t, takes["up"], 2*takes["up-again"])
}

// A come-up that the farm has timed takes the place of the computed one, the
// same in all else.
func TestTimedComeUpWins(t *testing.T) {
	in := onShift(t, 24, 20)
	computed := compute(t, in, 400)
	in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
	in.Farm.Sterilizers[0].FullUp = 55 * unit.Minute
	timed := compute(t, in, 400)
	assert.InDelta(t, 15*unit.Minute, timed.Value("load_cycle")-computed.Value("load_cycle"), 1e-6)
	assert.InDelta(t, computed.Value("come_up_computed"), timed.Value("come_up_computed"), 1e-9)
	assert.InDelta(t, computed.Value("f0_slow"), timed.Value("f0_slow"), 1e-9, "the verdict rests on the fastest")
	// One that is shorter than the fastest is a slip; the day keeps the fastest.
	in.Farm.Sterilizers[0].FullUp = 10 * unit.Minute
	assert.InDelta(t, 25*unit.Minute, compute(t, in, 400).Value("come_up_planned"), 1e-9)
}
