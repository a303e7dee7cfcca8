package draw

import "math"

// Load shows from above how the vessels of a load stand, layer by layer: what is
// to grow as a plain circle, water as a hatched one, and what is marked as a
// heavy circle with its letter. The circles are to scale, so the gaps for steam
// are what is left between them.
type Load struct {
	Title, Description string
	Width, Depth       float64 // of a layer, in any one unit
	Round              bool    // a round layer; Depth does not matter
	Sketch             bool    // nobody measured the layer: its edge is dashed
	Across             float64 // of a vessel, in the same unit
	Tall               float64 // how high it may be, to its width: layers then fill a page; 0 for up to three in a row
	Layers             []LoadLayer
}

// LoadLayer is one level.
type LoadLayer struct {
	Label  string
	Places []Place
}

// Place is a vessel: its center in m from the left front corner of the layer.
type Place struct {
	X, Y   float64
	Mark   string // a letter; "" for none
	Filler bool   // holds water
}

// Measures of a picture of a load.
const (
	loadWidth  = 480
	loadGap    = 16 // between two layers
	loadLabel  = 20 // above a layer
	loadWidest = 230
	loadBase   = 4.5 // from the middle of a circle to the base line of its letter
	roundStep  = 4.0 // between two lines of the hatching of a circle
)

// String is the picture as SVG. Without layers, or with nothing to a scale, it is
// an empty one.
func (d Load) String() string {
	wide, deep := d.Width, d.Depth
	if d.Round {
		deep = wide
	}
	if len(d.Layers) == 0 || !(wide > 0) || !(deep > 0) {
		return New("load-map", loadWidth, 1, d.Title, d.Description).String()
	}
	columns, each := d.set(wide, deep)
	scale := each / wide
	labels, label := make([][]string, len(d.Layers)), float64(loadLabel)
	for i, layer := range d.Layers {
		labels[i] = folded(layer.Label, each)
		label = math.Max(label, loadLabel+lineHeight*float64(len(labels[i])-1))
	}
	high := deep*scale + label + loadGap
	rows := (len(d.Layers) + columns - 1) / columns
	p := New("load-map", loadWidth, float64(rows)*high, d.Title, d.Description)
	var edge, plain, water, marked Line
	for i, layer := range d.Layers {
		x0 := 1 + float64(i%columns)*(each+loadGap)
		y0 := float64(i/columns)*high + label
		p.lines("said", x0, y0-6-lineHeight*float64(len(labels[i])-1), Start, labels[i])
		if d.Round {
			edge.Circle(x0+each/2, y0+each/2, each/2)
		} else {
			edge.Box(x0, y0, x0+each, y0+deep*scale)
		}
		for _, v := range layer.Places {
			// The front of the layer is at the foot of the picture.
			x, y, r := x0+v.X*scale, y0+(deep-v.Y)*scale, d.Across/2*scale
			switch {
			case v.Filler:
				plain.Circle(x, y, r)
				water.hatchCircle(x, y, r)
			case v.Mark != "":
				marked.Circle(x, y, r)
				p.Text("figure-word", x, y+loadBase, Middle, v.Mark)
			default:
				plain.Circle(x, y, r)
			}
		}
	}
	if d.Sketch {
		p.Path("sketched", &edge)
	} else {
		p.Path("edge", &edge)
	}
	p.Path("water", &water)
	p.Path("thin", &plain)
	p.Path("vessel", &marked)
	return p.String()
}

// set is how many layers stand beside each other, and how wide each is: as large as
// the place lets them be.
func (d Load) set(wide, deep float64) (columns int, each float64) {
	across := func(columns int) float64 {
		return (loadWidth - float64(columns-1)*loadGap - 2) / float64(columns)
	}
	if d.Tall == 0 {
		columns = min(len(d.Layers), 3)
		return columns, math.Min(across(columns), loadWidest)
	}
	for c := range len(d.Layers) {
		rows := float64((len(d.Layers) + c) / (c + 1))
		high := d.Tall*loadWidth/rows - loadLabel - loadGap
		if x := math.Min(across(c+1), high*wide/deep); x > each+tie {
			columns, each = c+1, x
		}
	}
	if each <= 0 { // more layers than a page has lines for
		columns = 3
		each = across(columns)
	}
	return columns, each
}

// Circle draws a circle around a point.
func (l *Line) Circle(x, y, r float64) *Line {
	l.Move(x-r, y)
	for _, way := range []float64{2 * r, -2 * r} {
		l.b.WriteString("a" + number(r) + " " + number(r) + " 0 1 0 " + number(way) + " 0")
	}
	return l.Close()
}

// hatchCircle fills a circle with level lines.
func (l *Line) hatchCircle(x, y, r float64) {
	for at := roundStep / 2; at < r; at += roundStep {
		half := chord(r, at)
		for _, side := range []float64{-at, at} {
			l.Move(x-half, y+side).Across(x + half)
		}
	}
}

// chord is half of what a line cuts out of a circle, so far from its center.
func chord(r, at float64) float64 { return math.Sqrt(r*r - at*at) }
