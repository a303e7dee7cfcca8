package formula_test

import (
	"errors"
	"fmt"
	"math"

	"bottlecrop/cmd/internal/formula"
)

// Sawdust with 0.2 % of nitrogen at 0.10 a kg and bran with 2.2 % at 0.30 are to have
// 1.0 % together. By hand: 0.2 + 2.0·x = 1.0, so x = 40 % of bran, at 0.18 a kg; a cent
// less than that has too little nitrogen. More than 2.2 % no mix of them has.
func ExampleSolve() {
	nitrogen := formula.Target{ID: "nitrogen", Top: []float64{0.002, 0.022}, Low: 0.010, High: math.Inf(1)}
	p := formula.Problem{
		Ingredients: []formula.Ingredient{{ID: "sawdust", High: 1, Cost: 0.10}, {ID: "bran", High: 1, Cost: 0.30}},
		Targets:     []formula.Target{nitrogen},
		Goal:        formula.Cheapest,
	}
	r, err := formula.Solve(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("sawdust %.3f, bran %.3f, %.2f a kg\n", r.Shares[0], r.Shares[1], r.Objective)

	p.Targets[0].Low = 0.023
	_, err = formula.Solve(p)
	var none *formula.Infeasible
	fmt.Println(errors.As(err, &none), none.Reach[0].High)
	// Output:
	// sawdust 0.600, bran 0.400, 0.18 a kg
	// true 0.022
}
