package site_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The worked example of the weighing, from its own table: mean, standard deviation
// with one less than their number below, standard error, and Student's t (from
// memory: 2.262 for nine degrees of freedom).
func TestWeighingIsWorkedOutRight(t *testing.T) {
	text := pages(t)["weigh-the-sterilizer-change.md"]
	var changes []float64
	for _, m := range regexp.MustCompile(`(?m)^\| \d+ \| −(\d+) \|$`).FindAllStringSubmatch(text, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		changes = append(changes, -x)
	}
	require.Len(t, changes, 10)
	n := float64(len(changes))
	sum, squares := 0.0, 0.0
	for _, x := range changes {
		sum += x
	}
	mean := sum / n
	for _, x := range changes {
		squares += (x - mean) * (x - mean)
	}
	sd := math.Sqrt(squares / (n - 1))
	se := sd / math.Sqrt(n)
	for _, want := range []string{
		fmt.Sprintf("the mean: −%.1f.", -mean),
		fmt.Sprintf("Add the squares up: %.0f.", squares),
		fmt.Sprintf("from the mean: %.2f.", sd),
		fmt.Sprintf("of the mean: %.2f.", se),
		fmt.Sprintf("mix in a vessel: −%.1f %%.", -100*mean/537),
		fmt.Sprintf("Here that is %.2f,", 2.3*se),
		fmt.Sprintf(`mass_change_in_sterilizer = "-%.1f %%"`, -100*mean/537),
	} {
		assert.Contains(t, text, want)
	}
	assert.InDelta(t, 2.3, 2.262, 0.05)
	assert.Greater(t, -mean, 2.262*se, "the example's change is real")
}

// Decision of the project: condensate on the outside never corrects the mix.
func TestWeighingLeavesTheOutsideOut(t *testing.T) {
	text := pages(t)["weigh-the-sterilizer-change.md"]
	assert.Contains(t, text, "Water on the outside never counts.")
	before, after, ok := strings.Cut(text, "\n## After the run\n")
	require.True(t, ok)
	for _, part := range []string{before, after} {
		assert.Less(t, strings.Index(part, "dry"), strings.Index(part, "Weigh each vessel"), "wiped before it is weighed")
	}
}
