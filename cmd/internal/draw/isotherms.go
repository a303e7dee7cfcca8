package draw

import (
	"math"
	"slices"
	"strconv"
)

// Isotherms is a cut through a vessel's substrate with lines of equal
// temperature. The substrate is an upright cylinder, as the calculation takes
// it; the vessel stands around it. Lines are the heavier the colder they are.
type Isotherms struct {
	Title, Description string
	Heading            string // above
	Shape              Shape
	Field              Field // X from the axis and Y from the base, m; NaN in the bore
	Radius, Height     float64
	BoreRadius         float64 // m; 0 for none
	BoreDepth          float64
	Levels             []Tick // in the field's unit, ascending
	Slowest            Spot
}

// Spot is a place in a cut by its distance from the axis and its height above
// the base, in m.
type Spot struct {
	R, Z  float64
	Label Label
}

// Measures of the drawing of isotherms.
const (
	isothermsWidth = 200
	isothermsWide  = 176 // of the vessel, at most
	isothermsHigh  = 300
	isothermsHead  = 24
	isothermsFoot  = 46
	heaviest       = 6 // weights of lines
)

// isotherm is a level as it is drawn.
type isotherm struct {
	level  Tick
	weight int            // by its place among all levels, so that two drawings of the same levels match
	lines  [][][2]float64 // in the units of the picture
	x, y   float64        // middle of its label
	found  bool
}

// String is the drawing as SVG.
func (d Isotherms) String() string {
	s := d.Shape
	if s.Form == Bag {
		s.Height = d.Height // what stands above the block is loose film
	}
	tall := math.Max(s.Height, d.Height)
	scale := math.Min(isothermsWide/(2*math.Max(s.Body/2, d.Radius)+2*s.Wall), isothermsHigh/tall)
	v := view{isothermsWidth / 2, isothermsHead + tall*scale, scale}
	below := v.base + v.thick(s)*scale
	p := New("isotherms", isothermsWidth, below+isothermsFoot, d.Title, d.Description)
	d.Slowest.Label = d.Slowest.Label.within(isothermsWidth * fuller)
	p.Text("figure-word", isothermsWidth/2, 14, Middle, d.Heading)

	var vessel, body, bore Line
	side := s.side(s.Height)
	v.outline(&vessel, side, v.thick(s))
	p.Path("vessel-around", &vessel)
	body.Box(v.x(-d.Radius), v.y(d.Height), v.x(d.Radius), v.y(0))
	p.Path("body", &body)
	if d.BoreRadius > 0 && d.BoreDepth > 0 {
		bore.Box(v.x(-d.BoreRadius), v.y(d.Height), v.x(d.BoreRadius), v.y(d.Height-d.BoreDepth))
		p.Path("bore", &bore)
	}

	drawn := d.labelled(v, side)
	for _, i := range drawn {
		var l Line
		for _, points := range i.lines {
			for n, q := range thinned(points, 0.15) {
				if n == 0 {
					l.Move(q[0], q[1])
				} else {
					l.Draw(q[0], q[1])
				}
			}
		}
		p.Path("isotherm weight-"+strconv.Itoa(i.weight), &l)
	}
	for _, i := range drawn {
		var ground Line
		b := boxOf(i.x, i.y+halfLine, Middle, i.level.Label)
		p.Path("ground", ground.Box(b.X0-1, b.Y0, b.X1+1, b.Y1))
		p.Text("said", i.x, i.y+halfLine, Middle, i.level.Label)
	}

	var cross, leader Line
	x, y := v.x(d.Slowest.R), v.y(d.Slowest.Z)
	for _, at := range d.crosses(v) {
		cross.Move(at-5, y).Across(at+5).Move(at, y-5).Down(y + 5)
	}
	p.Path("halo", &cross)
	p.Path("cross", &cross)
	leader.Move(x, y+7).Down(below + 8)
	p.Path("leader", &leader)
	p.label(d.Slowest.Label, d.foot(x), below+8+lineHeight+halfLine, Middle)
	return p.String()
}

// foot is where the label of the slowest place stands: below it, and inside the
// picture.
func (d Isotherms) foot(x float64) float64 {
	half := d.Slowest.Label.long()/2 + 1
	return math.Max(half, math.Min(x, isothermsWidth-half))
}

// crosses are where the slowest place is cut: a ring is cut twice.
func (d Isotherms) crosses(v view) []float64 {
	if x := d.Slowest.R * v.scale; x > 6 {
		return []float64{v.x(-d.Slowest.R), v.x(d.Slowest.R)}
	}
	return []float64{v.x(d.Slowest.R)}
}

// labelled are the levels that the field has, the hottest last, each with a
// place for its label that is free of all other lines. A line that has no room
// for its label is left out: the others tell as much.
func (d Isotherms) labelled(v view, side [][2]float64) []isotherm {
	var levels []isotherm
	cut := d.Field.mirrored()
	for k, level := range d.Levels {
		i := isotherm{level: level, weight: min(len(d.Levels)-k, heaviest)}
		for _, c := range cut.Contours(level.At) {
			line := make([][2]float64, len(c.Points))
			for n, q := range c.Points {
				line[n] = [2]float64{v.x(q[0]), v.y(q[1])}
			}
			i.lines = append(i.lines, line)
		}
		if len(i.lines) > 0 {
			levels = append(levels, i)
		}
	}
	for {
		lost := d.place(levels, d.obstacles(v, side), v)
		if lost < 0 {
			return levels
		}
		levels = slices.Delete(levels, lost, lost+1)
	}
}

// obstacles are the lines that no label may touch, besides other isotherms.
func (d Isotherms) obstacles(v view, side [][2]float64) [][][2]float64 {
	box := func(x0, y0, x1, y1 float64) [][2]float64 {
		return [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
	}
	out := [][][2]float64{box(v.x(-d.Radius), v.y(d.Height), v.x(d.Radius), v.y(0))}
	if d.BoreRadius > 0 && d.BoreDepth > 0 {
		out = append(out, box(v.x(-d.BoreRadius), v.y(d.Height), v.x(d.BoreRadius), v.y(d.Height-d.BoreDepth)),
			[][2]float64{{v.axis, v.y(d.Height)}, {v.axis, v.y(d.Height - d.BoreDepth)}})
	}
	for _, sign := range []float64{-1, 1} {
		var l [][2]float64
		for _, q := range side {
			l = append(l, [2]float64{v.x(sign * q[0]), v.y(q[1])})
		}
		out = append(out, l)
	}
	y := v.y(d.Slowest.Z)
	for _, x := range d.crosses(v) {
		out = append(out, box(x-5, y-5, x+5, y+5))
	}
	x := v.x(d.Slowest.R)
	return append(out, [][2]float64{{x, y}, {x, v.base}})
}

// place finds the labels' places, the coldest first. It returns the level that
// has none, or -1.
func (d Isotherms) place(levels []isotherm, obstacles [][][2]float64, v view) int {
	var taken []Box
	for k := range levels {
		i := &levels[k]
		i.found = false
		for _, clear := range []float64{7, 4, 2, 0.5} {
			if i.found = i.settle(levels, k, obstacles, taken, clear); i.found {
				break
			}
		}
		if !i.found {
			return k
		}
		taken = append(taken, boxOf(i.x, i.y+halfLine, Middle, i.level.Label))
	}
	return -1
}

// settle looks for a place on a level's own line where its label keeps clear of
// all else. Where the line runs level, it is read best.
func (i *isotherm) settle(levels []isotherm, own int, obstacles [][][2]float64, taken []Box, clear float64) bool {
	best := math.Inf(1)
	for _, line := range i.lines {
		for n := 1; n < len(line)-1; n++ {
			x, y := line[n][0], line[n][1]
			dx, dy := line[n+1][0]-line[n-1][0], line[n+1][1]-line[n-1][1]
			steep := math.Abs(dy) / math.Max(math.Hypot(dx, dy), 1e-9)
			// Of places as good as each other the lower, then the left one.
			score := steep - y*1e-4 + x*1e-6
			if score >= best-tie {
				continue
			}
			box := boxOf(x, y+halfLine, Middle, i.level.Label)
			if box.X0 < 0 || box.X1 > isothermsWidth || hit(box, taken) {
				continue
			}
			box = box.grown(clear)
			if crossed(box, obstacles) {
				continue
			}
			free := true
			for k, o := range levels {
				if k != own && crossed(box, o.lines) {
					free = false
					break
				}
			}
			if free {
				best, i.x, i.y = score, x, y
			}
		}
	}
	return !math.IsInf(best, 1)
}

func hit(b Box, taken []Box) bool {
	for _, t := range taken {
		if b.Meets(t.grown(breath)) {
			return true
		}
	}
	return false
}

func crossed(b Box, lines [][][2]float64) bool {
	for _, l := range lines {
		for n := 1; n < len(l); n++ {
			if b.Crossed(l[n-1][0], l[n-1][1], l[n][0], l[n][1]) {
				return true
			}
		}
	}
	return false
}

// tie is by how much one of two has to be the better, or a bound to be passed: of two
// that are as good as each other every processor takes the first.
const tie = 1e-6

// thinned leaves out the points of a line that lie within so much of a straight
// one between their neighbors.
func thinned(points [][2]float64, within float64) [][2]float64 {
	if len(points) < 3 {
		return points
	}
	a, b := points[0], points[len(points)-1]
	far, at := -1.0, 0
	for n := 1; n < len(points)-1; n++ {
		if dist := distance(points[n], a, b); dist > far+tie {
			far, at = dist, n
		}
	}
	if far <= within+tie {
		return [][2]float64{a, b}
	}
	left := thinned(points[:at+1], within)
	return append(left[:len(left)-1:len(left)-1], thinned(points[at:], within)...)
}

// distance is how far a point is from a stretch between two others.
func distance(q, a, b [2]float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = math.Min(math.Max(((q[0]-a[0])*dx+(q[1]-a[1])*dy)/l, 0), 1)
	}
	return math.Hypot(q[0]-a[0]-t*dx, q[1]-a[1]-t*dy)
}
