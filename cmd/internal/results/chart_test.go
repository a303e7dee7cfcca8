package results_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
)

// Cans of frozen juice, 30 samples of 50 (Montgomery, Introduction to Statistical
// Quality Control, the chapter on charts for attributes; from memory).
var juice = []int{12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6}

func TestPublishedChart(t *testing.T) {
	in := demo(t)
	var list []protocol.Result
	for i, bad := range juice {
		list = append(list, batchOf(i, 50, bad))
	}
	c := of(t, in, list...).Chart
	assert.InDelta(t, 0.2313, c.Mean, 5e-5)
	assert.False(t, c.Provisional)
	for i, p := range c.Points {
		assert.InDelta(t, 0.0524, p.Low, 1e-4)
		assert.InDelta(t, 0.4102, p.High, 1e-4)
		assert.False(t, p.Small)
		assert.Equal(t, i == 14 || i == 22, p.Signal == results.TooMany, "sample %d", i+1)
	}
	// Their causes were found. Without them the mean is 0.2150, and sample 21 lies above
	// its limits too, which are 0.0407 and 0.3893.
	list[14].Cause, list[22].Cause = "new cardboard", "a new operator"
	c = of(t, in, list...).Chart
	assert.Equal(t, 2, c.LeftOut)
	assert.InDelta(t, 0.2150, c.Mean, 5e-5)
	for i, p := range c.Points {
		assert.InDelta(t, 0.0407, p.Low, 1e-4)
		assert.InDelta(t, 0.3893, p.High, 1e-4)
		assert.Equal(t, i == 14 || i == 22 || i == 20, p.Signal == results.TooMany, "sample %d", i+1)
		assert.Equal(t, i == 14 || i == 22, p.CauseFound)
	}
}

// signals are the signals of batches of one size.
func signals(t *testing.T, filled int, lost ...int) []results.Signal {
	var list []protocol.Result
	for i, x := range lost {
		list = append(list, batchOf(i, filled, x))
	}
	var out []results.Signal
	for _, p := range of(t, demo(t), list...).Chart.Points {
		out = append(out, p.Signal)
	}
	return out
}

// Eight in a row on one side of the mean, six that rise: the last one is told, and
// nothing before it (Western Electric 1956, Nelson 1984, from memory).
func TestRunsAreSignals(t *testing.T) {
	// The mean is 20 of 400; seven above it, then eight below it.
	got := signals(t, 400, 23, 22, 23, 22, 23, 22, 23, 18, 17, 18, 17, 18, 17, 18, 17)
	for i, s := range got[:14] {
		assert.Equal(t, results.Quiet, s, i)
	}
	assert.Equal(t, results.OneSide, got[14])
	// One on the mean breaks the run.
	got = signals(t, 400, 23, 22, 23, 22, 23, 22, 23, 18, 17, 18, 17, 20, 17, 18, 17, 19)
	for i, s := range got {
		assert.Equal(t, results.Quiet, s, i)
	}
	// Six that rise; five do not tell.
	got = signals(t, 400, 20, 16, 17, 19, 21, 22, 24, 21)
	for i, s := range got {
		want := results.Quiet
		if i == 6 {
			want = results.Rising
		}
		assert.Equal(t, want, s, i)
	}
	got = signals(t, 400, 20, 16, 17, 19, 21, 22, 22, 21)
	assert.NotContains(t, got, results.Rising)
}

// Small batches mostly lose none, which is below any mean: they are no run.
func TestSmallBatchesAreNoRun(t *testing.T) {
	for _, s := range signals(t, 12, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1) {
		assert.Equal(t, results.Quiet, s)
	}
	// But what chance alone hardly does is told of them too.
	got := signals(t, 12, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 5)
	assert.Equal(t, results.TooMany, got[19])
}

// Fewer than twenty batches make provisional limits, and those of which the cause was
// found do not count.
func TestProvisional(t *testing.T) {
	in := demo(t)
	var list []protocol.Result
	for i := range 20 {
		list = append(list, batchOf(i, 200, 10))
	}
	assert.False(t, of(t, in, list...).Chart.Provisional)
	assert.True(t, of(t, in, list[1:]...).Chart.Provisional)
	list[3].Cause = "a valve stuck"
	assert.True(t, of(t, in, list...).Chart.Provisional)
	for i := range list {
		list[i].Cause = "a valve stuck"
	}
	g := of(t, in, list...)
	assert.Equal(t, 20, g.Chart.LeftOut)
	assert.Nil(t, g.Quantity("lost_achieved"))
	assert.Empty(t, g.Offers)
}
