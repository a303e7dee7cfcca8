package results_test

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/protocols"
)

// demo is the demo farm, which is this repository, with its processes.
func demo(t *testing.T) results.Input {
	t.Helper()
	folder, found := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	for _, f := range found {
		require.NotEqual(t, protocol.Error, f.Severity, f.Rule)
	}
	in := results.Input{Farm: folder.Farm, Results: folder.Results, Processes: map[string]*process.Process{}, Methods: map[string]string{}}
	for _, p := range folder.Protocols {
		plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		require.NoError(t, err)
		in.Processes[p.Name], in.Methods[p.Name] = plan, folder.ShortFingerprint(p.Name)
	}
	return in
}

// batchOf is an emptied batch of the demo's enoki, mixed on the i-th day.
func batchOf(i, filled, lost int) protocol.Result {
	r := protocol.Result{
		Code: fmt.Sprintf("B-%d", i), Protocol: "enoki-850", Filled: filled,
		Mixed: fmt.Sprintf("2026-%02d-%02d", 1+i/28%12, 1+i%28), Emptied: "2027-03-01",
	}
	if lost > 0 {
		r.Lost = []protocol.LostVessels{{Count: lost, At: "incubation", Why: "green"}}
	}
	return r
}

// gave has a batch give a mass, in kg.
func gave(r protocol.Result, mass float64) protocol.Result {
	r.Picked = []protocol.Picked{{On: "2027-02-20", Mass: unit.Mass(mass)}}
	return r
}

// of works batches out, and gives the one group that they are of.
func of(t require.TestingT, in results.Input, list ...protocol.Result) *results.Group {
	in.Results = protocol.Results{Batches: list}
	r, err := results.Of(in)
	require.NoError(t, err)
	require.Len(t, r.Groups, 1)
	return &r.Groups[0]
}

// value is a quantity of a group that must be there.
func value(t require.TestingT, g *results.Group, name string) float64 {
	q := g.Quantity(name)
	require.NotNil(t, q, name)
	return q.Value
}
