package process_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// An own step stands at the station of the step that it stands by, and its role
// is its own, else that of the nearest that has one.
func TestOwnStepsHaveTheirStation(t *testing.T) {
	in := input(t, "enoki-850")
	takes := unit.Duration(60)
	in.Protocol.Steps = []protocol.Step{
		{ID: "c", Before: "b", TakesEach: &takes},
		{ID: "b", After: "a", Role: "washer", Takes: &takes},
		{ID: "a", After: "harvest", Takes: &takes},
		{ID: "d", After: "ripen", Takes: &takes}, // which enoki does not have
		{ID: "scrape", Check: "See whether it is level."},
	}
	in.Protocol.Skips = []protocol.Skip{{Step: "trim"}}
	p, err := process.Plan(in)
	require.NoError(t, err)
	at := map[work.StepID]process.Step{}
	var order []work.StepID
	for _, s := range p.Steps() {
		at[s.ID] = s
		order = append(order, s.ID)
	}
	i := indexOf(order, "harvest")
	assert.Equal(t, []work.StepID{"harvest", "a", "c", "b", "chill"}, order[i:i+5])
	assert.Equal(t, "d", string(order[indexOf(order, "open")-1]))
	assert.NotContains(t, order, work.Ripen)
	for id, role := range map[work.StepID]work.Role{"a": work.Picker, "b": work.Washer, "c": work.Washer} {
		assert.Equal(t, work.Packing, at[id].Station, id)
		assert.Equal(t, role, at[id].Role, id)
		assert.True(t, at[id].Own && at[id].GrownAlone(), id)
	}
	assert.Equal(t, work.Incubation, at["d"].Station)
	assert.False(t, at["d"].GrownAlone())
	assert.Equal(t, "step[4]", at[work.Scrape].Key)
	assert.False(t, at[work.Scrape].Own)
	assert.Nil(t, at[work.Wet].Written)
}

func indexOf(list []work.StepID, id work.StepID) int {
	for i, x := range list {
		if x == id {
			return i
		}
	}
	return -1
}

// What is said of a step that the protocol does not have reaches nobody; and a
// skip that leaves a fault unseen is a warning, for the worker too where the hole
// is no longer looked at.
func TestStepsThatAreNotThere(t *testing.T) {
	in := input(t, "oyster-1100") // not scraped
	in.Protocol.Steps = append(in.Protocol.Steps, protocol.Step{ID: "scrape", Check: "Look."})
	in.Protocol.Skips = []protocol.Skip{{Step: "inspect-bore", Who: "owner"}, {Step: "check-moisture", Who: "owner"}, {Step: "tap-down"}}
	rules := found(t, in)
	assert.Equal(t, "step[0].id", rules["step.absent"].Origin.Key)
	assert.Equal(t, "skip[0].step", rules["skip.inspect-bore"].Origin.Key)
	assert.True(t, rules["skip.inspect-bore"].Safety)
	assert.False(t, rules["skip.check-moisture"].Safety)
	for _, rule := range []string{"step.absent", "skip.inspect-bore", "skip.check-moisture"} {
		assert.Equal(t, protocol.Warning, rules[rule].Severity, rule)
	}
	assert.NotContains(t, rules, "skip.absent")

	in.Protocol.Bore = protocol.Bore{Made: protocol.BoreNone}
	rules = found(t, in)
	assert.Contains(t, rules, "skip.absent")
	assert.NotContains(t, rules, "skip.inspect-bore")
}
