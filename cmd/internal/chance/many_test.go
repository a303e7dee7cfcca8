package chance

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Summed from the largest term outwards, the binomial is what it is term by term from
// none on.
func TestManyLost(t *testing.T) {
	for _, x := range []struct {
		lost, n int
		p       float64
	}{{20_100, 40_000, 0.5}, {21_000, 400_000, 0.05}, {25_000, 500_000, 0.05}, {30_000, 31_000, 0.97}, {30_000, 31_000, 0.9}, {20_500, 100_000, 0.21}} {
		var sum logSum
		term, size := float64(x.n)*math.Log1p(-x.p), float64(x.n)
		for k := 0; k <= x.lost; k++ {
			sum.add(term)
			term += math.Log((size - float64(k)) / float64(k+1) * (x.p / (1 - x.p)))
		}
		assert.InDelta(t, math.Min(1, sum.value()), (Loss{Share: x.p}).atMost(x.lost, x.n), 1e-7, "%+v", x)
	}
}

// Nearly all of a million lost is answered at once, too: 60 halvings of a million terms
// each are not worked out. The bound is that of as few good ones, from the other side
// (rule of three: no good one of n speaks for at most 3/n; Hanley and Lippman-Hand 1983).
func TestBoundOfAMillion(t *testing.T) {
	i, err := ClopperPearson(Most-1, Most, 0.95)
	require.NoError(t, err)
	j, err := ClopperPearson(1, Most, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 1-j.High, i.Low, 1e-9)
	assert.InDelta(t, 1-j.Low, i.High, 1e-9)
	half, err := ClopperPearson(Most/2, Most, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0.5-1.96*0.5/1000, half.Low, 2e-6) // the normal distribution
}
