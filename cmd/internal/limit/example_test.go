package limit_test

import (
	"fmt"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// A hold below 15 min is refused, one above 180 min is warned of, and one above 600 min
// refused and no longer warned of: the table's rows hold.never and hold.long.
func ExampleCheck() {
	for _, minutes := range []float64{10, 90, 200, 700} {
		l := working.NewLedger(nil)
		l.Given("hold", unit.TimeOf, minutes*60, working.Origin{Document: "protocols/enoki.toml", Key: "sterilization.hold"})
		found := limit.Check(l.Own(), l, nil, "enoki")
		fmt.Print(minutes, " min:")
		for _, f := range found {
			fmt.Print(" ", f.Severity, " ", f.Rule, " at ", f.Origin.Key)
		}
		fmt.Println()
	}
	// Output:
	// 10 min: error hold.never at sterilization.hold
	// 90 min:
	// 200 min: warning hold.long at sterilization.hold
	// 700 min: error hold.never at sterilization.hold
}
