package run

import (
	"encoding/json"
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/heat"
)

// Every number of what a book carries of this package, and of what a store keeps, has six
// digits: the seventh and those behind it could be others on another processor.
func TestAnswersHaveSixDigits(t *testing.T) {
	c := bottle()
	all, err := Answers(c, 900, Assumptions(), nil)
	require.NoError(t, err)
	number := regexp.MustCompile(`-?[0-9]+\.?[0-9]*(e[-+]?[0-9]+)?`)
	found := 0
	for _, data := range all {
		for _, text := range number.FindAllString(string(data), -1) {
			var x float64
			require.NoError(t, json.Unmarshal([]byte(text), &x))
			assert.Equal(t, rounded(x, digits), x, text)
			found++
		}
	}
	assert.Greater(t, found, 300)
}

// A case whose numbers are one bit off is the same case, so its results are found again on
// a processor that works the case out a little differently; and six digits of a result are
// the same.
func TestTheLastBitOfACaseDoesNotMatter(t *testing.T) {
	c := bottle()
	values := []float64{c.Radius, c.Height, c.BoreRadius, c.BoreDepth, c.HeatCapacity, c.AirFilled, c.Side, c.Base,
		c.Start, c.Boiling, c.Chamber, c.Ambient, c.ComeUp, c.Vent, c.Hold}
	want, err := CaseOf(values)
	require.NoError(t, err)
	for i := range values {
		for _, toward := range []float64{math.Inf(1), math.Inf(-1)} {
			was := values[i]
			values[i] = math.Nextafter(was, toward)
			got, err := CaseOf(values)
			values[i] = was
			require.NoError(t, err)
			assert.Equal(t, want, got, i)
		}
	}
	before, err := toDigits(c.solve(Slow))
	require.NoError(t, err)
	c.HeatCapacity = math.Nextafter(c.HeatCapacity, math.Inf(1))
	after, err := toDigits(c.solve(Slow))
	require.NoError(t, err)
	assert.Equal(t, before, after)
	bare, err := heat.Holds(c.problem(Slow), LongestHold, 900)
	require.NoError(t, err)
	held, err := toDigits(bare, nil)
	require.NoError(t, err)
	assert.Equal(t, bare, held, "in place")
}
