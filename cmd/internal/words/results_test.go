package words_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/working"
)

// resultsQuantities are all that the demo farm's results enter.
func resultsQuantities(t *testing.T) []*working.Quantity {
	t.Helper()
	folder := farm()
	in := results.Input{Farm: folder.Farm, Results: folder.Results, Processes: map[string]*process.Process{}}
	for _, p := range folder.Protocols {
		plan, err := process.Plan(demo(t, p.Name))
		require.NoError(t, err)
		in.Processes[p.Name] = plan
	}
	r, err := results.Of(in)
	require.NoError(t, err)
	out := slices.Clone(r.All.Ledger.Own())
	for _, g := range r.Groups {
		out = append(out, g.Ledger.Own()...)
	}
	return out
}
