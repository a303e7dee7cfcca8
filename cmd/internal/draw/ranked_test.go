package draw_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/draw"
)

func effect(v float64) draw.Tick { return draw.Tick{At: v, Label: fmt.Sprintf("%+.2f", v)} }

func someLevers() draw.Ranked {
	return draw.Ranked{
		Title: "Cost", Description: "Two levers.", Now: "Cost, now 16.80 USD/kg",
		Levers: []draw.Lever{
			{Name: "Yield", Less: effect(1.87), More: effect(-1.53)},
			{Name: "Wages", Less: effect(-1.45), More: effect(1.45)},
		},
	}
}

// The end that is farthest from the middle reaches farthest, the arrow stands where
// more leads, and nothing overlaps.
func TestRanked(t *testing.T) {
	svg := someLevers().String()
	assert.Empty(t, checks.Drawing(svg, letters))
	list := read(t, svg)
	for _, class := range []string{"hair", "zero", "lever", "ends", "head"} {
		assert.Len(t, of(list, "path", class), 1, class)
	}
	at := map[string]float64{}
	for _, e := range of(list, "text", "") {
		x, err := strconv.ParseFloat(e.attr["x"], 64)
		require.NoError(t, err)
		at[e.text] = x
	}
	const middle = draw.RankedWidth / 2
	assert.Less(t, at["-1.53"], middle-0.0)
	assert.Greater(t, at["+1.87"], at["+1.45"])
	assert.Less(t, at["-1.53"], at["-1.45"])
	assert.Equal(t, svg, someLevers().String())
}

// Whatever the effects: on both sides, on one side, nothing on one, none at all.
func TestRankedHasRoom(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d := draw.Ranked{Title: "Effects", Description: "Levers.", Now: "Nitrogen, now 1.36 %"}
		tick := func(name string) draw.Tick {
			switch rapid.IntRange(0, 5).Draw(r, name+" kind") {
			case 0:
				return draw.Tick{}
			case 1:
				return effect(0)
			}
			return effect(rapid.Float64Range(-1, 1).Draw(r, name) * math.Pow(10, float64(rapid.IntRange(-3, 3).Draw(r, name+" size"))))
		}
		for k := range rapid.IntRange(1, 10).Draw(r, "levers") {
			d.Levers = append(d.Levers, draw.Lever{Name: fmt.Sprintf("Share of the ingredient %d", k), Less: tick("less"), More: tick("more")})
		}
		svg := d.String()
		if faults := checks.Drawing(svg, letters); len(faults) > 0 {
			r.Fatalf("%v\n%s", faults, svg)
		}
	})
}

func TestRankedOfNoNumberPanics(t *testing.T) {
	d := someLevers()
	d.Levers[0].More.At = math.NaN()
	assert.Panics(t, func() { _ = d.String() })
}
