package working_test

import (
	"fmt"
	"strings"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// A quantity can say how it was made, because its law is what was evaluated.
func Example() {
	dryMatter := working.NewLaw("T * (1 - m)", "balance of masses", nil)

	l := working.NewLedger(nil)
	wet := l.Given("wet", unit.MassOf, 0.5372, working.Origin{Document: "protocols/enoki.toml", Key: "fill.mass"})
	moisture := l.Given("moisture", unit.ShareOf, 0.65, working.Origin{Document: "protocols/enoki.toml", Key: "substrate.moisture_wb"})
	dry := l.Derive("dry", unit.MassOf, dryMatter, working.Bind("T", wet), working.Bind("m", moisture))

	show := func(q *working.Quantity) string {
		// On a page the space before a unit does not break; here it may.
		return strings.ReplaceAll(unit.Show(q.Kind, q.Value, unit.Metric, 4), unit.Space, " ")
	}
	fmt.Printf("%s = %s\n", dry.Law.Formula, show(dry))
	for _, in := range dry.Inputs {
		fmt.Printf("%s = %s (%s)\n", in.Symbol, show(in.Quantity), in.Quantity.Origin.Key)
	}
	fmt.Println(l.Err())
	// Output:
	// T * (1 - m) = 188 g
	// T = 537.2 g (fill.mass)
	// m = 65 % (substrate.moisture_wb)
	// <nil>
}
