package leaf_test

import (
	"flag"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
)

var update = flag.Bool("update", false, "write the golden files anew")

// demo is one batch of the demo farm, which is this repository.
func demo(t *testing.T, name string, vessels int) (leaf.Edition, procedure.Procedure, leaf.Method) {
	t.Helper()
	return changed(t, name, vessels, func(*process.Input) {})
}

// changed is a batch of the demo farm with changes.
func changed(t *testing.T, name string, vessels int, change func(*process.Input)) (leaf.Edition, procedure.Procedure, leaf.Method) {
	t.Helper()
	folder := leaf.DemoFarm()
	for _, p := range folder.Protocols {
		if p.Name != name {
			continue
		}
		in := process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p}
		change(&in)
		plan, err := process.Plan(in)
		require.NoError(t, err)
		b, err := batch.Compute(plan, vessels)
		require.NoError(t, err)
		e := leaf.InEnglish(unit.Metric)
		e.Farm, e.Place = folder.Farm, folder.Place
		return e, procedure.Build(b), leaf.Method{Protocol: name, Short: "0123-abcd", Full: "0123abcd"}
	}
	t.Fatalf("the demo farm has no protocol %s", name)
	return leaf.Edition{}, procedure.Procedure{}, leaf.Method{}
}
