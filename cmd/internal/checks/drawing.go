package checks

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Drawing reads an SVG picture of this project's own, made of paths of straight
// lines and letterings, and tells what is wrong with it: no title or
// description, an attribute that is not allowed, a line or a lettering outside
// the picture, letterings that overlap, lines that run through letterings.
//
// A letter is taken as 0.55 of its size wide, which is a little more than the
// book's font has on average. A path of the class "ground" covers what was drawn
// before it, as the letterings on lines need it.
func Drawing(svg string, size float64) []string {
	d := drawing{size: size}
	if err := d.read(svg); err != nil {
		return []string{err.Error()}
	}
	return d.faults
}

type drawing struct {
	size, wide, high float64
	faults           []string
	letterings       []lettering
	strokes          []stroke
}

type lettering struct {
	text           string
	x0, y0, x1, y1 float64
}

type stroke struct {
	class          string
	x0, y0, x1, y1 float64
}

func (d *drawing) fault(format string, args ...any) {
	d.faults = append(d.faults, fmt.Sprintf(format, args...))
}

// areas are classes of paths that lie behind a lettering without being in its
// way, and halos that are as wide as a gap.
var areas = map[string]bool{"ground": true, "halo": true}

func (d *drawing) read(svg string) error {
	r := xml.NewDecoder(strings.NewReader(svg))
	var names []string
	var text *lettering
	for {
		token, err := r.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("no XML: %w", err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			names = append(names, x.Name.Local)
			a := map[string]string{}
			for _, at := range x.Attr {
				a[at.Name.Local] = at.Value
				if !strings.Contains(" class role viewBox d x y text-anchor ", " "+at.Name.Local+" ") {
					d.fault("%s has the attribute %s", x.Name.Local, at.Name.Local)
				}
			}
			switch x.Name.Local {
			case "svg":
				if _, err := fmt.Sscanf(a["viewBox"], "0 0 %f %f", &d.wide, &d.high); err != nil || a["role"] != "img" {
					return fmt.Errorf("the picture begins with %v", a)
				}
			case "path":
				if err := d.path(a["class"], a["d"]); err != nil {
					return err
				}
			case "text":
				text = &lettering{}
				if text.x0, err = strconv.ParseFloat(a["x"], 64); err != nil {
					return err
				}
				if text.y1, err = strconv.ParseFloat(a["y"], 64); err != nil {
					return err
				}
				text.text = a["text-anchor"]
			}
		case xml.CharData:
			if text != nil {
				d.letter(*text, string(x))
				text = nil
			}
		}
	}
	if len(names) < 3 || names[1] != "title" || names[2] != "desc" {
		d.fault("the picture begins with %v, not with title and desc", names)
	}
	d.compare()
	return nil
}

// letter enters a lettering; at holds its place and, as its text, its anchor.
func (d *drawing) letter(at lettering, text string) {
	w := 0.55 * d.size * float64(utf8.RuneCountInString(text))
	x := at.x0
	switch at.text {
	case "middle":
		x -= w / 2
	case "end":
		x -= w
	}
	// Figures and capitals stand 0.7 of the size high, tails hang 0.22 down.
	l := lettering{text, x, at.y1 - 0.7*d.size, x + w, at.y1 + 0.22*d.size}
	if l.x0 < -0.1 || l.y0 < -0.1 || l.x1 > d.wide+0.1 || l.y1 > d.high+0.1 {
		d.fault("%q goes from %.1f, %.1f to %.1f, %.1f in a picture of %g by %g", text, l.x0, l.y0, l.x1, l.y1, d.wide, d.high)
	}
	d.letterings = append(d.letterings, l)
}

// path enters the strokes of a path of M, L, H, V, Z and l.
func (d *drawing) path(class, data string) error {
	var x, y, x0, y0 float64
	for data != "" {
		command := data[0]
		end := strings.IndexAny(data[1:], "MLHVZl")
		rest := data[1:]
		data = ""
		if end >= 0 {
			rest, data = rest[:end], rest[end:]
		}
		var v []float64
		for _, f := range strings.Fields(strings.ReplaceAll(rest, "-", " -")) {
			n, err := strconv.ParseFloat(f, 64)
			if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
				return fmt.Errorf("%q in a path of class %s is no number", f, class)
			}
			v = append(v, n)
		}
		want := map[byte]int{'M': 2, 'L': 2, 'l': 2, 'H': 1, 'V': 1}[command]
		if len(v) != want {
			return fmt.Errorf("%c has %d numbers in a path of class %s", command, len(v), class)
		}
		fromX, fromY := x, y
		switch command {
		case 'M', 'L':
			x, y = v[0], v[1]
		case 'l':
			x, y = x+v[0], y+v[1]
		case 'H':
			x = v[0]
		case 'V':
			y = v[0]
		case 'Z':
			x, y = x0, y0
		}
		if x < -0.1 || y < -0.1 || x > d.wide+0.1 || y > d.high+0.1 {
			d.fault("a line of class %s goes to %.1f, %.1f in a picture of %g by %g", class, x, y, d.wide, d.high)
		}
		if command == 'M' {
			x0, y0 = x, y
			continue
		}
		d.strokes = append(d.strokes, stroke{class, fromX, fromY, x, y})
	}
	return nil
}

// compare holds letterings to each other and to the lines.
func (d *drawing) compare() {
	grounds := d.grounds()
	for i, a := range d.letterings {
		for _, b := range d.letterings[:i] {
			if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
				d.fault("%q lies over %q", a.text, b.text)
			}
		}
		own := "" // the class of the one line that a lettering with a ground stands on
		for _, g := range grounds {
			if g.x0 <= a.x0 && g.x1 >= a.x1 && g.y0 <= a.y0+1 && g.y1 >= a.y1-1 {
				own = d.nearest((a.x0+a.x1)/2, (g.y0+g.y1)/2)
			}
		}
		for _, s := range d.strokes {
			if !areas[s.class] && s.class != own && s.through(a) {
				d.fault("a line of class %s runs through %q", s.class, a.text)
				break
			}
		}
	}
}

// grounds are the boxes of the class "ground".
func (d *drawing) grounds() []lettering {
	var out []lettering
	var g lettering
	n := 0
	for _, s := range d.strokes {
		if s.class != "ground" {
			continue
		}
		if n%4 == 0 {
			g = lettering{"", s.x0, s.y0, s.x0, s.y0}
		}
		g.x0, g.x1 = math.Min(g.x0, s.x1), math.Max(g.x1, s.x1)
		g.y0, g.y1 = math.Min(g.y0, s.y1), math.Max(g.y1, s.y1)
		if n++; n%4 == 0 {
			out = append(out, g)
		}
	}
	return out
}

// nearest is the class of the line that runs through a point or next to it.
func (d *drawing) nearest(x, y float64) string {
	class, least := "", 2.5
	for _, s := range d.strokes {
		dx, dy := s.x1-s.x0, s.y1-s.y0
		t := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			t = math.Min(math.Max(((x-s.x0)*dx+(y-s.y0)*dy)/l, 0), 1)
		}
		if far := math.Hypot(x-s.x0-t*dx, y-s.y0-t*dy); far < least && !areas[s.class] {
			class, least = s.class, far
		}
	}
	return class
}

// through reports whether a stroke has a part in a lettering's box, of which a
// hair at its edges is free.
func (s stroke) through(l lettering) bool {
	const hair = 0.4
	from, to := 0.0, 1.0
	dx, dy := s.x1-s.x0, s.y1-s.y0
	for _, side := range [4][2]float64{{-dx, s.x0 - l.x0 - hair}, {dx, l.x1 - hair - s.x0}, {-dy, s.y0 - l.y0 - hair}, {dy, l.y1 - hair - s.y0}} {
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
