package chance_test

import (
	"fmt"

	"bottlecrop/cmd/internal/chance"
)

// To have 8 good vessels in 95 of 100 batches where one of ten is lost, 9 are too few, as
// 8/0.9 would have it. By the binomial law no more than n - 8 are lost
//
//	of  9:  0.9^9 + 9·0.1·0.9^8                      = 0.775
//	of 10:  the first three terms                    = 0.930
//	of 11:  the first four terms                     = 0.981
//
// which are the figures of every table of the binomial distribution.
func ExampleFill() {
	loss := chance.Loss{Share: 0.1}
	n, err := chance.Fill(8, 0.95, loss)
	fmt.Println("fill", n, err)
	for n := 9; n <= 11; n++ {
		enough, _ := loss.AtMost(n-8, n)
		fmt.Printf("%d: %.3f\n", n, enough)
	}
	// Output:
	// fill 11 <nil>
	// 9: 0.775
	// 10: 0.930
	// 11: 0.981
}

// After 60 vessels of which none was bad, a twentieth may be bad all the same: 3/60 in the
// head (Hanley and Lippman-Hand 1983, from memory), and exactly 1 - 0.05^(1/60) = 0.0487.
func ExampleNoMoreThan() {
	inTheHead, _ := chance.RuleOfThree(60)
	exact, _ := chance.NoMoreThan(0, 60, 0.95)
	fmt.Printf("%.3f, exactly %.4f\n", inTheHead, exact)
	// Output: 0.050, exactly 0.0487
}
