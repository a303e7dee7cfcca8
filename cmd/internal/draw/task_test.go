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

// points are the ends of all lines of the paths of a class.
func points(t require.TestingT, svg, class string) [][2]float64 {
	var out [][2]float64
	for _, e := range of(read(t, svg), "path", class) {
		d := e.attr["d"]
		var x, y float64
		for d != "" {
			end := strings.IndexAny(d[1:], "MLHVZl")
			part := d
			if d = ""; end >= 0 {
				part, d = part[:end+1], part[end+1:]
			}
			var err error
			switch part[0] {
			case 'M', 'L':
				_, err = fmt.Sscanf(part[1:], "%f %f", &x, &y)
			case 'H':
				x, err = strconv.ParseFloat(part[1:], 64)
			case 'V':
				y, err = strconv.ParseFloat(part[1:], 64)
			case 'Z':
				continue
			}
			require.NoError(t, err)
			out = append(out, [2]float64{x, y})
		}
	}
	return out
}

// across is how far the points reach from left to right, high from top to foot.
func across(list [][2]float64) (wide, high float64) {
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, q := range list {
		x0, x1 = math.Min(x0, q[0]), math.Max(x1, q[0])
		y0, y1 = math.Min(y0, q[1]), math.Max(y1, q[1])
	}
	return x1 - x0, y1 - y0
}

var vessels = []draw.Shape{small, bottle, large, quart, pint}

// anyShape is a bottle or a jar within and beyond what is sold.
func anyShape(t *rapid.T) draw.Shape {
	form := draw.Bottle
	if rapid.Bool().Draw(t, "jar") {
		form = draw.Jar
	}
	s := shape(form, rapid.Float64Range(90, 300).Draw(t, "high"), rapid.Float64Range(50, 180).Draw(t, "body"), 0, rapid.Float64Range(0.8, 6).Draw(t, "wall"), 0)
	s.Mouth = s.Body * rapid.Float64Range(0.45, 1).Draw(t, "mouth")
	s.Brimful = math.Pi * s.Body * s.Body / 4 * s.Height * rapid.Float64Range(0.5, 1).Draw(t, "share")
	return s
}

var deep = draw.Label{Measure: "0.20 in", Words: "comes off"}

// A scraped top is as deep as it says, at the scale of its vessel: the mouth, in
// the same picture, is what it is measured by.
func TestScrapeIsToScale(t *testing.T) {
	for _, s := range vessels {
		for _, depth := range []float64{0.002, 0.005, 0.010} {
			svg := draw.ScrapeLook{Title: "T", Description: "D", Shape: s, Line: 0.02, Depth: depth, Off: deep}.String()
			mouth, _ := across(points(t, svg, "later")) // the old top, from wall to wall
			ends := map[float64]bool{}                  // of the arrow, whose heads may stand outside
			for _, q := range points(t, svg, "dimension") {
				ends[q[1]] = true
			}
			old := points(t, svg, "later")[0][1]
			scale := mouth / (2 * s.Radius(s.Height-0.02))
			assert.True(t, ends[old], "no end of the measure at the old top")
			found := false
			for y := range ends {
				found = found || math.Abs(y-old-depth*scale) < 0.11
			}
			assert.True(t, found, "%v: no end of the measure %v mm below the old top", s, 1000*depth)
		}
	}
}

// A raised middle stays, a level top does not, and a skin is scratched upright.
func TestWaysOfScrapingDiffer(t *testing.T) {
	seen := map[string]draw.Scrape{}
	for _, how := range []draw.Scrape{draw.ScrapeLevel, draw.ScrapeRaised, draw.ScrapeSkin} {
		d := draw.ScrapeLook{Title: "T", Description: "D", Shape: bottle, Line: 0.02, Depth: 0.005, How: how, Off: deep, Middle: draw.Label{Words: "stays higher"}}
		svg := d.String()
		_, twice := seen[svg]
		assert.False(t, twice)
		seen[svg] = how
		assert.Equal(t, how == draw.ScrapeRaised, strings.Contains(svg, "stays higher"))
		substrate := points(t, svg, "substrate")
		tops := 0
		old := points(t, svg, "later")[0][1]
		for _, q := range substrate {
			if math.Abs(q[1]-old) < 0.01 {
				tops++
			}
		}
		assert.Equal(t, map[draw.Scrape]int{draw.ScrapeRaised: 2}[how], tops, "corners of the substrate at the old top")
	}
}

// The collar and the stems stand at one scale with each other and the mouth.
func TestCollarIsToScale(t *testing.T) {
	for _, s := range vessels {
		d := draw.CollarLook{Title: "T", Description: "D", Shape: s, Line: 0.025, Stem: 0.025, Collar: 0.13,
			StemLong: draw.Label{Measure: "25 mm", Words: "long stems"}, High: draw.Label{Measure: "130 mm", Words: "above the rim"}}
		svg := d.String()
		lines := points(t, svg, "dimension")
		require.Len(t, lines, 4)
		high, stem := math.Abs(lines[1][1]-lines[0][1]), math.Abs(lines[3][1]-lines[2][1])
		assert.InDelta(t, 130./25, high/stem, 0.05)
		rim := math.Max(lines[0][1], lines[1][1])
		wall := points(t, svg, "wall")
		_, tall := across(wall)
		assert.InDelta(t, rim, math.Min(wall[0][1], wall[len(wall)-1][1]-tall), 0.2, "the collar is measured from the rim")
	}
}

// A finger is as broad as it says, and reaches from the rim down.
func TestFingerIsToScale(t *testing.T) {
	for _, s := range vessels {
		for n, line := range map[int]float64{1: 0.019, 2: 0.040} {
			svg := draw.FingerLook{Title: "T", Description: "D", Shape: s, Line: line, Breadth: 0.019, Fingers: n,
				Measure: draw.Label{Measure: "19 mm", Words: "below the rim"}, Of: draw.Label{Measure: "18 mm to 20 mm", Words: "about one finger"}}.String()
			fingers := of(read(t, svg), "path", "skin")
			require.Len(t, fingers, n)
			_, all := across(points(t, svg, "skin"))
			measure := points(t, svg, "dimension")
			_, high := across(measure[:2])
			assert.InDelta(t, float64(n)*0.019/line, all/high, 0.02)
			top := math.Inf(1)
			for _, q := range points(t, svg, "skin") {
				top = math.Min(top, q[1])
			}
			assert.InDelta(t, math.Min(measure[0][1], measure[1][1]), top, 0.11, "it begins at the rim")
		}
	}
}

// The rod goes as deep as the bore, and no deeper.
func TestRodFillsItsBore(t *testing.T) {
	for _, s := range vessels {
		d := draw.BoreLook{Title: "T", Description: "D", Shape: s, Line: 0.02, Bore: draw.Bore{Top: 0.02, Bottom: 0.014, Depth: 0.7 * (s.Height - 0.02)}, Rod: true,
			Deep: draw.Label{Measure: "100 mm", Words: "deep"}, Floor: draw.Label{Measure: "16 mm", Words: "stay below"}, Across: draw.Label{Measure: "20 mm", Words: "wide"}}
		svg := d.String()
		assert.Empty(t, checks.Drawing(svg, letters))
		low, most := 0.0, 0.0
		for _, q := range points(t, svg, "rod") {
			low = math.Max(low, q[1])
		}
		var inBore [][2]float64
		for _, q := range points(t, svg, "substrate") {
			most = math.Max(most, q[1])
			if math.Abs(q[1]-low) < 0.01 {
				inBore = append(inBore, q)
			}
		}
		assert.NotEmpty(t, inBore, "the foot of the rod is that of the bore")
		assert.Less(t, low, most)
	}
}

// A lid that is tipped leaves the rim at one side, and a seated one does not.
func TestCapLook(t *testing.T) {
	for _, s := range vessels {
		d := draw.CapLook{Title: "T", Description: "D", Shape: s, Line: 0.02, Verdict: draw.Label{Measure: "Good", Words: "flat, set on loose"}}
		seated := d.String()
		d.Tipped = true
		d.Verdict.Words = "one side is up"
		tipped := d.String()
		level := func(svg string) bool { // the filter on the lid
			f := points(t, svg, "filter")
			return math.Abs(f[1][1]-f[2][1]) < 0.01
		}
		assert.True(t, level(seated))
		assert.False(t, level(tipped))
		assert.NotContains(t, seated, `class="head"`)
		assert.Contains(t, tipped, `class="head"`, "the grain that holds it up")
	}
}

func gauge(to, step, low, high, rated float64) draw.Dial {
	d := draw.Dial{Title: "T", Description: "D", To: to, Step: step, Low: low, High: high, TooHigh: high, Rated: rated, Hand: (low + high) / 2,
		Band:  [2]string{"15.0 psi", "to 16.0 psi"},
		Above: draw.Label{Measure: "30 psi", Words: "never above"}, Over: draw.Label{Measure: "over 16.0 psi", Words: "turn it down"}}
	for k := range 6 {
		d.Numbers = append(d.Numbers, draw.Tick{At: to * float64(k) / 5, Label: strconv.Itoa(int(to*float64(k)/5 + 0.5))})
	}
	return d
}

// turned is how far a point lies round the dial, as a share of its sweep of
// 270° that begins at the lower left.
func turned(x, y float64) float64 {
	a := math.Atan2(x-98, 98-y) // from straight up, clockwise
	return a/(1.5*math.Pi) + 0.5
}

// The band, the rating and the hand stand at their values: the dial is a scale.
func TestDialIsAScale(t *testing.T) {
	svg := gauge(50, 0.5, 15, 16, 30).String()
	least, most := math.Inf(1), 0.0
	band := points(t, svg, "wall")
	for _, q := range band[:len(band)-16] { // the hub comes last
		least, most = math.Min(least, turned(q[0], q[1])), math.Max(most, turned(q[0], q[1]))
	}
	assert.InDelta(t, 15./50, least, 0.002)
	assert.InDelta(t, 16./50, most, 0.002)
	rated := points(t, svg, "rated")
	assert.InDelta(t, 30./50, turned(rated[1][0], rated[1][1]), 0.002)
	hand := points(t, svg, "hand")
	assert.InDelta(t, 15.5/50, turned(hand[1][0], hand[1][1]), 0.004)
	// One mark for each half psi, from 0 to 50; too fine ones are thinned out.
	marks := func(step float64) int {
		d := of(read(t, gauge(50, step, 15, 16, 30).String()), "path", "thin")
		return strings.Count(d[len(d)-1].attr["d"], "M")
	}
	assert.Equal(t, 101, marks(0.5))
	assert.Equal(t, 101, marks(0.25))
	assert.Equal(t, 51, marks(1))
}

// No picture of a task puts a lettering in the way of a line, of another, or
// outside, whatever the vessel and its measures.
func TestPicturesOfTasksAreCleanForAnyVessel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyShape(t)
		line := rapid.Float64Range(0.004, 0.05).Draw(t, "line")
		measure := draw.Label{Measure: rapid.SampledFrom([]string{"5 mm", "130 mm", "0.20 in", "18 mm to 20 mm"}).Draw(t, "measure"), Words: rapid.SampledFrom([]string{"deep", "above the rim", "debajo del borde"}).Draw(t, "words")}
		depth := rapid.Float64Range(0.001, 0.02).Draw(t, "depth")
		bore := draw.Bore{Top: rapid.Float64Range(0.008, 0.3*s.Body).Draw(t, "top"), Depth: rapid.Float64Range(0.4, 0.97).Draw(t, "bore") * (s.Height - line)}
		bore.Bottom = bore.Top * rapid.Float64Range(0.4, 1).Draw(t, "foot")
		rated := rapid.Float64Range(5, 100).Draw(t, "rated")
		low := rapid.Float64Range(0.1, 0.95).Draw(t, "low") * rated
		high := low + rapid.Float64Range(0, 1).Draw(t, "band")*(rated-low)
		for name, svg := range map[string]string{
			"scrape": draw.ScrapeLook{Title: "T", Description: "D", Shape: s, Line: line, Depth: depth, Off: measure,
				How: draw.Scrape(rapid.IntRange(0, 2).Draw(t, "how")), Middle: draw.Label{Words: "stays higher"}}.String(),
			"collar": draw.CollarLook{Title: "T", Description: "D", Shape: s, Line: line, Stem: rapid.Float64Range(0.005, 0.08).Draw(t, "stem"),
				Collar: rapid.Float64Range(0.02, 0.25).Draw(t, "collar"), StemLong: draw.Label{Measure: "25 mm", Words: "long stems"}, High: measure}.String(),
			"finger": draw.FingerLook{Title: "T", Description: "D", Shape: s, Line: line, Breadth: 0.019, Fingers: max(1, int(line/0.019)), Measure: measure,
				Of: draw.Label{Measure: "18 mm to 20 mm", Words: "about one finger"}}.String(),
			"cap": draw.CapLook{Title: "T", Description: "D", Shape: s, Line: line, Tipped: rapid.Bool().Draw(t, "tipped"),
				Verdict: draw.Label{Measure: "Good", Words: "flat all round"}}.String(),
			"rod": draw.BoreLook{Title: "T", Description: "D", Shape: s, Line: line, Bore: bore, Rod: true, Deep: draw.Label{Measure: "130 mm", Words: "deep"},
				Floor: draw.Label{Measure: "16 mm", Words: "stay below"}, Across: draw.Label{Measure: "20 mm", Words: "wide"}}.String(),
			"dial": gauge(1.5*rated, rapid.SampledFrom([]float64{0.01, 0.5, 2}).Draw(t, "step"), low, high, rated).String(),
		} {
			if faults := checks.Drawing(svg, letters); len(faults) > 0 {
				t.Fatalf("%s: %v", name, faults)
			}
		}
	})
}
