package season_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// In other words a farm's season is the same, so it is planned once for all languages of
// a book: with other texts throughout, and with all that is late explained, planning anew
// gives what retelling gives.
func TestWordsPlanNothing(t *testing.T) {
	folder, findings := readDemo()
	require.NotEqual(t, protocol.Error, protocol.Worst(findings))
	say := func(text string, _ bool) string { return "~" + text + "~" }
	in := demo(t, nil)
	in.Orders, in.Results = folder.Orders, folder.Results
	for i := range 9 { // more than the farm can make
		in.Orders.Orders = append(in.Orders.Orders, order("more-"+string(rune('a'+i)), protocols[i%len(protocols)], "2027-03-01", "2027-05-31", 1, 9))
	}
	s := plan(t, in)
	require.NotEmpty(t, s.Shortages)
	other := in
	other.Farm, other.Orders, other.Results = protocol.Retold(in.Farm, say), protocol.Retold(in.Orders, say), protocol.Retold(in.Results, say)
	other.Processes = map[string]*process.Process{}
	for name, p := range in.Processes {
		told, err := process.Plan(process.Input{Farm: other.Farm, Library: protocol.Retold(folder.Library, say), Protocol: protocol.Retold(p.Input.Protocol, say)})
		require.NoError(t, err)
		require.NotEqual(t, p.Input.Protocol.Title, told.Input.Protocol.Title)
		other.Processes[name] = told
	}
	told, ok := s.Retold(other.Processes)
	require.True(t, ok)
	for i, b := range told.Batches {
		require.Same(t, other.Processes[b.Batch.Process.Input.Protocol.Name], b.Batch.Process)
		require.NotSame(t, b.Batch, s.Batches[i].Batch)
	}
	assert.True(t, assert.ObjectsAreEqual(plan(t, other), told)) // of Equal, a failure would print all of it
}

// Where there is more than words that differ, the season is planned anew.
func TestRetoldByOthersIsNone(t *testing.T) {
	in := demo(t, nil)
	in.Orders.Orders = []protocol.Order{order("a", "enoki-850", "2027-04-05", "", 0, 4)}
	s := plan(t, in)
	_, ok := s.Retold(in.Processes)
	assert.True(t, ok)
	_, ok = s.Retold(nil)
	assert.False(t, ok, "the process is gone")
	for what, change := range map[string]func(*protocol.Protocol){
		"a quantity": func(p *protocol.Protocol) { more := *p.Fill.Density * 1.01; p.Fill.Density = &more },
		"a step": func(p *protocol.Protocol) {
			takes := unit.Duration(unit.Minute)
			p.Steps = append(p.Steps, protocol.Step{ID: "look", After: "open", Role: "picker", Takes: &takes, Do: []string{"Look."}})
		},
	} {
		pr := in.Processes["enoki-850"].Input.Protocol
		change(&pr)
		p, err := process.Plan(process.Input{Farm: in.Farm, Library: in.Processes["enoki-850"].Input.Library, Protocol: pr})
		require.NoError(t, err)
		_, ok = s.Retold(map[string]*process.Process{"enoki-850": p})
		assert.False(t, ok, what)
	}
}
