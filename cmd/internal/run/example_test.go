package run_test

import (
	"fmt"

	"bottlecrop/cmd/internal/run"
)

// How long 3 kW take from 20 to 121 °C, where nothing is lost to the room and the load is hot
// all through at the end. By hand:
//
//	20 bottles  20 · (0.541 kg · 3150 + 0.1 kg · 1900 J/(kg·K)) · 101 K = 3826.183 kJ
//	chamber     15 kg of aluminum · 900 J/(kg·K) · 101 K                = 1363.5 kJ
//	water       5 kg · 4190 J/(kg·K) · 101 K                            = 2115.95 kJ
//
// which are 7305.633 kJ, or 2,435 s at 3 kW. Specific heats from memory, as HeatOfMetal,
// HeatOfVessel and HeatOfWater have them.
func Example() {
	const cold, hot = 293.15, 394.15
	load, _ := run.HeatedEach.At(map[string]float64{"n": 20, "m_s": 0.541, "c_s": 3150, "m_v": 0.1, "c_v": run.HeatOfVessel("polypropylene"), "T": hot, "T_0": cold})
	metal, _ := run.Heated.At(map[string]float64{"m": 15, "c": run.HeatOfMetal("aluminum"), "T": hot, "T_0": cold})
	water, _ := run.Heated.At(map[string]float64{"m": 5, "c": run.HeatOfWater, "T": hot, "T_0": cold})
	up, err := run.UpMost.At(map[string]float64{"Q_metal": metal, "Q_water": water, "Q_load": load, "P": 3000, "L": 0})
	fmt.Printf("%.3f kJ: %.0f s %v\n", (load+metal+water)/1e3, up, err)
	// Output: 7305.633 kJ: 2435 s <nil>
}
