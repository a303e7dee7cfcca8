package batch_test

import (
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// From a farm folder to a batch: what does not depend on the number of vessels is planned
// once, and scaled as often as somebody asks. The figures are those that
// TestDemoBatchByHand works out by hand.
func Example() {
	folder, _ := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	i := slices.IndexFunc(folder.Protocols, func(p protocol.Protocol) bool { return p.Name == "enoki-850" })
	plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: folder.Protocols[i]})
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := batch.Compute(plan, 48)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.Filled, "filled,", b.Controls, "of them controls,", b.Mixes, "mix")
	for _, r := range b.Mix.Rows {
		// On a page the space before a unit does not break; here it may.
		fmt.Println(r.ID, strings.ReplaceAll(r.Scale.Amount(r.Mass).Show(unit.Metric), unit.Space, " "))
	}
	// Output:
	// 50 filled, 2 of them controls, 1 mix
	// hardwood-pellet 4.04 kg
	// soy-hull 4.53 kg
	// wheat-bran 1.93 kg
	// gypsum 96.8 g
	// water 17.07 kg
}
