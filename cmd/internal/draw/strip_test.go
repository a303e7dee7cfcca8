package draw_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/draw"
)

func tick(v float64) draw.Tick { return draw.Tick{At: v, Label: fmt.Sprintf("%.0f min", v)} }

func someStrip() draw.Strip {
	return draw.Strip{
		Title: "Samples", Description: "Two groups.",
		Groups: []draw.Group{
			{Name: "As drawn", Low: tick(22), Middle: tick(59), High: tick(86)},
			{Name: "No vapor", Low: tick(6), Middle: tick(23), High: tick(45)},
		},
		Bounds: []draw.Bound{{Tick: draw.Tick{At: 3, Label: "Floor 3 min"}, Class: "floor"}, {Tick: draw.Tick{At: 15, Label: "Target 15 min"}, Class: "target"}},
		Say:    func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) },
	}
}

func TestStrip(t *testing.T) {
	d := someStrip()
	list := read(t, d.String())
	assert.Equal(t, "strip", of(list, "svg", "")[0].attr["class"])
	assert.Equal(t, "Samples", of(list, "title", "")[0].text)
	for _, class := range []string{"target", "floor", "part", "ends", "middle", "ground", "hair", "base"} {
		assert.Len(t, of(list, "path", class), 1, class)
	}
	var said []string
	for _, e := range of(list, "text", "") {
		said = append(said, e.text)
	}
	// Round values of 1, 2 and 5 that lie on the scale, 2.6 to 99.
	for _, want := range []string{"5", "10", "20", "50", "As drawn", "No vapor", "22 min", "59 min", "86 min", "Floor 3 min", "Target 15 min"} {
		assert.Contains(t, said, want)
	}
	assert.NotContains(t, said, "2")
	assert.NotContains(t, said, "100")
	assert.Equal(t, d.String(), someStrip().String())
}

func TestStripWithoutAScalePanics(t *testing.T) {
	assert.Panics(t, func() { _ = draw.Strip{}.String() })
	d := someStrip()
	d.Groups, d.Bounds = []draw.Group{{}}, nil
	assert.Panics(t, func() { _ = d.String() })
	d.Groups = []draw.Group{{Low: tick(1), Middle: tick(2), High: tick(math.Inf(1))}}
	assert.Panics(t, func() { _ = d.String() })
}

// Whatever the values, all lettering stays inside and none of a row overlaps.
func TestStripHasRoom(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d := someStrip()
		for k := range d.Groups {
			low := math.Pow(10, rapid.Float64Range(-12, 3).Draw(r, "low"))
			middle := low * rapid.Float64Range(1, 50).Draw(r, "middle")
			d.Groups[k].Low, d.Groups[k].Middle = tick(low), tick(middle)
			d.Groups[k].High = tick(middle * rapid.Float64Range(1, 5).Draw(r, "high"))
		}
		rows := map[string][][2]float64{}
		for _, e := range of(read(r, d.String()), "text", "") {
			x, err := strconv.ParseFloat(e.attr["x"], 64)
			require.NoError(r, err)
			wide := 13 * 0.55 * float64(len([]rune(e.text)))
			from, to := x, x+wide
			if e.attr["text-anchor"] == "middle" {
				from, to = x-wide/2, x+wide/2
			}
			assert.GreaterOrEqual(r, from, -0.1, e.text)
			assert.LessOrEqual(r, to, draw.StripWidth+0.1, e.text)
			for _, other := range rows[e.attr["y"]] {
				assert.False(r, from < other[1] && to > other[0], "%s overlaps another lettering of its row", e.text)
			}
			rows[e.attr["y"]] = append(rows[e.attr["y"]], [2]float64{from, to})
		}
	})
}
