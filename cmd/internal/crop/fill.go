package crop

import (
	"fmt"
	"math"

	"bottlecrop/cmd/internal/chance"
	"bottlecrop/cmd/internal/working"
)

// ToFill is how many vessels are to grow so that good (1 to chance.Most) good ones
// result with that confidence (above 0, below 1), where the share lost (0 to below
// 1) is lost on the average, with that clustering (0 for none): the smallest n of
// which no more than n - good are lost, see chance.Fill.
var ToFill = working.NewLaw("fill(good, confidence, lost, clustering)",
	"the smallest n with P(lost of n <= n - good) >= confidence; binomial, and beta-binomial where losses cluster",
	map[string]working.Function{"fill": working.Exactly(4, fill)})

func fill(args ...float64) (float64, error) {
	if args[0] != math.Trunc(args[0]) {
		return 0, fmt.Errorf("%v good ones are no whole number", args[0])
	}
	n, err := chance.Fill(int(args[0]), args[1], chance.Loss{Share: args[2], Clustering: args[3]})
	return float64(n), err
}

// GoodFor is how many good vessels yield the mass M (kg) to sell, at Y (kg) each.
var GoodFor = working.NewLaw("ceil(M / Y)", massBalance, nil)

// ToWholes is how many more fill n (above 0) of something that take k (above 0)
// each, where v stand in them already.
var ToWholes = working.NewLaw("n * k - v", "definition", nil)

// ToWhole is how many more than v fill the last of as many as take k (above 0) each.
var ToWhole = working.NewLaw("ceil(v / k) * k - v", "definition", nil)
