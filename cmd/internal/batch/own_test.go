package batch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// The demo's 400 enoki bottles with steps of the farm's own, worked by hand from
// the figures of TestStagingByHand, in minutes. A load has 102 bottles; 408 are
// filled, and 400 grown.
//
//	sieve    before the mixer, 20: water goes in at 15 + 20 = 35
//	lamp     after the lids, 0.1 each: 10.2 more until a load is made, 189.5
//	gasket   before the heat, 3 a load: loading 18.1; wet before the heat 207.6
//	log      after the run has begun, 7: nothing waits for it
//	wheel    after unloading, 2 + 0.05 each: 7.1 more until the sterilizer is free
//	cycle    245.2 + 3 + 7.1 = 255.3; line 35 + 189.5 = 224.5
func TestOwnStepsEnterTheTimetable(t *testing.T) {
	m := func(minutes float64) *unit.Duration { d := unit.Duration(minutes * unit.Minute); return &d }
	in := onShift(t, 8, 20)
	in.Protocol.Steps = []protocol.Step{
		{ID: "sieve", Before: "mix", Takes: m(20)},
		{ID: "lamp", After: "cap", TakesEach: m(0.1)},
		{ID: "gasket", After: "load", Takes: m(3)},
		{ID: "log", After: "vent", Takes: m(7)},
		{ID: "wheel", After: "unload", Takes: m(2), TakesEach: m(0.05)},
		{ID: "turn", After: "fruit", TakesEach: m(0.5)},
	}
	usual, b := compute(t, onShift(t, 8, 20), 400), compute(t, in, 400)
	for name, want := range map[string]float64{
		"first_water": 35, "load_making": 189.5, "mix_to_steam": 207.6, "load_cycle": 255.3, "line_time": 224.5,
	} {
		assert.InDelta(t, want, b.Value(name)/unit.Minute, 1e-9, name)
	}
	more := func(name string) float64 { return (b.Value(name) - usual.Value(name)) / unit.Minute }
	assert.InDelta(t, 20+0.1*408, more("time_of_substrate-maker"), 1e-9, "of all mixes and vessels")
	assert.InDelta(t, 3+7+2+0.05*408, more("time_of_sterilizer-operator"), 1e-9)
	assert.InDelta(t, 0.5*400, more("time_of_grower"), 1e-9, "controls are not grown")
	assert.InDelta(t, 20+40.8+32.4+200, more("time_of_all"), 1e-9)
	// 21 USD an hour and what else the demo pays: so much more for the growers' work.
	assert.InDelta(t, b.Value("wage_grower")*200*unit.Minute, b.Value("labor_grower_cost")-usual.Value("labor_grower_cost"), 1e-9)
	assert.InDelta(t, 200*unit.Minute, b.Ledger.ValueOf("time_own", "step.turn"), 1e-9)
	for _, q := range b.Ledger.All() {
		if q.Name == "own_takes" && q.Of == "step.wheel" {
			assert.Equal(t, "step[4].takes", q.Origin.Key)
		}
	}
}

// A step that is skipped takes nobody's time, and no mix waits for it.
func TestSkippedStepsTakeNoTime(t *testing.T) {
	in := onShift(t, 8, 20)
	in.Protocol.Skips = []protocol.Skip{{Step: "tap-down"}, {Step: "retire"}}
	usual, b := compute(t, onShift(t, 8, 20), 400), compute(t, in, 400)
	assert.InDelta(t, 0.15*102*unit.Minute, usual.Value("load_making")-b.Value("load_making"), 1e-9)
	assert.InDelta(t, (0.15*408+5+0.02*408)*unit.Minute, usual.Value("time_of_all")-b.Value("time_of_all"), 1e-6)
	assert.Nil(t, b.Ledger.Get("time_tap-down"))
	for _, s := range b.Process.Steps() {
		assert.NotContains(t, []work.StepID{work.TapDown, work.Retire}, s.ID)
	}
}
