package draw

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Two points that lie as far from a line as each other were told apart by their last bits,
// and those are not the same on every processor: a curve of a run lost the one of them on
// amd64 and the other on arm64.
func TestOfTwoAlikeTheFirstIsTaken(t *testing.T) {
	var points [][2]float64
	for x := -20.0; x <= 20; x++ { // a parabola is symmetric, and all its chords have ties
		points = append(points, [2]float64{x, x * x / 10})
	}
	want := thinned(points, 0.15)
	assert.Greater(t, len(want), 6)
	assert.Less(t, len(want), len(points)/2)
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		moved := make([][2]float64, len(points))
		for n, p := range points {
			for k := range p {
				moved[n][k] = p[k] + float64(r.IntN(5)-2)*math.Abs(p[k])*0x1p-52
			}
		}
		got := thinned(moved, 0.15)
		assert.Len(t, got, len(want))
		for n := range min(len(got), len(want)) {
			assert.InDelta(t, want[n][0], got[n][0], 1e-9)
		}
		assert.Equal(t, number(3.25), number(3.25*(1-0x1p-52)))
	}
}
