package draw

import (
	"math"
	"unicode/utf8"
)

// Label is a measure and what it is of, in two lines: the measure heavier.
type Label struct{ Measure, Words string }

// Letters of the drawings. The width is that of an average letter of the book's
// font as a share of its size, a little on the wide side.
const (
	size       = 13 // of letters, units
	wide       = 0.55
	lineHeight = 15
	halfLine   = 4.5 // from the base line up to the middle of a figure
	breath     = 4   // between two letterings
)

// Box is a rectangle of a picture: X0 is its left, Y0 its top.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Meets reports whether two boxes overlap.
func (b Box) Meets(o Box) bool { return b.X0 < o.X1 && o.X0 < b.X1 && b.Y0 < o.Y1 && o.Y0 < b.Y1 }

func (b Box) grown(by float64) Box { return Box{b.X0 - by, b.Y0 - by, b.X1 + by, b.Y1 + by} }

// Crossed reports whether a straight line from one point to another has a part
// in the box.
func (b Box) Crossed(x0, y0, x1, y1 float64) bool {
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{{x0 - x1, x0 - b.X0}, {x1 - x0, b.X1 - x0}, {y0 - y1, y0 - b.Y0}, {y1 - y0, b.Y1 - y0}} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return false
		case p < 0:
			from = math.Max(from, q/p)
		case p > 0:
			to = math.Min(to, q/p)
		}
	}
	return from < to
}

// length is how wide a lettering is.
func length(text string) float64 { return size * wide * float64(utf8.RuneCountInString(text)) }

// boxOf is what a lettering covers whose base line is at y.
func boxOf(x, y float64, at Anchor, text string) Box {
	w := length(text)
	switch at {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	return Box{x, y - 10, x + w, y + 3}
}

// spread moves places apart along a line so that each has its room and all lie
// between two ends, in their order and as near to where they want to be as
// going once up and once down brings them.
func spread(want, room []float64, from, to float64) []float64 {
	at := append([]float64{}, want...)
	next := from
	for i := range at {
		at[i] = math.Max(at[i], next+room[i]/2)
		next = at[i] + room[i]/2
	}
	next = to
	for i := len(at) - 1; i >= 0; i-- {
		at[i] = math.Min(at[i], next-room[i]/2)
		next = at[i] - room[i]/2
	}
	return at
}

// label sets a label at x, its two lines about the height y.
func (p *Picture) label(l Label, x, y float64, at Anchor) {
	switch {
	case l.Words == "":
		p.Text("figure-word", x, y+halfLine, at, l.Measure)
	case l.Measure == "":
		p.Text("said", x, y+halfLine, at, l.Words)
	default:
		p.Text("figure-word", x, y+halfLine-lineHeight/2, at, l.Measure)
		p.Text("said", x, y+halfLine+lineHeight/2, at, l.Words)
	}
}

// high is the room that a label takes.
func (l Label) high() float64 {
	if l.Words == "" || l.Measure == "" {
		return lineHeight + breath
	}
	return 2*lineHeight + breath
}

// arrow is a dimension line from one point to another, level or upright, with a
// head at each end. Where it is too short for both, they stand outside and
// point in.
func (l *Line) arrow(heads *Line, x0, y0, x1, y1 float64) {
	const long, half = 6, 2
	dx, dy := x1-x0, y1-y0
	all := math.Hypot(dx, dy)
	if all == 0 {
		return
	}
	dx, dy = dx/all, dy/all
	if all < 2.5*long {
		l.Move(x0-dx*2*long, y0-dy*2*long).Draw(x0, y0).Move(x1, y1).Draw(x1+dx*2*long, y1+dy*2*long)
		dx, dy = -dx, -dy
	} else {
		l.Move(x0, y0).Draw(x1, y1)
	}
	head := func(x, y, dx, dy float64) {
		heads.Move(x, y).Draw(x+dx*long-dy*half, y+dy*long+dx*half).Draw(x+dx*long+dy*half, y+dy*long-dx*half).Close()
	}
	head(x0, y0, dx, dy)
	head(x1, y1, -dx, -dy)
}
