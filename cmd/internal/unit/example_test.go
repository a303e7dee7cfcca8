package unit_test

import (
	"fmt"
	"strings"

	"bottlecrop/cmd/internal/unit"
)

// A pound-force on a square inch is 6.894757 kPa (NIST SP 811, B.8), so 15 of them are
// 103,421 Pa. A number without its unit is refused, and so is one of another kind.
func ExampleParse() {
	pressure, err := unit.Parse(unit.GaugePressureOf, "15 psi")
	fmt.Printf("%.0f Pa, %v\n", pressure, err)
	for _, text := range []string{"15", "15 min"} {
		_, err := unit.Parse(unit.GaugePressureOf, text)
		fmt.Println(text, "is refused:", err != nil)
	}
	// Output:
	// 103421 Pa, <nil>
	// 15 is refused: true
	// 15 min is refused: true
}

// 850 mL are 28.74 US fluid ounces of 29.57353 mL each (NIST SP 811, B.8), and a scale
// that reads ten grams shows all of its digits.
func ExampleShow() {
	breaking := func(s string) string { return strings.ReplaceAll(s, unit.Space, " ") }
	fmt.Println(breaking(unit.Show(unit.VolumeOf, 850e-6, unit.Metric, 3)))
	fmt.Println(breaking(unit.Show(unit.VolumeOf, 850e-6, unit.US, 3)))
	fmt.Println(breaking(unit.Metric.ShowIn(unit.MassOf, 41.2, "kg", 0.01)))
	// Output:
	// 850 mL
	// 28.7 fl oz
	// 41.20 kg
}
