package cost_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/cost"
)

type values = map[string]float64

const g = 1e-3 // kg

// Substrate reference E6: a bag of 35 g holds 2,500 g, so 537 g of substrate
// take 7.5 g of it. A bottle of 75 g breaks even after 10 uses, with its lid (12
// g, 30 uses) after 11; a glass jar of 410 g that holds 544 g (7.6 g of bag)
// after 54.
func TestAgainstBagsOfTheReference(t *testing.T) {
	share := func(fill float64) float64 {
		return checks.Eval(t, cost.BagShare, values{"m_bag": 35 * g, "M": fill * g, "M_bag": cost.BagFill})
	}
	assert.InDelta(t, 7.5*g, share(537), 0.05*g)
	assert.InDelta(t, 7.6*g, share(544), 0.05*g)
	assert.Equal(t, 10.0, checks.Eval(t, cost.BreakEven, values{"m_v": 75 * g, "b": share(537)}))
	assert.Equal(t, 11.0, checks.Eval(t, cost.BreakEvenWithLid, values{"m_v": 75 * g, "b": share(537), "m_l": 12 * g, "U_l": 30}))
	assert.Equal(t, 54.0, checks.Eval(t, cost.BreakEven, values{"m_v": 410 * g, "b": share(544)}))
}

// The same bottle in 45 uses avoids 7.52 - 75/45 - 12/30 = 5.45 g a use; in
// five it makes 7.52 - 15 - 0.4 = -7.88 g more waste than bags (arithmetic).
// At break-even nothing is avoided and nothing is wasted.
func TestWasteAvoidedMayBeNegative(t *testing.T) {
	avoided := func(uses float64) float64 {
		return checks.Eval(t, cost.WasteAvoided, values{"b": 7.518 * g, "m_v": 75 * g, "U": uses, "m_l": 12 * g, "U_l": 30})
	}
	assert.InDelta(t, 5.45*g, avoided(45), 0.005*g)
	assert.InDelta(t, -7.88*g, avoided(5), 0.005*g)
	assert.Negative(t, avoided(10))
	assert.Positive(t, avoided(11))
}

func TestBreakEvenOfAHeavyLidIsNone(t *testing.T) {
	_, err := cost.BreakEvenWithLid.At(values{"m_v": 75 * g, "b": 0.4 * g, "m_l": 12 * g, "U_l": 30})
	assert.Error(t, err, "a lid that costs as much as the bags never breaks even")
}

// Arithmetic with a calculator.
func TestCostsByHand(t *testing.T) {
	eval := func(want float64, law interface {
		At(map[string]float64) (float64, error)
	}, in values) {
		t.Helper()
		got, err := law.At(in)
		assert.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9)
	}
	eval(0.025, cost.Wear, values{"P": 1.10, "U": 44})
	eval(1.25, cost.OfVessels, values{"n": 50, "c": 0.025})
	eval(5.1, cost.OfSpawn, values{"S": 0.85, "p": 6})
	eval(0.3, cost.OfWaste, values{"C": 6.3, "w": 0.05})
	eval(2*14*0.15, cost.OfEnergy, values{"loads": 2, "E": 14 * 3.6e6, "p": 0.15 / 3.6e6})
	eval(9, cost.OfLabor, values{"t": 1800, "wage": 18.0 / 3600})
	eval((17+50*0.4)*0.004, cost.OfWater, values{"V_mix": 0.017, "mixes": 1, "V_wash": 0.0004, "n": 50, "p": 4})
	eval(0.75, cost.Each, values{"C": 36, "n": 48})
	eval(6, cost.OfSold, values{"C": 36, "S": 6})
	eval(0.57*0.2148, cost.BagCost, values{"P_bag": 0.55, "P_clip": 0.02, "M": 0.537, "M_bag": 2.5})
}

// A bottle for 1.10 that lasts 44 uses, and its share of a single-use bag.
func Example() {
	wear, _ := cost.Wear.At(values{"P": 1.10, "U": 44})
	bag, _ := cost.BagCost.At(values{"P_bag": 0.55, "P_clip": 0.02, "M": 0.537, "M_bag": cost.BagFill})
	fmt.Printf("%.3f a use, against %.3f for bags\n", wear, bag)
	// Output: 0.025 a use, against 0.122 for bags
}
