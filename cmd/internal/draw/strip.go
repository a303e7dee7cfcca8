package draw

import "math"

// Strip shows how far groups of values lie apart: for each a bar from a low to a
// high percentile, with its middle, on one scale by powers of ten, and the values
// that matter as upright lines through all of them.
type Strip struct {
	Title, Description string
	Groups             []Group
	Bounds             []Bound
	Say                func(v float64) string // of a round value of the scale
}

// Group is one bar, its values above zero and ascending.
type Group struct {
	Name              string
	Low, Middle, High Tick
}

// Bound is an upright line, above zero: a class of the stylesheet tells it from
// others by its dashes.
type Bound struct {
	Tick
	Class string
}

// Measures of a strip.
const (
	StripWidth = 430
	stripLeft  = 128 // where the scale begins; the names stand left of it
	stripRight = 416
	stripTop   = 22
	stripEach  = 46 // height of a group
	stripBar   = 8
	stripFoot  = 24
	stripMost  = 1000 // greatest over least that the scale shows; what is smaller stands at its end
)

// height is how high the drawing is, in units of the picture.
func (d Strip) height() float64 { return stripTop + stripEach*float64(len(d.Groups)) + stripFoot }

// scale is laid over all that is shown, with some room.
func (d Strip) scale() Axis {
	low, high := math.Inf(1), math.Inf(-1)
	take := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	for _, g := range d.Groups {
		take(g.Low.At)
		take(g.High.At)
	}
	for _, b := range d.Bounds {
		take(b.At)
	}
	const room = 1.15
	return Axis{math.Max(low, high/stripMost) / room, high * room, true}
}

// String is the drawing as SVG. Without a group it panics, as for a value that
// is not above zero: there is no scale.
func (d Strip) String() string {
	axis := d.scale()
	if len(d.Groups) == 0 || !(axis.From > 0) || math.IsInf(axis.To, 1) {
		panic("draw: a strip without a scale")
	}
	p := New("strip", StripWidth, d.height(), d.Title, d.Description)
	at := func(v float64) float64 { return stripLeft + axis.share(v)*(stripRight-stripLeft) }
	foot := d.height() - stripFoot

	var hair, base Line
	end := -math.MaxFloat64 // of the label before
	for decade := math.Floor(math.Log10(axis.From)); decade <= math.Log10(axis.To)+1e-9; decade++ {
		for _, lead := range []float64{1, 2, 5} {
			v := lead * math.Pow(10, decade)
			if v < axis.From*(1-1e-9) || v > axis.To*(1+1e-9) {
				continue
			}
			x := at(v)
			hair.Move(x, stripTop).Down(foot)
			base.Move(x, foot).Down(foot + 4)
			text := d.Say(v)
			if b := boxOf(x, foot+17, Middle, text); b.X0 > end+breath && b.X1 <= StripWidth {
				p.Text("said", x, foot+17, Middle, text)
				end = b.X1
			}
		}
	}
	base.Move(stripLeft, foot).Across(stripRight)
	p.Path("hair", &hair)
	p.Path("base", &base)

	var want, room []float64
	for _, b := range d.Bounds {
		var line Line
		line.Move(at(b.At), stripTop).Down(foot)
		p.Path(b.Class, &line)
		want, room = append(want, at(b.At)), append(room, length(b.Label)+2*breath)
	}
	for k, x := range spread(want, room, 0, StripWidth) {
		p.Text("said", x, stripTop-8, Middle, d.Bounds[k].Label)
	}
	var ground, bars, ends, middles Line
	type lettering struct {
		class, text string
		x, y        float64
	}
	var said []lettering
	for k, g := range d.Groups {
		y := stripTop + stripEach*float64(k) + 30
		p.Text("said", 0, y+halfLine, Start, g.Name)
		var want, room []float64
		for _, t := range []Tick{g.Low, g.Middle, g.High} {
			want, room = append(want, at(t.At)), append(room, length(t.Label)+2*breath)
		}
		bars.Box(want[0], y-stripBar/2, want[2], y+stripBar/2)
		for _, x := range []float64{want[0], want[2]} {
			ends.Move(x, y-stripBar).Down(y + stripBar)
		}
		middles.Move(want[1], y-stripBar).Down(y + stripBar)
		texts := []string{g.Low.Label, g.Middle.Label, g.High.Label}
		for i, x := range spread(want, room, stripLeft-breath, StripWidth) {
			b := boxOf(x, y-13, Middle, texts[i])
			ground.Box(b.X0, b.Y0, b.X1, b.Y1)
			said = append(said, lettering{[]string{"said", "figure-word", "said"}[i], texts[i], x, y - 13})
		}
	}
	p.Path("ground", &ground)
	p.Path("part", &bars)
	p.Path("ends", &ends)
	p.Path("middle", &middles)
	for _, l := range said {
		p.Text(l.class, l.x, l.y, Middle, l.text)
	}
	return p.String()
}
