// Package draw writes pictures: SVG that stands inside a page, with a title
// and a description, drawn in the page's own ink so that it follows the dark
// theme and prints in black and white. It knows shapes and lettering; what a
// picture says, its caller says.
//
// Nothing in a picture is told by color: lines differ by weight, areas by
// hatching. There are no style attributes, no ids and no references, so a
// picture may stand on a page any number of times. Coordinates are written to
// one decimal, which is finer than paper shows, and the same input gives the
// same bytes.
package draw

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// Anchor says which part of a lettering stands at its place.
type Anchor string

// The anchors of SVG's text-anchor.
const (
	Start  Anchor = "start"
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// Picture is one drawing. Shapes lie over those that were drawn before.
type Picture struct {
	b     strings.Builder
	width float64
}

// New begins a picture of a class, so many units wide and high. The title names
// it and the description tells what it shows, for who can't see it.
func New(class string, width, height float64, title, description string) *Picture {
	p := &Picture{width: width}
	p.b.WriteString(`<svg class="` + html.EscapeString(class) + `" role="img" viewBox="0 0 ` + number(width) + " " + number(height) + `">`)
	p.b.WriteString("<title>" + html.EscapeString(title) + "</title>")
	p.b.WriteString("<desc>" + html.EscapeString(description) + "</desc>")
	return p
}

// Path draws one path of a class.
func (p *Picture) Path(class string, line *Line) {
	if line.b.Len() == 0 {
		return
	}
	p.b.WriteString(`<path class="` + html.EscapeString(class) + `" d="` + line.b.String() + `"/>`)
}

// Text sets a lettering of a class: y is its base line.
func (p *Picture) Text(class string, x, y float64, at Anchor, text string) {
	p.b.WriteString(`<text class="` + html.EscapeString(class) + `" x="` + number(x) + `" y="` + number(y) +
		`" text-anchor="` + string(at) + `">` + html.EscapeString(text) + "</text>")
}

// SizeOf is how wide and how high a picture of this package is, in its units.
func SizeOf(svg string) (size [2]float64) {
	_, after, _ := strings.Cut(svg, `viewBox="0 0 `)
	w, h, _ := strings.Cut(after, " ")
	h, _, _ = strings.Cut(h, `"`)
	for i, text := range [2]string{w, h} {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			panic("draw: no picture of this package: " + err.Error())
		}
		size[i] = v
	}
	return size
}

// String is the whole picture.
func (p *Picture) String() string { return p.b.String() + "</svg>" }

// Line is a path made of straight lines. Its zero value is empty.
type Line struct {
	b strings.Builder
}

// Move lifts the pen to a point.
func (l *Line) Move(x, y float64) *Line { return l.to("M", x, y) }

// Draw draws from the pen to a point.
func (l *Line) Draw(x, y float64) *Line { return l.to("L", x, y) }

// Across draws from the pen to the right or the left, to that x.
func (l *Line) Across(x float64) *Line {
	l.b.WriteString("H" + number(x))
	return l
}

// Down draws from the pen down or up, to that y.
func (l *Line) Down(y float64) *Line {
	l.b.WriteString("V" + number(y))
	return l
}

// Close draws back to where the pen was set down last.
func (l *Line) Close() *Line {
	l.b.WriteString("Z")
	return l
}

// Box draws a rectangle by two opposite corners.
func (l *Line) Box(x0, y0, x1, y1 float64) *Line {
	return l.Move(x0, y0).Across(x1).Down(y1).Across(x0).Close()
}

// Hatch fills a rectangle with lines at 45° that rise to the right, apart by a
// distance along the horizontal.
func (l *Line) Hatch(x0, y0, x1, y1, apart float64) *Line {
	high := y1 - y0
	if apart <= 0 || high <= 0 || x1 <= x0 {
		return l
	}
	for foot := math.Ceil((x0-high)/apart) * apart; foot < x1; foot += apart {
		from, to := math.Max(foot, x0), math.Min(foot+high, x1)
		if to-from < 0.05 {
			continue
		}
		// Relative, since that is shorter: there are thousands on a page.
		l.Move(from, y1-(from-foot))
		rise := number(to - from)
		l.b.WriteString("l" + rise + "-" + rise)
	}
	return l
}

func (l *Line) to(command string, x, y float64) *Line {
	l.b.WriteString(command + number(x) + " " + number(y))
	return l
}

// number is a coordinate to one decimal. What is no number would break the
// picture without a sign, so it panics: the caller has divided by nothing. A
// half that is missed by a hair counts as one: coordinates are sums of round
// numbers, and the last bits of a sum are not the same on every processor.
func number(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		panic("draw: a coordinate is no finite number")
	}
	s := strconv.FormatFloat(x+math.Copysign(tie, x), 'f', 1, 64)
	s = strings.TrimSuffix(s, ".0")
	if s == "-0" {
		return "0"
	}
	return s
}
