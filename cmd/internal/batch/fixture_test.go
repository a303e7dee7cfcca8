package batch_test

import (
	"io/fs"
	"os"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// demo is the demo farm, which is this repository, read once.
var demo = sync.OnceValue(func() *farmfile.Folder {
	folder, findings := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	if protocol.Worst(findings) == protocol.Error {
		panic("the demo farm has errors: bottlecrop check tells them")
	}
	return folder
})

// input is one protocol of the demo farm, ready to be changed.
func input(t testing.TB, name string) process.Input {
	t.Helper()
	folder := demo()
	for _, p := range folder.Protocols {
		if p.Name == name {
			return checks.Copy(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		}
	}
	t.Fatalf("the demo farm has no protocol %s", name)
	return process.Input{}
}

// plan plans a process that must be free of errors.
func plan(t testing.TB, in process.Input) *process.Process {
	t.Helper()
	p, err := process.Plan(in)
	require.NoError(t, err)
	for _, f := range p.Findings {
		require.NotEqual(t, protocol.Error, f.Severity, "%s at %v", f.Rule, f.Origin)
	}
	return p
}

// compute scales a process; errors among the findings fail the test.
func compute(t testing.TB, in process.Input, n int) *batch.Batch {
	t.Helper()
	b, err := batch.Compute(plan(t, in), n)
	require.NoError(t, err)
	for _, f := range b.Own {
		require.NotEqual(t, protocol.Error, f.Severity, "%s at %v", f.Rule, f.Origin)
	}
	return b
}

// golden is the worked example of the substrate reference, A12: 49.5 %
// hardwood pellets at 7 % moisture, 49.5 % soy hulls at 9.6 %, 1 % gypsum;
// target 65 %; 3 % waste at every size; no control vessels.
func golden(t testing.TB, brimful, headspace unit.Volume) process.Input {
	in := input(t, "enoki-850")
	density := unit.Density(680)
	in.Protocol.Fill.Density, in.Protocol.Fill.Mass = &density, nil
	in.Protocol.Fill.Headspace = headspace
	in.Protocol.Substrate.Moisture = 0.65
	in.Protocol.Substrate.Ingredients = []protocol.Part{
		{Ingredient: "hardwood-pellet", Share: 0.495},
		{Ingredient: "soy-hull", Share: 0.495},
		{Ingredient: "gypsum", Share: 0.01},
	}
	v := in.Library.Vessels[in.Protocol.Vessel]
	v.Brimful = brimful
	vessels := map[string]protocol.Vessel{in.Protocol.Vessel: v}
	in.Library.Vessels = vessels
	in.Farm.Moisture = map[string]unit.WetShare{"hardwood-pellet": 0.07, "soy-hull": 0.096}
	in.Farm.Waste = protocol.Waste{Small: 0.03, Usual: 0.03}
	in.Farm.Controls.UninoculatedPerLoad = 0
	in.Farm.Grain = nil
	return in
}
