package draw_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/draw"
)

func someBatches() draw.Batches {
	return draw.Batches{
		Title: "Batches", Description: "Three batches.", From: 1,
		Batches: []draw.BatchDot{
			{At: 0.02, High: 0.06},
			{At: 0.16, High: 0.06, Beyond: true, Hollow: true, Label: "2: 26 of 160"},
			{At: 0, Low: 0.01, High: 0.04},
		},
		Mean: draw.Tick{At: 0.022, Label: "mean 2.2 %"}, Assumed: &draw.Tick{At: 0.05, Label: "assumed 5 %"},
		Say: func(v float64) string { return strconv.FormatFloat(100*v, 'g', 3, 64) + " %" },
	}
}

func TestBatches(t *testing.T) {
	d := someBatches()
	list := read(t, d.String())
	assert.Equal(t, "batches", of(list, "svg", "")[0].attr["class"])
	for _, class := range []string{"hair", "stems", "bars", "mean", "assumed", "dot", "hollow", "ring", "leader", "base"} {
		assert.Len(t, of(list, "path", class), 1, class)
	}
	var said []string
	for _, e := range of(list, "text", "") {
		said = append(said, e.text)
	}
	for _, want := range []string{"1", "2", "3", "2: 26 of 160", "mean 2.2 %", "assumed 5 %", "5 %", "10 %", "15 %"} {
		assert.Contains(t, said, want)
	}
	assert.Equal(t, d.String(), someBatches().String())
	assert.Empty(t, checks.Drawing(d.String(), 13))
	assert.Panics(t, func() { _ = draw.Batches{}.String() })
}

// Whatever the batches, no lettering overlaps another, is run through, or lies
// outside.
func TestBatchesHaveRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := someBatches()
		d.Batches = nil
		d.From = rapid.IntRange(1, 960).Draw(t, "from")
		labels := 0
		for range rapid.IntRange(1, 40).Draw(t, "batches") {
			b := draw.BatchDot{
				At: rapid.Float64Range(0, 1).Draw(t, "at"), Low: rapid.Float64Range(0, 0.2).Draw(t, "low"), High: rapid.Float64Range(0.2, 1).Draw(t, "high"),
				Beyond: rapid.Bool().Draw(t, "beyond"), Hollow: rapid.Bool().Draw(t, "hollow"),
			}
			if b.Beyond && labels < 3 {
				labels++
				b.Label = strconv.Itoa(999) + ": 999 of 999"
			}
			d.Batches = append(d.Batches, b)
		}
		d.Mean.At = rapid.Float64Range(0, 1).Draw(t, "mean")
		if rapid.Bool().Draw(t, "unknown") {
			d.Assumed = nil
		} else {
			d.Assumed.At = rapid.Float64Range(0, 1).Draw(t, "assumed")
		}
		assert.Empty(t, checks.Drawing(d.String(), 13))
	})
}
