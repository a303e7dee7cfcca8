package work

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/unit"
)

// seconds evaluates the law of a step's hands-on time.
func seconds(t *testing.T, id StepID, vessels, mixes, loads float64) float64 {
	s, err := HandsOn(id).At(map[string]float64{"n": vessels, "mixes": mixes, "loads": loads})
	require.NoError(t, err, id)
	return s
}

// TestHandsOn: worked by hand from the table.
func TestHandsOn(t *testing.T) {
	assert.EqualValues(t, (5+10*4)*unit.Minute, seconds(t, Weigh, 408, 4, 4))
	assert.InDelta(t, (5+0.6*408)*unit.Minute, seconds(t, FillVessels, 408, 4, 4), 1e-9)
	assert.InDelta(t, (4*10+0.05*408)*unit.Minute, seconds(t, LoadVessels, 408, 4, 4), 1e-9)
}

// TestEveryStepTakesTime: each step has its entry and no other has, and a
// larger batch never takes less.
func TestEveryStepTakesTime(t *testing.T) {
	assert.Len(t, efforts, len(Steps()))
	for _, id := range Steps() {
		small := seconds(t, id, 12, 1, 1)
		assert.Positive(t, small, id)
		assert.LessOrEqual(t, small, seconds(t, id, 400, 4, 4), id)
		// Nobody spends over two minutes on one vessel at one step, or a shift
		// on 12 of them (common practice, no source).
		assert.LessOrEqual(t, efforts[id].vessel, 2.0, id)
		assert.Less(t, small, 2*unit.Hour, id)
	}
}

// The printed law of a step says its minutes, and no more than it has.
func TestHandsOnSaysItsMinutes(t *testing.T) {
	for id, want := range map[StepID]string{
		Weigh:       "60 * (5 + 10 * mixes)",
		FillVessels: "60 * (5 + 0.6 * n)",
		LoadVessels: "60 * (10 * loads + 0.05 * n)",
		Vent:        "60 * 5 * loads",
		Ripen:       "60 * 10",
	} {
		assert.Equal(t, want, HandsOn(id).Formula)
	}
	assert.Nil(t, HandsOn("no-such-step"))
}
