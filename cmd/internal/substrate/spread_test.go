package substrate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/substrate"
)

// By hand, for the golden mix of the substrate reference (A12): 0.495 / 0.93 = 0.532 kg
// of pellets and 0.495 / 0.904 = 0.548 kg of soy hulls for each kg dry, 2.857 kg of
// mix. Lots of both within 1.5 points move it by 0.28 and 0.29 points, and together
// by 0.40.
func TestMoistureSpreadByHand(t *testing.T) {
	pellet := checks.Eval(t, substrate.MoistureMoved, values{"q": 0.495 / 0.93, "s": 0.015, "m": 0.65})
	hull := checks.Eval(t, substrate.MoistureMoved, values{"q": 0.495 / 0.904, "s": 0.015, "m": 0.65})
	assert.InDelta(t, 0.0028, pellet, 5e-5)
	assert.InDelta(t, 0.0029, hull, 5e-5)
	assert.InDelta(t, 0.0040, checks.Eval(t, substrate.Together, values{"S": pellet*pellet + hull*hull}), 5e-5)
}

// From the definition of moisture: one lot that is wetter than recorded, weighed as
// planned, moves the mix by exactly so much.
func TestOneWetLotMovesTheMix(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x := rapid.Float64Range(0.01, 0.99).Draw(rt, "share")
		first, second := rapid.Float64Range(0, 0.4).Draw(rt, "first"), rapid.Float64Range(0, 0.4).Draw(rt, "second")
		m, s := rapid.Float64Range(0.5, 0.75).Draw(rt, "mix"), rapid.Float64Range(0, 0.1).Draw(rt, "spread")
		q := x / (1 - first) // of the first as received, for 1 kg dry as recorded
		other := (1 - x) / (1 - second)
		added := m/(1-m) - q*first - other*second
		water := q*(first+s) + other*second + added
		assert.InDelta(rt, m+checks.Eval(t, substrate.MoistureMoved, values{"q": q, "s": s, "m": m}), water/(q+other+added), 1e-12)
	})
}

// Of many mixes of lots drawn independently, the moisture spreads as the root of
// the sum of squares says: their standard deviations, 20,000 of them, to 2 %.
func TestSpreadsTogetherAsDrawn(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 3))
	q, s, m := []float64{0.53, 0.35, 0.2}, []float64{0.015, 0.03, 0.06}, 0.65
	squares := 0.0
	for i := range q {
		v := checks.Eval(t, substrate.MoistureMoved, values{"q": q[i], "s": s[i], "m": m})
		squares += v * v
	}
	const draws = 20000
	var sum, sum2 float64
	for range draws {
		water := m / (1 - m)
		for i := range q {
			water += q[i] * s[i] * r.NormFloat64()
		}
		got := water * (1 - m)
		sum, sum2 = sum+got, sum2+got*got
	}
	sd := math.Sqrt(sum2/draws - sum/draws*sum/draws)
	assert.InEpsilon(t, sd, checks.Eval(t, substrate.Together, values{"S": squares}), 0.02)
}
