package unit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// A multiplication and an addition that a processor fuses, and one that it does not, lie a
// bit apart: neither that nor a thousand bits may be told from what is printed.
func TestWholeNumbersForgiveTheLastBits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(-2_000_000, 2_000_000).Draw(t, "halves")
		half := float64(n) / 2
		bits := rapid.IntRange(-1000, 1000).Draw(t, "bits")
		x := half
		for range max(bits, -bits) {
			x = math.Nextafter(x, math.Copysign(math.Inf(1), float64(bits)))
		}
		assert.Equal(t, math.Round(half), Nearest(x)+0, "%v", x)
		if n%2 == 0 {
			assert.Equal(t, half, Up(x)+0)
			assert.Equal(t, half, Down(x)+0)
		}
		// And it is printed as the number that was meant.
		places := rapid.IntRange(0, 4).Draw(t, "places")
		p := math.Pow10(places)
		want := System{}.Number(math.Round(half)/p, 1/p)
		assert.Equal(t, want, System{}.Number(x/p, 1/p), "%v in steps of %v", x/p, 1/p)
	})
}

// Much farther than that is another number, however large.
func TestWholeNumbersForgiveNoMore(t *testing.T) {
	for _, half := range []float64{0.5, 2.5, 12.5, 999.5, 123456.5, 1e9 + 0.5, 1e12 + 0.5} {
		off := max(1e-6, 1e-8*half)
		off = min(off, 0.02)
		assert.Equal(t, half-0.5, Nearest(half-off), half)
		assert.Equal(t, half+0.5, Nearest(half+off), half)
		assert.Equal(t, -half-0.5, Nearest(-half), half)
		whole := half - 0.5
		assert.Equal(t, whole+1, Up(whole+off), half)
		assert.Equal(t, whole-1, Down(whole-off), half)
	}
	assert.True(t, math.IsNaN(Nearest(math.NaN())))
}

// Halves as decimals are not exact: 1.005 lies below, 2.675 too, 0.125 does not.
func TestHalvesArePrintedUpwards(t *testing.T) {
	for text, x := range map[string]float64{"1.01": 1.005, "2.68": 2.675, "0.13": 0.125, "−1.01": -1.005, "0": -0.001} {
		assert.Equal(t, text, trimZeros(fixed(x, 2)), x)
	}
}
