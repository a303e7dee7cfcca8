package draw_test

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/draw"
)

// element is one element of a picture as an XML reader sees it.
type element struct {
	name string
	attr map[string]string
	text string
}

// read parses a picture, strictly, and lists its elements in order.
func read(t require.TestingT, svg string) []element {
	d := xml.NewDecoder(strings.NewReader(svg))
	var out []element
	var open []int
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err, svg)
		switch x := token.(type) {
		case xml.StartElement:
			e := element{name: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			open = append(open, len(out))
			out = append(out, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			out[open[len(open)-1]].text += string(x)
		}
	}
}

func of(list []element, name, class string) []element {
	var out []element
	for _, e := range list {
		if e.name == name && (class == "" || e.attr["class"] == class) {
			out = append(out, e)
		}
	}
	return out
}

func TestPicture(t *testing.T) {
	var l draw.Line
	l.Box(1, 2, 10.04, 20.06).Move(0, 0).Draw(-0.04, 3.25)
	p := draw.New("sketch", 100, 50.5, "A <title>", `"Quoted" & described`)
	p.Path("thin", &l)
	p.Path("empty", &draw.Line{})
	p.Text("word", 3, 4, draw.Middle, "5 < 6")
	assert.Equal(t, `<svg class="sketch" role="img" viewBox="0 0 100 50.5">`+
		`<title>A &lt;title&gt;</title><desc>&#34;Quoted&#34; &amp; described</desc>`+
		`<path class="thin" d="M1 2H10V20.1H1ZM0 0L0 3.3"/>`+
		`<text class="word" x="3" y="4" text-anchor="middle">5 &lt; 6</text></svg>`, p.String())
}

func TestACoordinateThatIsNoNumberPanics(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		assert.Panics(t, func() { new(draw.Line).Move(v, 0) })
	}
}

var stroke = regexp.MustCompile(`M([\d.]+) ([\d.]+)l([\d.]+)-([\d.]+)`)

// Every line of a hatching rises at 45° and stays in its rectangle.
func TestHatchStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x0 := rapid.Float64Range(0, 200).Draw(t, "x0")
		x1 := x0 + rapid.Float64Range(0.5, 100).Draw(t, "wide")
		var l draw.Line
		l.Hatch(x0, 19, x1, 31, rapid.Float64Range(2, 12).Draw(t, "apart"))
		p := draw.New("x", 300, 50, "", "")
		p.Path("hatch", &l)
		const rounding = 0.11
		for _, m := range stroke.FindAllStringSubmatch(p.String(), -1) {
			v := make([]float64, 4)
			for i := range v {
				v[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			if v[0] < x0-rounding || v[0]+v[2] > x1+rounding || v[1] > 31+rounding || v[1]-v[3] < 19-rounding || v[2] != v[3] {
				t.Fatalf("%s leaves %v to %v", m[0], x0, x1)
			}
		}
	})
	var l draw.Line
	l.Hatch(0, 0, 24, 12, 6)
	p := draw.New("x", 300, 50, "", "")
	p.Path("hatch", &l)
	assert.Len(t, stroke.FindAllString(p.String(), -1), 5, "24 wide, 12 high, 6 apart: feet at -6 to 18")
	for _, nothing := range [][3]float64{{5, 5, 6}, {6, 5, 6}, {0, 10, 0}} {
		var l draw.Line
		l.Hatch(nothing[0], 0, nothing[1], 12, nothing[2])
		p := draw.New("x", 1, 1, "", "")
		p.Path("hatch", &l)
		assert.NotContains(t, p.String(), "path")
	}
}

// half is a bar whose axis is known: allowed up to 40, warned to 60, refused above.
func half() draw.Bar {
	return draw.Bar{
		Title: "The hold: 30 min", Description: "No finding: at most 40 min.",
		Axis: draw.Axis{From: 0, To: 100},
		Zones: []draw.Zone{
			{From: 0, To: 40, Kind: draw.Allowed}, {From: 40, To: 60, Kind: draw.Warned}, {From: 60, To: 100, Kind: draw.Refused},
		},
		Edges: []draw.Tick{{At: 40, Label: "40 min"}, {At: 60, Label: "60 min"}},
		Mark:  &draw.Tick{At: 30, Label: "30 min"},
	}
}

// A bar says what it is to who can't see it, and tells its zones apart without
// a color: by what is drawn.
func TestBar(t *testing.T) {
	svg := half().String()
	list := read(t, svg)
	assert.Equal(t, "svg", list[0].name)
	assert.Equal(t, "img", list[0].attr["role"])
	assert.Equal(t, "title", list[1].name, "the title is the first child, or it is no name")
	assert.Equal(t, "The hold: 30 min", list[1].text)
	assert.Equal(t, "desc", list[2].name)
	assert.Equal(t, "No finding: at most 40 min.", list[2].text)
	for _, class := range []string{"thin", "warned", "refused", "allowed", "edge-line", "halo", "stem", "wedge"} {
		assert.Len(t, of(list, "path", class), 1, class)
	}
	found := of(list, "text", "found")
	require.Len(t, found, 1)
	assert.Equal(t, "30 min", found[0].text)
	// 6 at either end is left for half a mark: 30 of 100 is at 6 + 0.3 · 288.
	assert.Equal(t, "92.4", found[0].attr["x"])
	edges := of(list, "text", "edge")
	require.Len(t, edges, 2)
	assert.Equal(t, "121.2", edges[0].attr["x"])
	assert.Equal(t, "178.8", edges[1].attr["x"])
	assert.Equal(t, svg, half().String(), "the same input gives the same bytes")
}

// No style, no color, no id, no reference, and no coordinate finer than a tenth.
func TestBarIsPlain(t *testing.T) {
	svg := half().String()
	for _, e := range read(t, svg) {
		for key := range e.attr {
			assert.Contains(t, []string{"class", "role", "viewBox", "d", "x", "y", "text-anchor"}, key, e.name)
		}
	}
	assert.NotRegexp(t, `\.\d\d`, svg)
}

// Labels never run into each other or out of the picture; the first keep their
// place.
func TestLabelsHaveRoom(t *testing.T) {
	b := half()
	b.Edges = []draw.Tick{{50, "fifty"}, {51, "fifty-one"}, {0, "the very start"}, {100, "the very end"}, {80, ""}}
	b.Mark.At = 100
	list := read(t, b.String())
	var labels []string
	for _, e := range of(list, "text", "edge") {
		labels = append(labels, e.text)
	}
	assert.Equal(t, []string{"fifty", "the very start", "the very end"}, labels)
	edges := of(list, "text", "edge")
	assert.Equal(t, "start", edges[1].attr["text-anchor"])
	assert.Equal(t, "0", edges[1].attr["x"])
	assert.Equal(t, "end", edges[2].attr["text-anchor"])
	assert.Equal(t, "300", edges[2].attr["x"])
	assert.Equal(t, "end", of(list, "text", "found")[0].attr["text-anchor"])
	assert.Equal(t, 5, strings.Count(of(list, "path", "edge-line")[0].attr["d"], "M"), "an edge without a label is drawn all the same")
}

func TestBarWithoutAMarkAndWithNamedZones(t *testing.T) {
	b := half()
	b.Mark, b.Edges = nil, nil
	b.Zones[0].Label = "no finding"
	list := read(t, b.String())
	assert.Empty(t, of(list, "text", "found"))
	assert.Empty(t, of(list, "path", "stem"))
	require.Len(t, of(list, "text", "edge"), 1)
	assert.Equal(t, "63.6", of(list, "text", "edge")[0].attr["x"])
}

// An axis has room at its ends, starts at zero where zero is near, and goes by
// powers of ten where values lie far apart.
func TestAxisOver(t *testing.T) {
	for _, c := range []struct {
		name          string
		edges, values []float64
		want          draw.Axis
	}{
		{"room at both ends", []float64{100, 120}, []float64{110}, draw.Axis{From: 97, To: 123}},
		{"zero is near", []float64{10}, []float64{5}, draw.Axis{From: 0, To: 10.75}},
		{"a value of zero", []float64{10}, []float64{0}, draw.Axis{From: 0, To: 11.5}},
		{"an edge at zero", []float64{0, 10}, []float64{5}, draw.Axis{From: -1.5, To: 11.5}},
		{"below zero", []float64{-5, 3}, []float64{0}, draw.Axis{From: -6.2, To: 4.2}},
		{"one value", nil, []float64{4}, draw.Axis{From: 3.4, To: 4.6}},
		{"one zero", nil, []float64{0}, draw.Axis{From: 0, To: 0.15}},
		{"beyond all measure", nil, []float64{1e-280, 1}, draw.Axis{From: 1e-12 / math.Pow(1e12, 0.15), To: math.Pow(1e12, 0.15), Log: true}},
		{"far apart", []float64{100}, []float64{100_000_000}, draw.Axis{From: 100 / math.Pow(1e6, 0.15), To: 1e8 * math.Pow(1e6, 0.15), Log: true}},
	} {
		got := draw.AxisOver(c.edges, c.values)
		assert.InDelta(t, c.want.From, got.From, 1e-9*(1+math.Abs(c.want.From)), c.name)
		assert.InDelta(t, c.want.To, got.To, 1e-9*(1+math.Abs(c.want.To)), c.name)
		assert.Equal(t, c.want.Log, got.Log, c.name)
	}
	assert.Panics(t, func() { draw.AxisOver(nil, nil) })
}

// Whatever is asked, a mark stands inside the picture and in the order of the
// values; what lies beyond the axis stands at its end.
func TestMarksStandInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-1000, 1e6), 1, 6).Draw(t, "values")
		edges := rapid.SliceOfN(rapid.Float64Range(-1000, 1e6), 0, 4).Draw(t, "edges")
		axis := draw.AxisOver(edges, values)
		if axis.To <= axis.From {
			t.Fatalf("%+v is no axis", axis)
		}
		at := func(v float64) float64 {
			b := draw.Bar{Axis: axis, Zones: []draw.Zone{{From: axis.From, To: axis.To}}, Mark: &draw.Tick{At: v, Label: "1"}}
			stem := of(read(t, b.String()), "path", "stem")
			x, err := strconv.ParseFloat(strings.TrimPrefix(strings.Fields(stem[0].attr["d"])[0], "M"), 64)
			if err != nil || x < 6 || x > 294 {
				t.Fatalf("%v stands at %v", v, stem[0].attr["d"])
			}
			return x
		}
		for i := 1; i < len(values); i++ {
			a, b := math.Min(values[i-1], values[i]), math.Max(values[i-1], values[i])
			if at(a) > at(b) {
				t.Fatalf("%v stands right of %v on %+v", a, b, axis)
			}
		}
		if at(axis.From-1e9) != 6 || at(axis.To+1e9) != 294 {
			t.Fatalf("what lies beyond does not stand at the end of %+v", axis)
		}
	})
}
