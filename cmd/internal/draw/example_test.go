package draw_test

import (
	"fmt"

	"bottlecrop/cmd/internal/draw"
)

// Between 20 and 121 there are ten tens, which are too many, and five twenties.
func ExampleRounds() {
	fmt.Println(draw.Rounds(20, 121))
	// Output: [40 60 80 100 120] 20
}
