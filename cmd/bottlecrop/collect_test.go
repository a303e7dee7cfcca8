package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGrowthOfTheHeap(t *testing.T) {
	for _, x := range []struct {
		live uint64 // MiB
		want int    // percent
	}{
		{0, 400}, {10, 400}, {22, 400}, // 112 MiB is 22.4 and four times as many
		{28, 300}, {40, 180}, {56, 100}, {57, 100}, {4000, 100},
	} {
		assert.Equal(t, x.want, growthFor(x.live<<20), "%d MiB", x.live)
	}
}

// The collector is as it was when a run is over, and as the user has set it all along.
func TestCollectorIsPutBack(t *testing.T) {
	is := func() int {
		now := debug.SetGCPercent(100)
		debug.SetGCPercent(now)
		return now
	}
	was := is()
	t.Setenv("GOGC", "")
	back := collectLess()
	assert.Equal(t, mostGrowth, is())
	back()
	assert.Equal(t, was, is())
	t.Setenv("GOGC", "70")
	collectLess()()
	assert.Equal(t, was, is())
}
