package draw_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/draw"
)

// grid is a field of a function over n by m points, 0.1 apart.
func grid(n, m int, of func(x, y float64) float64) draw.Field {
	var f draw.Field
	for i := range n {
		f.X = append(f.X, float64(i)/10)
	}
	for j := range m {
		f.Y = append(f.Y, float64(j)/10)
		row := make([]float64, n)
		for i := range row {
			row[i] = of(f.X[i], f.Y[j])
		}
		f.V = append(f.V, row)
	}
	return f
}

// The level of a distance from a point is a circle round it: one ring, closed,
// and as long as a circle is.
func TestContourOfACone(t *testing.T) {
	f := grid(41, 41, func(x, y float64) float64 { return math.Hypot(x-2, y-2) })
	rings := f.Contours(1.5)
	require.Len(t, rings, 1)
	points := rings[0].Points
	assert.Equal(t, points[0], points[len(points)-1], "a ring is closed")
	around := 0.0
	for k, q := range points {
		// Straight between points 0.1 apart: at most 0.1²/(8 · 1.5) from the circle.
		assert.InDelta(t, 1.5, math.Hypot(q[0]-2, q[1]-2), 0.1*0.1/8/1.5+1e-9)
		if k > 0 {
			around += math.Hypot(q[0]-points[k-1][0], q[1]-points[k-1][1])
		}
	}
	assert.InEpsilon(t, 2*math.Pi*1.5, around, 0.003)
	assert.Empty(t, f.Contours(9), "a level that the field does not have")
}

// The level of a plane is a straight line from edge to edge.
func TestContourOfAPlane(t *testing.T) {
	lines := grid(11, 6, func(x, y float64) float64 { return x + y }).Contours(0.73)
	require.Len(t, lines, 1)
	for _, q := range lines[0].Points {
		assert.InDelta(t, 0.73, q[0]+q[1], 1e-12)
	}
	first, last := lines[0].Points[0], lines[0].Points[len(lines[0].Points)-1]
	assert.InDelta(t, 0.5, math.Max(first[1], last[1]), 1e-12, "it starts at the one edge")
	assert.InDelta(t, 0, math.Min(first[1], last[1]), 1e-12, "and ends at the other")
}

// Four points that alternate: the two high ones hang together where their mean
// is high, the two low ones where it is low.
func TestSaddle(t *testing.T) {
	for _, c := range []struct {
		name   string
		v      [][]float64 // by Y from below, then X
		joined [2]float64  // a corner that a line cuts off
	}{
		{"high mean, high at lower left", [][]float64{{9, 0}, {0, 9}}, [2]float64{0.1, 0}},
		{"low mean, high at lower left", [][]float64{{5, 0}, {0, 5}}, [2]float64{0, 0}},
		{"high mean, low at lower left", [][]float64{{0, 9}, {9, 0}}, [2]float64{0, 0}},
		{"low mean, low at lower left", [][]float64{{0, 5}, {5, 0}}, [2]float64{0.1, 0}},
	} {
		lines := draw.Field{X: []float64{0, 0.1}, Y: []float64{0, 0.1}, V: c.v}.Contours(4)
		require.Len(t, lines, 2, c.name)
		near := math.Inf(1)
		for _, l := range lines {
			require.Len(t, l.Points, 2, c.name)
			far := 0.0
			for _, q := range l.Points {
				far = math.Max(far, math.Hypot(q[0]-c.joined[0], q[1]-c.joined[1]))
			}
			near = math.Min(near, far)
		}
		assert.Less(t, near, 0.1, "%s: a line runs round that corner", c.name)
	}
}

// Whatever the field, with holes in it: no point is off the grid's edges, each
// lies between two values that bracket the level, two that follow each other
// belong to one square, and no crossing of the level is left out or met twice.
func TestContoursBracketTheLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(2, 7).Draw(t, "n"), rapid.IntRange(2, 7).Draw(t, "m")
		values := rapid.SliceOfN(rapid.IntRange(-3, 6), n*m, n*m).Draw(t, "values")
		f := grid(n, m, func(x, y float64) float64 {
			v := values[int(math.Round(y*10))*n+int(math.Round(x*10))]
			if v == 6 {
				return math.NaN()
			}
			return float64(v)
		})
		level := rapid.SampledFrom([]float64{-1, 0, 0.5, 1.25, 2}).Draw(t, "level")
		lines := f.Contours(level)
		segments := 0
		for _, l := range lines {
			segments += len(l.Points) - 1
			for k, q := range l.Points {
				if !bracketed(f, q, level) {
					t.Fatalf("%v is at no crossing of %v in %v", q, level, f.V)
				}
				if k == 0 {
					continue
				}
				p := l.Points[k-1]
				if math.Abs(p[0]-q[0]) > 0.1+1e-9 || math.Abs(p[1]-q[1]) > 0.1+1e-9 {
					t.Fatalf("%v to %v leaves a square", p, q)
				}
			}
		}
		if want := crossedSquares(f, level); segments != want {
			t.Fatalf("%d pieces of lines where squares hold %d: %v", segments, want, f.V)
		}
		if again := f.Contours(level); !assert.ObjectsAreEqual(lines, again) {
			t.Fatalf("%v and then %v", lines, again)
		}
	})
}

// bracketed is true for a point on an edge whose ends bracket the level.
func bracketed(f draw.Field, q [2]float64, level float64) bool {
	x, y := q[0]*10, q[1]*10
	i, j := int(math.Floor(x+1e-9)), int(math.Floor(y+1e-9))
	onX, onY := math.Abs(x-math.Round(x)) < 1e-6, math.Abs(y-math.Round(y)) < 1e-6
	try := func(i, j, k, l int) bool {
		if i < 0 || j < 0 || k >= len(f.X) || l >= len(f.Y) {
			return false
		}
		a, b := f.V[j][i], f.V[l][k]
		return (a >= level) != (b >= level) && !math.IsNaN(a) && !math.IsNaN(b)
	}
	switch {
	case onX && onY: // at a point of the grid, the end of up to four edges
		return try(i-1, j, i, j) || try(i, j, i+1, j) || try(i, j-1, i, j) || try(i, j, i, j+1)
	case onY:
		return try(i, j, i+1, j)
	case onX:
		return try(i, j, i, j+1)
	}
	return false
}

// crossedSquares counts the pieces that the squares must hold: half as many as
// the edges of a square that cross the level.
func crossedSquares(f draw.Field, level float64) int {
	n := 0
	for j := 0; j+1 < len(f.Y); j++ {
		for i := 0; i+1 < len(f.X); i++ {
			around := []float64{f.V[j][i], f.V[j][i+1], f.V[j+1][i+1], f.V[j+1][i]}
			crossings, whole := 0, true
			for k, v := range around {
				whole = whole && !math.IsNaN(v)
				if (v >= level) != (around[(k+1)%4] >= level) {
					crossings++
				}
			}
			if whole {
				n += crossings / 2
			}
		}
	}
	return n
}

// Levels are round, between the two values, and neither too few nor too many.
func TestRounds(t *testing.T) {
	levels, step := draw.Rounds(108.0, 120.2)
	assert.InDeltaSlice(t, []float64{110, 112, 114, 116, 118, 120}, levels, 1e-9)
	assert.InDelta(t, 2, step, 1e-12)
	levels, _ = draw.Rounds(119.83, 120.2)
	assert.InDeltaSlice(t, []float64{119.9, 120.0, 120.1}, levels, 1e-9)
	for _, same := range [][2]float64{{120, 120}, {121, 120}, {120, 120 + 1e-9}, {math.NaN(), 1}} {
		levels, _ = draw.Rounds(same[0], same[1])
		assert.Empty(t, levels)
	}
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(-100, 300).Draw(t, "from")
		to := from + rapid.Float64Range(0.01, 300).Draw(t, "span")
		levels, step := draw.Rounds(from, to)
		if len(levels) < 3 || len(levels) > 6 {
			t.Fatalf("%d levels from %v to %v", len(levels), from, to)
		}
		for _, v := range levels {
			if v <= from-1e-9*step || v >= to+1e-9*step || math.Abs(v/step-math.Round(v/step)) > 1e-6 {
				t.Fatalf("%v from %v to %v by %v", v, from, to, step)
			}
		}
	})
}
