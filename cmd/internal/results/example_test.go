package results_test

import (
	"fmt"

	"bottlecrop/cmd/internal/results"
)

// Of a lot of 48 with a quality limit of 6.5 bad of a hundred, 8 are looked at, and the lot
// passes with one bad one: letter D, ISO 2859-1, tables 1 and 2-A (from memory).
//
// How little that says: with 24 bad ones of the 48, none of 8 is bad in
// C(24,8)/C(48,8) = 0.0019 of all samples and one in 24·C(24,7)/C(48,8) = 0.0220, so that
// lot passes in 2.4 % of all cases.
func ExamplePlan() {
	letter, _ := results.Letter(48)
	p, err := results.Plan(letter, 6.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	passes, _ := p.Passes(48, 24)
	fmt.Printf("%s: look at %d, accept %d, refuse %d; half bad passes in %.1f %%\n", p.Letter, p.Sample, p.Accept, p.Refuse, 100*passes)
	// Output: D: look at 8, accept 1, refuse 2; half bad passes in 2.4 %
}
