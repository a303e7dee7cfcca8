package process_test

import (
	"fmt"

	"bottlecrop/cmd/internal/process"
)

// A sample that weighed 100 g wet and 86 g dry has lost 14 g of water, which are 14 % of what
// it weighed wet (and would be 16.3 % of its dry matter, the other basis).
func ExampleSampleMoisture() {
	m, err := process.SampleMoisture(0.100, 0.086)
	fmt.Printf("%.3f %v\n", float64(m), err)
	_, err = process.SampleMoisture(0.086, 0.100)
	fmt.Println("more dry than wet is refused:", err != nil)
	// Output:
	// 0.140 <nil>
	// more dry than wet is refused: true
}
