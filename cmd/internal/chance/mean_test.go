package chance_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/chance"
)

// Percentage points of Student's t, two-sided: Abramowitz and Stegun, Table 26.10
// (digits from memory).
func TestStudentIsThePublishedTable(t *testing.T) {
	for _, c := range []struct {
		confidence float64
		freedom    int
		want       float64
	}{
		{0.95, 1, 12.706}, {0.95, 2, 4.303}, {0.95, 3, 3.182}, {0.95, 4, 2.776}, {0.95, 5, 2.571},
		{0.95, 9, 2.262}, {0.95, 10, 2.228}, {0.95, 19, 2.093}, {0.95, 30, 2.042}, {0.95, 120, 1.980},
		{0.99, 2, 9.925}, {0.99, 10, 3.169}, {0.90, 2, 2.920}, {0.90, 7, 1.895}, {0.80, 15, 1.341},
	} {
		got, err := chance.Student(c.confidence, c.freedom)
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 5.1e-4, "%g with %d", c.confidence, c.freedom)
	}
	// With many degrees of freedom it is the normal distribution.
	got, err := chance.Student(0.95, 100_000)
	require.NoError(t, err)
	assert.InDelta(t, 1.959964, got, 3e-5)
	for _, bad := range []struct {
		confidence float64
		freedom    int
	}{{0, 3}, {1, 3}, {math.NaN(), 3}, {0.95, 0}, {0.95, -1}} {
		_, err := chance.Student(bad.confidence, bad.freedom)
		assert.Error(t, err)
	}
}

// Student's own data: the differences of hours of sleep between two drugs, ten
// patients (Student 1908, Biometrika 6:1, table 1; mean and t as in R's help of
// t.test, from memory): mean 1.58, 95 % from 0.70 to 2.46.
func TestStudentsSleep(t *testing.T) {
	of := []float64{1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4}
	mean, squares := 0.0, 0.0
	for _, v := range of {
		mean += v / 10
	}
	for _, v := range of {
		squares += (v - mean) * (v - mean)
	}
	q, err := chance.Student(0.95, 9)
	require.NoError(t, err)
	half := q * math.Sqrt(squares/9/10)
	assert.InDelta(t, 0.7001142, mean-half, 1e-6)
	assert.InDelta(t, 2.4598858, mean+half, 1e-6)
}

// What lies outside the exact limits is rarer than by three standard deviations,
// and one step narrower would not be so.
func TestExactLimitsOfAChart(t *testing.T) {
	const beyond = 0.00135
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 300).Draw(t, "n")
		p := rapid.Float64Range(0, 0.999).Draw(t, "p")
		least, most, err := chance.ChartExact(p, n)
		require.NoError(t, err)
		l := chance.Loss{Share: p}
		at := func(k int) float64 {
			if k < 0 {
				return 0
			}
			v, err := l.AtMost(k, n)
			require.NoError(t, err)
			return v
		}
		assert.LessOrEqual(t, at(least-1), beyond)
		assert.Greater(t, at(least), beyond-1e-6)
		assert.LessOrEqual(t, 1-at(most), beyond)
		assert.Greater(t, 1-at(most-1), beyond-1e-6)
		assert.LessOrEqual(t, least, most)
	})
	// Of 12 at 2 % three standard deviations already refuse two (reference on
	// schedules, section (e)), which chance alone brings in one batch of 43; four are
	// as rare as three standard deviations are elsewhere.
	least, most, err := chance.ChartExact(0.02, 12)
	require.NoError(t, err)
	assert.Equal(t, [2]int{0, 3}, [2]int{least, most})
	limits, usable, err := chance.Chart(0.02, 12)
	require.NoError(t, err)
	assert.False(t, usable)
	assert.Less(t, limits.High, 2.0/12)
	two, err := chance.Loss{Share: 0.02}.AtMost(1, 12)
	require.NoError(t, err)
	assert.InDelta(t, 1.0/43, 1-two, 5e-4)
	_, most, err = chance.ChartExact(1, 5)
	require.NoError(t, err)
	assert.Equal(t, 5, most)
	_, _, err = chance.ChartExact(-0.1, 5)
	assert.Error(t, err)
	_, _, err = chance.ChartExact(0.1, 0)
	assert.Error(t, err)
}
