package draw_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/draw"
)

const letters = 13 // size of the drawings' letterings, units

// shape is a vessel by its measures in mm and mL.
func shape(form draw.Form, high, body, mouth, wall, brimful float64) draw.Shape {
	return draw.Shape{Form: form, Height: high / 1e3, Body: body / 1e3, Mouth: mouth / 1e3, Wall: wall / 1e3, Brimful: brimful / 1e6}
}

// Common vessels, with measures as in the library, protocols/library/vessels.toml.
var (
	small  = shape(draw.Bottle, 158, 89.4, 55, 1.8, 800)
	bottle = shape(draw.Bottle, 166, 91.4, 61.5, 1.8, 850)
	large  = shape(draw.Bottle, 188, 104.4, 72.5, 1.8, 1200)
	quart  = shape(draw.Jar, 171, 87, 76, 3.5, 989)
	pint   = shape(draw.Jar, 128, 75.5, 75.5, 3.5, 494)
	bag    = shape(draw.Bag, 460, 158, 158, 0.05, 9000)
)

// holds is the volume of a shape by slices, m³.
func holds(s draw.Shape) float64 {
	const slices = 20000
	v := 0.0
	for k := range slices {
		r := s.Radius(s.Height * (float64(k) + 0.5) / slices)
		v += math.Pi * r * r * s.Height / slices
	}
	return v
}

// A vessel is drawn with the shoulder at which it holds what it holds.
func TestShapeHoldsItsVolume(t *testing.T) {
	for _, s := range []draw.Shape{small, bottle, large, quart} {
		assert.InEpsilon(t, s.Brimful, holds(s), 1e-4)
		body, neck := s.Shoulder()
		assert.True(t, 0 < body && body < neck && neck < s.Height, "%v: %v, %v", s, body, neck)
		assert.InDelta(t, s.Body/2, s.Radius(body), 1e-12)
		assert.InDelta(t, s.Mouth/2, s.Radius(neck), 1e-12)
	}
	// A straight jar has no shoulder, whatever it holds.
	body, neck := pint.Shoulder()
	assert.Equal(t, [2]float64{pint.Height, pint.Height}, [2]float64{body, neck})

	rapid.Check(t, func(t *rapid.T) {
		s := shape(draw.Bottle, rapid.Float64Range(80, 300).Draw(t, "high"), rapid.Float64Range(60, 150).Draw(t, "body"), 0, 2, 0)
		s.Mouth = s.Body * rapid.Float64Range(0.4, 0.99).Draw(t, "mouth")
		cylinder := math.Pi * s.Body * s.Body / 4 * s.Height
		s.Brimful = cylinder * rapid.Float64Range(0.05, 1.1).Draw(t, "share")
		body, neck := s.Shoulder()
		if !(body >= -1e-12 && body <= neck && neck <= s.Height+1e-12) {
			t.Fatalf("%+v: %v, %v", s, body, neck)
		}
		// What can't be drawn with a shoulder of its own is the nearest that can.
		if fits := holds(s) / s.Brimful; body > 1e-9 && neck < s.Height-1e-9 && math.Abs(fits-1) > 1e-3 {
			t.Fatalf("%+v holds %v of its volume", s, fits)
		}
	})
}

func vesselOf(s draw.Shape) draw.Vessel {
	return draw.Vessel{
		Title: "A cut", Description: "With its measures", Shape: s, Line: 0.02,
		Bore:     draw.Bore{Top: 0.020, Bottom: 0.014, Depth: 0.6 * s.Height},
		FillLine: draw.Label{Measure: "20 mm", Words: "rim to fill line"},
		BoreTop:  draw.Label{Measure: "20 mm", Words: "bore, at the top"}, BoreFoot: draw.Label{Measure: "14 mm", Words: "bore, at its foot"},
		BoreDepth: draw.Label{Measure: "130 mm", Words: "deep"}, Mass: draw.Label{Measure: "537 g", Words: "of mix"},
		Lid: draw.Label{Words: "lid with filter"},
	}
}

// Each vessel is drawn whole, no lettering in another's way, and no two alike.
func TestVessel(t *testing.T) {
	seen := map[string]bool{}
	for k, s := range []draw.Shape{small, bottle, large, quart, pint, bag} {
		for _, collar := range []float64{0, 0.03, 0.13} {
			for _, bored := range []bool{true, false} {
				d := vesselOf(s)
				d.Collar = collar
				if s.Form == draw.Bag {
					d.Line, d.Bore.Depth = 0.33, 0.1
				}
				if collar > 0 {
					d.CollarHeight = draw.Label{Measure: "130 mm", Words: "collar, later on"}
				}
				if !bored {
					d.Bore = draw.Bore{}
				}
				svg := d.String()
				assert.Empty(t, checks.Drawing(svg, letters), "vessel %d, collar %v", k, collar)
				assert.Equal(t, bored, strings.Contains(svg, "at its foot"))
				if s.Form == draw.Bag && collar > 0 {
					continue // a bag has none: drawn as without
				}
				assert.False(t, seen[svg], "vessel %d", k)
				seen[svg] = true
				assert.Equal(t, svg, d.String())
			}
		}
	}
}

// Vessels are to one scale, so a dimension line is as long as its measure.
func TestVesselIsToScale(t *testing.T) {
	long := func(s draw.Shape) float64 {
		for _, e := range of(read(t, vesselOf(s).String()), "path", "dimension") {
			// The fill line's, the first, runs straight down.
			var x, y0, x1, y1 float64
			_, err := fmt.Sscanf(e.attr["d"], "M%f %fL%f %f", &x, &y0, &x1, &y1)
			require.NoError(t, err)
			assert.InDelta(t, x, x1, 1e-9)
			return y1 - y0
		}
		return 0
	}
	for _, s := range []draw.Shape{bottle, quart, large} {
		assert.InDelta(t, 20*1.15, long(s), 0.11, "20 mm at 1.15 units to the mm")
	}
}

func TestBoreLook(t *testing.T) {
	for _, s := range []draw.Shape{small, bottle, large, quart, pint} {
		d := draw.BoreLook{Title: "T", Description: "D", Shape: s, Line: 0.02, Bore: draw.Bore{Top: 0.02, Bottom: 0.014, Depth: 0.1},
			Verdict: draw.Label{Measure: "Good", Words: "open to its foot"}}
		open := d.String()
		d.FellIn = true
		fallen := d.String()
		for _, svg := range []string{open, fallen} {
			assert.Empty(t, checks.Drawing(svg, letters))
		}
		assert.NotContains(t, open, "crack")
		assert.Len(t, of(read(t, fallen), "path", "crack"), 1)
		assert.Len(t, of(read(t, fallen), "path", "later"), 1, "where the bore was")
	}
}

// mixOf is a cut with the coldest place on a ring or on the axis.
func mixOf(coldest, chamber float64, bored bool) draw.Isotherms {
	const radius, high, n, m = 0.0457, 0.1204, 24, 40
	d := draw.Isotherms{
		Title: "T", Description: "D", Heading: "Bore open", Shape: bottle, Radius: radius, Height: high,
		Slowest: draw.Spot{R: 0, Z: 0.06, Label: draw.Label{Measure: "108.0 °C", Words: "slowest place"}},
	}
	if bored {
		d.BoreRadius, d.BoreDepth, d.Slowest.R = 0.0086, 0.104, 0.022
	}
	for i := range n {
		d.Field.X = append(d.Field.X, radius*(float64(i)+0.5)/n)
	}
	for j := range m {
		z := high * (float64(j) + 0.5) / m
		d.Field.Y = append(d.Field.Y, z)
		row := make([]float64, n)
		for i, r := range d.Field.X {
			u, w := (r-d.Slowest.R)/(radius-d.Slowest.R), (z-d.Slowest.Z)/(high/2)
			row[i] = coldest + (chamber-coldest)*math.Min(1, u*u+w*w)
			if bored && r < d.BoreRadius && z > high-d.BoreDepth {
				row[i] = math.NaN()
			}
		}
		d.Field.V = append(d.Field.V, row)
	}
	levels, _ := draw.Rounds(coldest, chamber)
	for _, v := range levels {
		d.Levels = append(d.Levels, draw.Tick{At: v, Label: strconv.FormatFloat(v, 'f', 0, 64) + "°"})
	}
	return d
}

func TestIsotherms(t *testing.T) {
	for _, c := range []struct {
		coldest, chamber float64
		bored            bool
		crosses          int
	}{{108, 120.2, false, 1}, {116.2, 120.2, true, 2}, {40, 121, true, 2}, {119.9, 120, false, 1}, {120, 120, true, 2}} {
		d := mixOf(c.coldest, c.chamber, c.bored)
		svg := d.String()
		assert.Empty(t, checks.Drawing(svg, letters), "%+v", c)
		assert.NotContains(t, svg, "NaN")
		list := read(t, svg)
		assert.Equal(t, 2*c.crosses, strings.Count(of(list, "path", "cross")[0].attr["d"], "M"), "%+v", c)
		labels, lines := len(of(list, "path", "ground")), 0
		for _, e := range of(list, "path", "") {
			if strings.HasPrefix(e.attr["class"], "isotherm ") {
				lines++
			}
		}
		assert.Equal(t, lines, labels, "each line has its label")
		if c.chamber-c.coldest > 3 {
			assert.GreaterOrEqual(t, lines, 2, "%+v", c)
		}
		assert.Equal(t, svg, d.String())
	}
}

// The same level has the same weight in two drawings that share their levels.
func TestWeightsMatch(t *testing.T) {
	levels := mixOf(108, 120.2, false).Levels
	weight := func(d draw.Isotherms) map[string]string {
		d.Levels = levels
		out, classes := map[string]string{}, []string{}
		list := read(t, d.String())
		for _, e := range of(list, "path", "") {
			if strings.HasPrefix(e.attr["class"], "isotherm ") {
				classes = append(classes, e.attr["class"])
			}
		}
		k := 0
		for _, e := range of(list, "text", "said") {
			if strings.HasSuffix(e.text, "°") {
				out[e.text] = classes[k]
				k++
			}
		}
		return out
	}
	a, b := weight(mixOf(108, 120.2, false)), weight(mixOf(112.5, 120.2, true))
	shared := 0
	for level, class := range a {
		if other, ok := b[level]; ok {
			assert.Equal(t, class, other, level)
			shared++
		}
	}
	assert.Positive(t, shared)
}

// runOf is a run whose slowest place nears the chamber and gets a dose.
func runOf(minutes, vent, dose, target float64) draw.Run {
	said := func(v, step float64) string {
		return strconv.FormatFloat(v, 'f', max(0, -int(math.Floor(math.Log10(step)+1e-9))), 64)
	}
	d := draw.Run{
		Title: "T", Description: "D", Target: target, Floor: target / 5,
		Temperature: func(v, step float64) string { return said(v, step) + " °C" },
		Doses:       func(v, step float64) string { return said(v, step) + " min" },
		Time:        func(v, step float64) string { return said(v, step) + " min" },
	}
	label := func(v float64, words string) draw.Label {
		return draw.Label{Measure: strconv.FormatFloat(v, 'g', 3, 64) + " min", Words: words}
	}
	up := math.Min(35, minutes/4)
	d.Phases = []draw.Phase{{To: up / 2, Name: "come-up"}, {From: up / 2, To: up/2 + vent, Name: "vent"}, {From: up/2 + vent, To: up + vent}, {From: up + vent, To: minutes, Name: "hold"}}
	for t := 0.0; t <= minutes; t++ {
		chamber := math.Min(20+100*t/up, 120.2)
		core := 20 + (120.2-20)*(1-math.Exp(-3*math.Pow(t/minutes, 2)))
		d.Minutes, d.Chamber, d.Slowest = append(d.Minutes, t), append(d.Chamber, chamber), append(d.Slowest, core)
		d.Dose = append(d.Dose, dose*math.Pow(t/minutes, 8))
	}
	d.ChamberLabel, d.SlowestLabel = draw.Label{Measure: "120.2 °C", Words: "chamber"}, draw.Label{Measure: "116.2 °C", Words: "slowest place"}
	d.DoseLabel, d.TargetLabel, d.FloorLabel = label(dose, "F0 there"), label(target, "F0, target"), label(target/5, "F0, floor")
	return d
}

// Runs of half an hour to twelve, with doses from next to nothing to hundreds.
func TestRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minutes := float64(rapid.IntRange(30, 720).Draw(t, "minutes"))
		dose := math.Pow(10, rapid.Float64Range(-2, 2.31).Draw(t, "dose"))
		d := runOf(minutes, rapid.SampledFrom([]float64{0, 2, 5, 7}).Draw(t, "vent"), dose, rapid.SampledFrom([]float64{3, 8, 15, 30}).Draw(t, "target"))
		svg := d.String()
		if faults := checks.Drawing(svg, letters); len(faults) > 0 {
			t.Fatalf("%v\n%s", faults, svg)
		}
		if strings.Contains(svg, ">-0") {
			t.Fatal("a zero below zero")
		}
		if svg != d.String() {
			t.Fatal("the same run, other bytes")
		}
	})
	assert.Panics(t, func() { _ = draw.Run{Minutes: []float64{0}}.String() })
	d := runOf(150, 10, 7.9, 15)
	d.Target, d.Floor = 0, 0
	svg := d.String()
	assert.Empty(t, checks.Drawing(svg, letters))
	assert.Empty(t, of(read(t, svg), "path", "target"))
	assert.NotContains(t, svg, "F0, target")
}

// A probe run: readings as crosses over what was computed, and no doses. Crosses
// lie where the same values of a line lie.
func TestProbeRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := runOf(float64(rapid.IntRange(30, 720).Draw(t, "minutes")), 0, 8, 15)
		d.Dose, d.Phases, d.ReadLabel = nil, nil, draw.Label{Measure: "116.0 °C", Words: "read"}
		off := rapid.Float64Range(-8, 8).Draw(t, "off")
		for k := 0; k < len(d.Minutes); k += 10 {
			d.Read = append(d.Read, [2]float64{d.Minutes[k], d.Slowest[k] + off})
		}
		svg := d.String()
		if faults := checks.Drawing(svg, letters); len(faults) > 0 {
			t.Fatalf("%v\n%s", faults, svg)
		}
	})
	d := runOf(60, 0, 8, 15)
	with := d.String()
	d.Dose = nil
	without := d.String()
	assert.Contains(t, with, "F0 there")
	assert.NotContains(t, without, "F0 there")
	assert.NotContains(t, without, "min\u00a0min")
	assert.Empty(t, of(read(t, without), "path", "cross"))
	for k := range d.Minutes {
		d.Read = append(d.Read, [2]float64{d.Minutes[k], d.Slowest[k]})
	}
	list := read(t, d.String())
	require.Len(t, of(list, "path", "cross"), 1)
	assert.Equal(t, 2*len(d.Read), strings.Count(strings.ToUpper(of(list, "path", "cross")[0].attr["d"]), "M"))
}
