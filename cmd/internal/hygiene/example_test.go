package hygiene_test

import (
	"fmt"

	"bottlecrop/cmd/internal/hygiene"
)

// A liter of ethanol of 70 % from stock of 96 %: 1000 · 0.70/0.96 = 729.2 mL of stock, and
// the vessel is filled up with water. That is more of it than the 270.8 mL that seem to be
// missing, since both shrink as they mix. With the densities of OIML R 22 at 20 °C (from
// memory: 885.56, 807.42 and 998.20 kg/m³) the water is
//
//	(885.56 - 0.72917 · 807.42) / 998.20 = 0.2974 L
func Example() {
	const liter, ml = 1e-3, 1e-6
	stock, _ := hygiene.StockFor.At(map[string]float64{"V": liter, "C_2": 0.70, "C_1": 0.96})
	water, err := hygiene.WaterFor.At(map[string]float64{"V": liter, "C_2": 0.70, "V_1": stock, "C_1": 0.96})
	fmt.Printf("%.1f mL of stock, %.1f mL of water %v\n", stock/ml, water/ml, err)
	// Output: 729.2 mL of stock, 297.4 mL of water <nil>
}
