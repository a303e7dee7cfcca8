package draw

import (
	"math"
	"strings"
	"unicode/utf8"
)

// Label is a measure and what it is of, in two lines: the measure heavier. The words
// may have several lines, with a line end between.
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

// fuller is how much of the room that length asks for a longer text takes: its narrow
// letters make up for the wide ones.
const fuller = 0.9

// folded breaks a lettering at its blanks into lines that keep within a width, where
// words let it.
func folded(text string, width float64) []string {
	var lines []string
	for _, word := range strings.Split(text, " ") {
		if n := len(lines); n > 0 && fuller*length(lines[n-1]+" "+word) <= width {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// within is a label whose words keep within a width.
func (l Label) within(width float64) Label {
	l.Words = strings.Join(folded(strings.ReplaceAll(l.Words, "\n", " "), width), "\n")
	return l
}

// lines sets the lines of a lettering under each other, the first with its base line
// at y.
func (p *Picture) lines(class string, x, y float64, at Anchor, lines []string) {
	for i, line := range lines {
		p.Text(class, x, y+lineHeight*float64(i), at, line)
	}
}

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

// label sets a label at x, its lines about the height y.
func (p *Picture) label(l Label, x, y float64, at Anchor) {
	words := strings.Split(l.Words, "\n")
	first := y + halfLine - lineHeight*float64(l.lines()-1)/2
	if l.Measure != "" {
		p.Text("figure-word", x, first, at, l.Measure)
		first += lineHeight
	}
	if l.Words != "" {
		p.lines("said", x, first, at, words)
	}
}

// high is the room that a label takes.
func (l Label) high() float64 {
	return lineHeight*float64(l.lines()) + breath
}

// lines is how many lines a label has, at least one.
func (l Label) lines() int {
	n := 0
	if l.Measure != "" {
		n++
	}
	if l.Words != "" {
		n += 1 + strings.Count(l.Words, "\n")
	}
	return max(n, 1)
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
