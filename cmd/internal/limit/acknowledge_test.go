package limit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

func acknowledged(rules ...string) []protocol.Acknowledged {
	var out []protocol.Acknowledged
	for _, r := range rules {
		out = append(out, protocol.Acknowledged{Rule: r, Reason: "we know of " + r, Who: "grower", On: "2026-03-01"})
	}
	return out
}

func TestAcknowledgeMarksWarningsOnly(t *testing.T) {
	found := []protocol.Finding{
		{Rule: "spawn.unusual", Severity: protocol.Warning},
		{Rule: "spawn.unusual", Severity: protocol.Warning, Subject: "twice"},
		{Rule: "species.unsuited", Severity: protocol.Error},
		{Rule: "cost.currency", Severity: protocol.Note},
		{Rule: "vent.short", Severity: protocol.Warning},
	}
	list := acknowledged("spawn.unusual", "species.unsuited", "cost.currency")
	got := limit.Acknowledge(found, list)
	require.Len(t, got, len(found))
	for i, f := range got {
		assert.Equal(t, found[i].Severity, f.Severity, "an acknowledgment changes no severity")
		assert.Nil(t, found[i].By, "the findings that came in are left alone")
		if f.Rule == "spawn.unusual" {
			assert.Equal(t, &list[0], f.By)
		} else {
			assert.Nil(t, f.By, f.Rule)
		}
	}
}

// Whatever refuses can't be acknowledged, crossed or not; each row of the table.
func TestNothingThatIsRefusedCanBeAcknowledged(t *testing.T) {
	for _, row := range limit.All() {
		got := limit.Unacknowledgeable(acknowledged(row.ID), nil, "protocols/x.toml", "x")
		if row.Severity != protocol.Error {
			assert.Empty(t, got, row.ID)
			continue
		}
		require.Len(t, got, 1, row.ID)
		assert.Equal(t, "acknowledge.error", got[0].Rule)
		assert.Equal(t, protocol.Error, got[0].Severity)
		assert.Equal(t, working.Origin{Document: "protocols/x.toml", Key: "acknowledge[0].rule"}, got[0].Origin)
		assert.Equal(t, "x", got[0].Subject)
	}
	// A refusal that is no row of the table.
	found := []protocol.Finding{{Rule: "law.range", Severity: protocol.Error}}
	got := limit.Unacknowledgeable(acknowledged("spawn.unusual", "law.range"), found, "d", "x")
	require.Len(t, got, 1)
	assert.Equal(t, "acknowledge.error", got[0].Rule)
	assert.Equal(t, "acknowledge[1].rule", got[0].Origin.Key)
}

func TestUnknownRuleNamesTheNearest(t *testing.T) {
	got := limit.Unacknowledgeable(acknowledged("spawn.unusal", "moon.phase"), nil, "d", "x")
	require.Len(t, got, 2)
	for _, f := range got {
		assert.Equal(t, "acknowledge.unknown", f.Rule)
		assert.Equal(t, protocol.Error, f.Severity)
	}
	assert.Equal(t, protocol.Message{ID: "acknowledge.unknown.near", Args: map[string]any{"near": "spawn.unusual"}}, got[0].Hint)
	assert.Equal(t, "acknowledge.unknown.hint", got[1].Hint.ID)
}

func TestUnusedIsANote(t *testing.T) {
	list := acknowledged("spawn.unusual", "vent.short", "mix.small")
	process := limit.Acknowledge([]protocol.Finding{{Rule: "spawn.unusual", Severity: protocol.Warning}}, list)
	batch := limit.Acknowledge([]protocol.Finding{{Rule: "mix.small", Severity: protocol.Warning}}, list)
	got := limit.Unused(list, "d", "x", process, batch)
	require.Len(t, got, 1)
	assert.Equal(t, "acknowledge.unused", got[0].Rule)
	assert.Equal(t, protocol.Note, got[0].Severity)
	assert.Equal(t, "acknowledge[1].rule", got[0].Origin.Key)
}
