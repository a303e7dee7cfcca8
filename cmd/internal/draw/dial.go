package draw

import "math"

// Dial is a pressure gauge: where its hand has to stand, and where it must never
// stand. The band to work in is black, what is too high is hatched, and what is
// above the rating is hatched closely behind a heavy mark. All values are in the
// unit of the dial.
type Dial struct {
	Title, Description string
	To                 float64 // the last mark; the first is zero
	Step               float64 // from one mark to the next
	Numbers            []Tick
	Low, High          float64 // the band to work in; as wide as a line where they are equal
	TooHigh, Rated     float64 // from where it is too high, and what the vessel is made for
	Hand               float64
	Band               [2]string // at the foot of the face: the band in words, in two lines
	Over, Above        Label     // at the right: what is too high, and what is above the rating
}

// Measures of the drawing.
const (
	dialWidth  = 308
	dialRadius = 92.
	dialSweep  = 1.5 * math.Pi // from the first mark to the last
	dialAside  = 2*dialRadius + 20
	leastGap   = 3. // between two marks, units
)

// String is the drawing as SVG.
func (d Dial) String() string {
	const high = 2*dialRadius + 12
	p := New("dial", dialWidth, high, d.Title, d.Description)
	at := func(value, r float64) (x, y float64) {
		sin, cos := math.Sincos(dialSweep * (math.Min(math.Max(value/d.To, 0), 1) - 0.5))
		return 6 + dialRadius + r*sin, 6 + dialRadius - r*cos
	}
	arc := func(l *Line, from, to, r float64, first bool) {
		n := int(math.Ceil(math.Abs(to-from)/d.To*90)) + 1
		for k := 0; k <= n; k++ {
			x, y := at(from+(to-from)*float64(k)/float64(n), r)
			if first && k == 0 {
				l.Move(x, y)
			} else {
				l.Draw(x, y)
			}
		}
	}
	ray := func(l *Line, value, from, to float64) {
		x0, y0 := at(value, from)
		x1, y1 := at(value, to)
		l.Move(x0, y0).Draw(x1, y1)
	}
	const outer, inner = dialRadius - 5, dialRadius - 17 // of the bands
	ring := func(from, to float64) *Line {
		l := &Line{}
		arc(l, from, to, outer, true)
		arc(l, to, from, inner, false)
		return l.Close()
	}
	var frame, face, marks, numbered, rising, rated, hand Line
	for k := range 72 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 72)
		x, y := 6+dialRadius+dialRadius*sin, 6+dialRadius-dialRadius*cos
		if k == 0 {
			frame.Move(x, y)
		} else {
			frame.Draw(x, y)
		}
	}
	p.Path("frame", frame.Close())
	arc(&face, 0, d.To, inner, true)
	p.Path("thin", &face)
	// Strokes across what is too high, and twice as close above the rating.
	for v, gap := d.TooHigh, 3.0; ; v += gap * d.To / (dialSweep * dialRadius) {
		if v > d.To {
			break
		}
		if v > d.Rated {
			gap = 1.6
		}
		ray(&rising, v, inner, outer)
	}
	p.Path("thin", &rising)
	width := math.Max(d.High-d.Low, 0.006*d.To)
	p.Path("wall", ring(d.Low, d.Low+width))
	every := d.Step
	for _, times := range []float64{2, 5, 10, 20, 50, 100} {
		if every/d.To*dialSweep*inner >= leastGap {
			break
		}
		every = times * d.Step
	}
	for k := 0; float64(k)*every <= d.To*(1+1e-9); k++ {
		ray(&marks, float64(k)*every, inner, inner-5)
	}
	p.Path("thin", &marks)
	for _, n := range d.Numbers {
		ray(&numbered, n.At, inner, inner-8)
		x, y := at(n.At, inner-19)
		p.Text("said", x, y+halfLine, Middle, n.Label)
	}
	p.Path("numbered", &numbered)
	ray(&rated, d.Rated, inner-8, dialRadius)
	p.Path("rated", &rated)
	x0, y0 := at(d.Hand, -12)
	x1, y1 := at(d.Hand, inner-30) // its numbers stay free
	hand.Move(x0, y0).Draw(x1, y1)
	hub := &Line{}
	for k := range 16 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
		if k == 0 {
			hub.Move(6+dialRadius+5*sin, 6+dialRadius-5*cos)
		} else {
			hub.Draw(6+dialRadius+5*sin, 6+dialRadius-5*cos)
		}
	}
	p.Path("hand", &hand)
	p.Path("wall", hub.Close())
	for i, line := range d.Band {
		p.Text("figure-word", 6+dialRadius, 6+dialRadius+56+lineHeight*float64(i), Middle, line)
	}
	var m measures
	for _, part := range []struct {
		label Label
		value float64
	}{{d.Over, (d.TooHigh + d.Rated) / 2}, {d.Above, d.Rated}} {
		if part.label != (Label{}) {
			x, y := at(part.value, dialRadius)
			m.right = append(m.right, pointer{part.label, x, y})
		}
	}
	p.aside(&m.leaders, m.right, dialAside, 2, high-2)
	m.ink(p)
	return p.String()
}
