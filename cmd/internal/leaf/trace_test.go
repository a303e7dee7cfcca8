package leaf

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// A name that an author or a customer has can't end an element, neither on the page of
// the book nor on a mock recall, and codes that differ in signs alone keep apart.
func TestTracePagesEscape(t *testing.T) {
	const nasty = `<script>alert("1")</script>`
	w := trace.New(trace.Input{Results: protocol.Results{
		Batches: []protocol.Result{
			{Code: nasty, Protocol: "x", Mixed: "2026-01-01", Filled: 10, Spawned: []protocol.Spawned{{Lot: "S&1", Vessels: 10}}, Picked: []protocol.Picked{{On: "2026-02-01", Mass: 2, Lot: "L"}}},
			{Code: "a/b", Protocol: "x", Mixed: "2026-01-01", Filled: 10, Spawned: []protocol.Spawned{{Lot: "S&1", Vessels: 10}}},
			{Code: "a b", Protocol: "x", Mixed: "2026-01-01", Filled: 10, Spawned: []protocol.Spawned{{Lot: "S&1", Vessels: 10}}},
		},
		Sent: []protocol.Sent{{Lot: "L", To: nasty, On: "2026-02-02", Mass: 2}},
	}})
	e := Edition{Voice: words.English(unit.Metric), Version: "1.2.3"}
	e.Farm.Paper, e.Farm.Name = "A4", "Farm"
	book, err := Trace(e, w)
	require.NoError(t, err)
	drill, err := Recall(e, w, w.Recall(trace.Node{Kind: trace.Spawn, Code: "S&1"}))
	require.NoError(t, err)
	for _, page := range []string{string(book), string(drill)} {
		assert.False(t, strings.Contains(page, "<script>alert"))
		assert.True(t, strings.Contains(page, "&lt;script&gt;alert"))
		assert.True(t, strings.Contains(page, "S&amp;1"))
	}
	ids := map[string]bool{}
	for _, part := range strings.Split(string(book), ` id="`)[1:] {
		id, _, _ := strings.Cut(part, `"`)
		assert.False(t, ids[id], "two elements are %s", id)
		ids[id] = true
	}
	assert.True(t, strings.Contains(string(drill), "default-src &#39;none&#39;"), "a drill may ask for nothing")
}
