package procedure_test

import (
	"fmt"
	"strings"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
)

// 25.4 mm are an inch (NIST SP 811, B.8), and 12.2 mm are 0.48 in, which on a
// ruler with twentieths is the tenth one.
func ExampleOnRuler() {
	for _, m := range []float64{0.0254, 0.0122} {
		for _, system := range []unit.System{unit.Metric, unit.US} {
			fmt.Println(strings.ReplaceAll(procedure.OnRuler(m, system).Show(system), unit.Space, " "))
		}
	}
	// Output:
	// 25 mm
	// 1 in
	// 12 mm
	// 0.5 in
}
