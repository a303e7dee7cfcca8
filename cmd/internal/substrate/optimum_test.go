package substrate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// The cheapest formulas of rows S059 and S060, worked by hand: pellets, soy
// hulls and bran with 1 % of minerals, at a nitrogen target and at a C:N
// target. With two equations for three shares the optimum lies where one share
// is at a bound, so every such corner is tried; and each is put through the
// program's own mixing laws, which must give the target back. The optimizer is in
// package formula, and is held to the same rows there.
func TestCheapestFormulas(t *testing.T) {
	nitrogen := [3]float64{0.0015, 0.0190, 0.0278}
	carbon := [3]float64{0.49, 0.442, 0.457}
	cost := [3]float64{0.20, 0.35, 0.40}
	most := [3]float64{0.99, 0.30, 0.25}
	const ratio = 40
	var toRatio [3]float64
	for i := range 3 {
		toRatio[i] = carbon[i] - ratio*nitrogen[i]
	}
	table := checks.Open(t, "substrate")
	for _, c := range []struct {
		row    string
		weight [3]float64
		target float64
		check  func(l *working.Ledger) (got, want float64)
	}{
		{"S059", nitrogen, 0.0100, func(l *working.Ledger) (float64, float64) { return l.Value("nitrogen"), 0.0100 }},
		{"S060", toRatio, 0, func(l *working.Ledger) (float64, float64) { return l.Value("carbon_to_nitrogen"), ratio }},
	} {
		best, cheapest := [3]float64{}, math.Inf(1)
		for fixed := range 3 {
			for _, at := range []float64{0, most[fixed]} {
				x, ok := corner(fixed, at, c.weight, c.target, most)
				price := x[0]*cost[0] + x[1]*cost[1] + x[2]*cost[2]
				if ok && price < cheapest {
					best, cheapest = x, price
				}
			}
		}
		require.False(t, math.IsInf(cheapest, 1), c.row)
		got, want := c.check(blend(best, carbon, nitrogen))
		assert.InEpsilon(t, want, got, 1e-12, "%s: the mix misses its target", c.row)
		table.Row(t, c.row).Meet(t, best[:]...)
	}
}

// corner solves the two shares that are not fixed from the sum of 0.99 and the
// weighted target; it is false where they are outside their bounds.
func corner(fixed int, at float64, weight [3]float64, target float64, most [3]float64) ([3]float64, bool) {
	a, b := (fixed+1)%3, (fixed+2)%3
	sum, rest := 0.99-at, target-at*weight[fixed]
	var x [3]float64
	x[fixed] = at
	x[a] = (rest - sum*weight[b]) / (weight[a] - weight[b])
	x[b] = sum - x[a]
	for i := range 3 {
		if x[i] < -1e-12 || x[i] > most[i]+1e-12 {
			return x, false
		}
	}
	return x, true
}

// blend puts shares through the laws that the program mixes by.
func blend(x, carbon, nitrogen [3]float64) *working.Ledger {
	l := working.NewLedger(nil)
	var shares, c, n []*working.Quantity
	for i, of := range []string{"pellet", "soy-hull", "bran"} {
		shares = append(shares, l.GivenOf("share", of, unit.ShareOf, x[i], working.Origin{}, "test"))
		c = append(c, l.GivenOf("carbon_of", of, unit.ShareOf, carbon[i], working.Origin{}, "test"))
		n = append(n, l.GivenOf("nitrogen_of", of, unit.ShareOf, nitrogen[i], working.Origin{}, "test"))
	}
	l.Derive("carbon_to_nitrogen", unit.None, substrate.CarbonToNitrogen,
		working.Bind("C", l.Dot("carbon", unit.ShareOf, shares, c)), working.Bind("N", l.Dot("nitrogen", unit.ShareOf, shares, n)))
	return l
}
