package trace_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/protocols"
)

// demo is the demo farm, which is this repository, with its processes.
func demo(t *testing.T) trace.Input {
	t.Helper()
	folder, found := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	for _, f := range found {
		require.NotEqual(t, protocol.Error, f.Severity, f.Rule)
	}
	in := trace.Input{Results: folder.Results, Stock: folder.Stock, Orders: folder.Orders,
		Processes: map[string]*process.Process{}, Methods: map[string]trace.Fingerprint{}, Names: map[string]string{}}
	for _, p := range folder.Protocols {
		plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		require.NoError(t, err)
		in.Processes[p.Name] = plan
		in.Methods[p.Name] = trace.Fingerprint{Short: folder.ShortFingerprint(p.Name), Full: folder.Fingerprint(p.Name)}
		in.Names[p.Name] = p.Title
	}
	return in
}

// codes are the codes of touched batches, in their order.
func codes(r *trace.Recall) []string {
	var out []string
	for _, b := range r.Batches {
		out = append(out, b.Code)
	}
	return out
}

// maybes are those of the batches that may be touched.
func maybes(r *trace.Recall) []string {
	var out []string
	for _, b := range r.Maybe {
		out = append(out, b.Code)
	}
	return out
}
