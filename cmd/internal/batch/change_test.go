package batch_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
)

func changesOf(t *testing.T, b *batch.Batch) map[string]batch.Change {
	t.Helper()
	out := map[string]batch.Change{}
	for _, c := range b.Changes() {
		id := string(c.Input) + " " + c.Of
		require.NotContains(t, out, id)
		out[id] = c
	}
	return out
}

// By the definitions of what is changed. A price goes into the cost by the mass that
// is weighed; wages by all hours; a tenth more yield shares the same cost out to a
// tenth more; and nitrogen is the sum of shares by contents.
func TestChangesByHand(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 400)
	got, now, l := changesOf(t, b), b.Outcome(), b.Ledger
	sold := b.Value("sold_usual")
	for _, part := range b.Process.Parts {
		c := got["price "+part.ID]
		want := batch.ChangedBy * l.ValueOf("price", part.ID) * l.ValueOf("weighed_all", part.ID) / sold
		assert.InDelta(t, want, c.More.Cost-now.Cost, 1e-9, part.ID)
		assert.InDelta(t, -want, c.Less.Cost-now.Cost, 1e-9, part.ID)
		assert.InDelta(t, now.Nitrogen, c.More.Nitrogen, 1e-12, part.ID)

		x, n := l.ValueOf("share_used", part.ID), l.ValueOf("nitrogen_of", part.ID)
		if n > 0 {
			assert.InDelta(t, batch.ChangedBy*x*n, got["nitrogen "+part.ID].More.Nitrogen-now.Nitrogen, 1e-12, part.ID)
		}
		// x goes to 1.1 x, and all that is not it, N - x n, to (1 - 1.1 x) / (1 - x) of itself.
		more := 1 + batch.ChangedBy
		rest := (now.Nitrogen - x*n) * (1 - more*x) / (1 - x)
		assert.InDelta(t, more*x*n+rest, got["share "+part.ID].More.Nitrogen, 1e-9, part.ID)
	}
	assert.InEpsilon(t, now.Cost/1.1, got["yield "].More.Cost, 1e-9)
	assert.InEpsilon(t, now.Cost/0.9, got["yield "].Less.Cost, 1e-9)
	wages := 0.0
	for _, line := range batch.CostLines() {
		if len(line) > 6 && line[:6] == "labor_" {
			wages += b.Value(line + "_cost")
		}
	}
	assert.InDelta(t, 0.1*wages/sold, got["wages "].More.Cost-now.Cost, 1e-9)
	assert.InDelta(t, 0.1*b.Value("energy_cost")/sold, got["electricity "].More.Cost-now.Cost, 1e-9)
	assert.InDelta(t, 0.1*(b.Value("vessel_cost")+b.Value("lid_cost"))/sold, got["vessel-price "].More.Cost-now.Cost, 1e-9)
	lost := b.Value("lost_share")
	assert.InEpsilon(t, now.Cost*(1-lost)/(1-1.1*lost), got["lost "].More.Cost, 1e-9)
	assert.Positive(t, got["spawn-rate "].More.Cost-now.Cost)
	assert.Negative(t, got["spawn-price "].Less.Cost-now.Cost)
}

// Asking what a change would do changes nothing: the same batch again is the same.
func TestChangesLeaveTheInputAlone(t *testing.T) {
	in := input(t, "oyster-1100")
	before := compute(t, in, 100)
	was := before.Outcome()
	first := before.Changes()
	assert.Equal(t, fmt.Sprint(first), fmt.Sprint(before.Changes())) // as text: a value that is none is not equal to itself
	assert.Equal(t, was, compute(t, in, 100).Outcome())
	assert.Equal(t, input(t, "oyster-1100"), in)
}

// What a limit refuses has no value: 58 % of soy hulls and a tenth more are above
// what is ever allowed. A farm without prices has no costs, and still its nitrogen.
func TestChangesThatAreRefused(t *testing.T) {
	in := input(t, "enoki-850")
	in.Protocol.Substrate.Ingredients = []protocol.Part{
		{Ingredient: "soy-hull", Share: 0.58}, {Ingredient: "hardwood-pellet", Share: 0.41}, {Ingredient: "gypsum", Share: 0.01}}
	got := changesOf(t, compute(t, in, 100))
	assert.True(t, math.IsNaN(got["share soy-hull"].More.Cost))
	assert.True(t, math.IsNaN(got["share soy-hull"].More.Nitrogen))
	assert.False(t, math.IsNaN(got["share soy-hull"].Less.Nitrogen))

	in = input(t, "enoki-850")
	in.Farm.Costs = nil
	p, err := process.Plan(in)
	require.NoError(t, err)
	b, err := batch.Compute(p, 100)
	require.NoError(t, err)
	for id, c := range changesOf(t, b) {
		assert.True(t, math.IsNaN(c.More.Cost), id)
		assert.False(t, math.IsNaN(c.More.Nitrogen), id)
	}
}
