package protocol_test

import (
	"fmt"

	"bottlecrop/cmd/internal/protocol"
)

// Two batches of a day are told apart by a letter where the farm's rule has one, and by a
// number behind the second where it has none.
func ExampleCodeRule_Code() {
	day := protocol.MixingDay{Date: "2026-03-14", Short: "260314", Week: "2026W116"}
	for _, text := range []string{"{protocol}-{mixed}", "E{mixed-short}{letter}-{protocol}"} {
		rule, fault := protocol.ParseCodeRule(text)
		if fault != nil {
			fmt.Println(*fault)
			return
		}
		enoki := protocol.Protocol{Name: "enoki-850"}
		fmt.Println(rule.Code(enoki, day, 1), rule.Code(enoki, day, 2))
	}
	// Output:
	// enoki-850-2026-03-14 enoki-850-2026-03-14-2
	// E260314A-enoki-850 E260314B-enoki-850
}
