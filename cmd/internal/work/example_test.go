package work_test

import (
	"fmt"

	"bottlecrop/cmd/internal/work"
)

// Three loads in a shift of 8 h: the first keeps the line for 1 h and the sterilizer for
// 3.5 h, the next comes 3.5 h later. After 4.5 h one load is done, after 8 h two; the
// third goes to the next day.
func Example() {
	const hour = 3600
	loads, _ := work.LoadsADay.At(map[string]float64{"n": 3, "s": 8 * hour, "a": 1 * hour, "c": 3.5 * hour, "e": 3.5 * hour})
	days, err := work.Days.At(map[string]float64{"n": 3, "m": loads})
	fmt.Println(loads, "loads a day,", days, "days", err)
	// Output: 2 loads a day, 2 days <nil>
}

// Little's law (Little 1961, from memory): 40 bottles a day that stay for 21 days are 840
// at a time.
func Example_occupancy() {
	standing, err := work.Occupancy.At(map[string]float64{"lambda": 40, "W": 21})
	fmt.Println(standing, err)
	// Output: 840 <nil>
}
