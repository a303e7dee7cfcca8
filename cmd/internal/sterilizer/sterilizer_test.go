package sterilizer_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/sterilizer"
)

type values = map[string]float64

func TestFlashLossMeetsEnthalpyBalance(t *testing.T) {
	r := checks.Open(t, "substrate").Row(t, "S064")
	loss := checks.Eval(t, sterilizer.FlashLoss, values{
		"c": r.Input(t, "c") * 1000, "dT": 121 - 100, "h": r.Input(t, "hfg") * 1000,
	})
	r.Meet(t, 100*loss)
	// The reference goes on: 65.0 % moisture becomes 63.9 % (substrate A7).
	assert.InDelta(t, 0.639, 1-0.35/(1-loss), 0.00051)
}

func TestLoads(t *testing.T) {
	for _, c := range []struct{ n, holds, controls, want float64 }{
		{42, 44, 2, 1}, {43, 44, 2, 2}, {84, 44, 2, 2}, {85, 44, 2, 3}, {1, 44, 0, 1}, {400, 100, 0, 4}, {400, 100, 2, 5},
	} {
		got := checks.Eval(t, sterilizer.Loads, values{"n": c.n, "cap": c.holds, "c": c.controls})
		assert.Equal(t, c.want, got, "%v", c)
	}
	for _, cap := range []float64{2, 1} {
		_, err := sterilizer.Loads.At(values{"n": 12, "cap": cap, "c": 2})
		assert.ErrorContains(t, err, "places are left", "no place beside the controls must not become a count")
	}
}

// Loads are just enough: one fewer would not hold the vessels.
func TestLoadsAreJustEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 1_000_000).Draw(t, "n")
		c := rapid.IntRange(0, 10).Draw(t, "c")
		holds := rapid.IntRange(c+1, 100_000).Draw(t, "cap")
		loads, err := sterilizer.Loads.At(values{"n": float64(n), "cap": float64(holds), "c": float64(c)})
		require.NoError(t, err)
		k := int(loads)
		assert.GreaterOrEqual(t, k*(holds-c), n)
		assert.Less(t, (k-1)*(holds-c), n)
	})
}

func TestSplitIsEvenAndComplete(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.IntRange(0, 1_000_000).Draw(t, "total")
		parts := rapid.IntRange(1, 1000).Draw(t, "parts")
		sizes := sterilizer.Split(total, parts)
		require.Len(t, sizes, parts)
		sum := 0
		for _, s := range sizes {
			sum += s
		}
		assert.Equal(t, total, sum)
		assert.LessOrEqual(t, sizes[0]-sizes[parts-1], 1)
		slices.Reverse(sizes)
		assert.True(t, slices.IsSorted(sizes), "larger ones come first")
	})
}

func TestSplitOfNothing(t *testing.T) {
	assert.Nil(t, sterilizer.Split(10, 0))
	assert.Nil(t, sterilizer.Split(10, -1))
	assert.Nil(t, sterilizer.Split(-1, 3))
	assert.Equal(t, []int{1, 0, 0}, sterilizer.Split(1, 3))
}

func ExampleSplit() {
	fmt.Println(sterilizer.Split(100, 3))
	// Output: [34 33 33]
}
