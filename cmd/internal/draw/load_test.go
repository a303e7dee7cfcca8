package draw_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/draw"
)

func TestLoadShowsEachPlace(t *testing.T) {
	d := draw.Load{Title: "A load", Description: "Two layers", Width: 0.4, Depth: 0.2, Across: 0.09, Layers: []draw.LoadLayer{
		{"Layer 1", []draw.Place{{X: 0.1, Y: 0.1}, {X: 0.2, Y: 0.1, Mark: "P"}}},
		{"Layer 2", []draw.Place{{X: 0.1, Y: 0.1, Filler: true}, {X: 0.3, Y: 0.05, Mark: "C & <"}}},
	}}
	svg := d.String()
	list := read(t, svg)
	class := map[string]string{}
	var said []string
	for _, e := range list {
		switch e.name {
		case "path":
			class[e.attr["class"]] = e.attr["d"]
		case "text":
			said = append(said, e.text)
		}
	}
	assert.Equal(t, []string{"Layer 1", "P", "Layer 2", "C & <"}, said)
	circles := func(of string) int { return strings.Count(class[of], "Z") }
	assert.Equal(t, 2, circles("vessel"), "what is marked")
	assert.Equal(t, 2, circles("thin"), "the plain one and the edge of the water")
	assert.Positive(t, strings.Count(class["water"], "H"))
	assert.Equal(t, 2, circles("edge"), "two layers")
	assert.NotContains(t, svg, "style=")

	// 230 units are 0.4 m: a circle of 0.09 m has a radius of 25.9, and that at
	// 0.1 m from the left begins at 1 + 57.5 - 25.9.
	assert.True(t, strings.HasPrefix(class["thin"], "M32.6 77.5a25.9 25.9"), class["thin"])

	d.Sketch, d.Round = true, true
	svg = d.String()
	assert.Contains(t, svg, `class="sketched"`)
	assert.NotContains(t, svg, `class="edge"`)
	assert.Len(t, read(t, draw.Load{Title: "None"}.String()), 3, "svg, title, desc")
}
