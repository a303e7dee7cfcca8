package sterilizer_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/sterilizer"
)

// Counted by hand, and circles in a circle: 7 of a third of its width, 19 of a
// fifth (hexagonal packing, common geometry), 2 of a half.
func TestSpotsByHand(t *testing.T) {
	for _, c := range []struct {
		tray   sterilizer.Tray
		across float64
		gap    float64
		want   int
	}{
		{sterilizer.Tray{Width: 0.45, Depth: 0.31}, 0.090, 0.010, 12},  // 4 in 0.01 + 4 x 0.1, 3 deep
		{sterilizer.Tray{Width: 0.41, Depth: 0.11}, 0.090, 0.010, 4},   // just so
		{sterilizer.Tray{Width: 0.4099, Depth: 0.11}, 0.090, 0.010, 3}, // a tenth of a millimeter short
		{sterilizer.Tray{Width: 10, Depth: 9.8}, 1, 0, 100 - 10 + 15},  // staggered: 11 rows of 10 and 9
		{sterilizer.Tray{Diameter: 0.3}, 0.1, 0, 7},
		{sterilizer.Tray{Diameter: 0.5}, 0.1, 0, 19},
		{sterilizer.Tray{Diameter: 0.2}, 0.1, 0, 2},
		{sterilizer.Tray{Diameter: 0.11}, 0.090, 0.010, 1},
		{sterilizer.Tray{Diameter: 0.10}, 0.090, 0.010, 0},
		{sterilizer.Tray{}, 0.09, 0.01, 0},
		{sterilizer.Tray{Width: 450, Depth: 300}, 0.09, 0.01, 0}, // in mm: no tray
	} {
		assert.Len(t, c.tray.Spots(c.across, c.gap), c.want, "%+v", c)
	}
	assert.InDelta(t, 12, checks.Eval(t, sterilizer.TrayPlaces, values{"w": 0.45, "l": 0.31, "d_tray": 0, "d": 0.09}), 0)
	assert.InDelta(t, 0.095, checks.Eval(t, sterilizer.OutsideWidth, values{"D": 0.0914, "s": 0.0018}), 1e-9)
	assert.InDelta(t, 1.25, checks.Eval(t, sterilizer.LoadOfTrays, values{"cap": 45, "trays": 3, "k": 12}), 1e-12)
}

// No two vessels come closer than the gap, and none to the wall.
func TestSpotsLeaveGaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tray := sterilizer.Tray{Width: rapid.Float64Range(0.05, 1).Draw(t, "width"), Depth: rapid.Float64Range(0.05, 1).Draw(t, "depth")}
		if rapid.Bool().Draw(t, "round") {
			tray = sterilizer.Tray{Diameter: rapid.Float64Range(0.05, 1).Draw(t, "diameter")}
		}
		across, gap := rapid.Float64Range(0.05, 0.2).Draw(t, "across"), rapid.Float64Range(0, 0.03).Draw(t, "gap")
		list := tray.Spots(across, gap)
		for i, a := range list {
			for _, b := range list[:i] {
				require.GreaterOrEqual(t, math.Hypot(a.X-b.X, a.Y-b.Y), across+gap-1e-6)
			}
			if tray.Diameter > 0 {
				require.LessOrEqual(t, math.Hypot(a.X-tray.Diameter/2, a.Y-tray.Diameter/2)+across/2+gap, tray.Diameter/2+1e-6)
				continue
			}
			require.GreaterOrEqual(t, min(a.X, a.Y, tray.Width-a.X, tray.Depth-a.Y), across/2+gap-1e-6)
		}
	})
}

func TestArrangeHoldsWhatItIsGiven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spots := sterilizer.Tray{Width: 0.8, Depth: 0.6}.Spots(0.095, 0.01)
		layers := rapid.IntRange(1, 5).Draw(t, "layers")
		places := rapid.IntRange(1, layers*len(spots)).Draw(t, "places")
		n := rapid.IntRange(1, places).Draw(t, "n")
		controls := rapid.IntRange(0, min(n-1, 4)).Draw(t, "controls")
		load := sterilizer.Arrange(spots, layers, places, n, controls)
		require.Len(t, load, layers)
		of, stand := map[sterilizer.Use]int{}, 0
		least, most := places, 0
		probe := -1
		for i, l := range load {
			require.Equal(t, len(l.Spots), len(l.Uses))
			filled := 0
			for _, u := range l.Uses {
				of[u]++
				if u != sterilizer.Water {
					filled++
				}
				if u == sterilizer.Probe {
					probe = i
				}
			}
			stand += filled
			least, most = min(least, filled), max(most, filled)
		}
		require.Equal(t, n, stand)
		require.Equal(t, places-n, of[sterilizer.Water], "water on every place that is left")
		require.Equal(t, controls, of[sterilizer.Control])
		require.Equal(t, 1, of[sterilizer.Probe])
		require.LessOrEqual(t, of[sterilizer.Indicator], 2)
		require.LessOrEqual(t, most-least, 1, "even layers")
		filled := 0
		for _, u := range load[probe].Uses {
			if u != sterilizer.Water {
				filled++
			}
		}
		require.Equal(t, most, filled, "the probe is in the fullest layer")
	})
}

// 3 layers of 3 by 3: the probe in the middle of the middle layer, an indicator
// beside it and one in the middle below, two controls in corners.
func TestArrangeByHand(t *testing.T) {
	spots := sterilizer.Tray{Width: 0.31, Depth: 0.31}.Spots(0.09, 0.01)
	require.Len(t, spots, 9)
	load := sterilizer.Arrange(spots, 3, 27, 27, 2)
	assert.Equal(t, sterilizer.Probe, load[1].Uses[4])
	assert.Equal(t, sterilizer.Indicator, load[0].Uses[4])
	assert.Equal(t, sterilizer.Indicator, load[1].Uses[1])
	assert.Equal(t, sterilizer.Control, load[2].Uses[0])
	assert.Equal(t, sterilizer.Control, load[0].Uses[0])
	// A third full: the middle, a corner, and the corner that is farthest from it.
	third := sterilizer.Arrange(spots, 3, 27, 9, 0)
	assert.Equal(t, sterilizer.Probe, third[1].Uses[4])
	for _, i := range []int{1, 3, 5, 7} {
		assert.Equal(t, sterilizer.Water, third[1].Uses[i])
	}
	// Two thirds full: the water is in corners, and the middle is not of it.
	more := sterilizer.Arrange(spots, 3, 27, 18, 0)
	for i, u := range more[1].Uses {
		assert.Equal(t, i == 0 || i == 2 || i == 6, u == sterilizer.Water, "%d", i)
	}
	for _, bad := range [][4]int{{0, 1, 1, 0}, {1, 10, 1, 0}, {3, 27, 28, 0}, {3, 27, 0, 0}, {3, 27, 2, 3}, {3, 27, 2, -1}} {
		assert.Nil(t, sterilizer.Arrange(spots, bad[0], bad[1], bad[2], bad[3]), "%v", bad)
	}
}
