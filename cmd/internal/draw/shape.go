package draw

import "math"

// Form is what kind of vessel is drawn.
type Form uint8

// The forms.
const (
	Bottle Form = iota // has a cap that reaches over its rim
	Jar                // has a screw lid
	Bag                // has no shape above what is in it, and is gathered
)

// Shape is the inside of a round vessel by its measures, in m and m³. A bag's
// height is that of the open bag.
type Shape struct {
	Form                Form
	Height, Body, Mouth float64
	Wall                float64
	Brimful             float64
}

// How a shoulder is laid, for which nobody has measures (design choices).
const (
	shoulderOfNeck = 2.0      // a shoulder is so many times as high as its neck
	steepest       = 1.0      // and at least so many times as high as it goes inward
	meanSquare     = 13. / 35 // mean of the square of 3t² - 2t³ over t from 0 to 1
)

// Shoulder is where the body ends and the neck begins, in m above the base. A
// catalog gives neither, but the volume to the brim does: a straight body, a
// shoulder that swings in by 3t² - 2t³, and a straight neck hold just that.
// Where no such vessel has the volume, the nearest.
func (s Shape) Shoulder() (body, neck float64) {
	r, m := s.Body/2, s.Mouth/2
	if s.Form == Bag || r <= m {
		return s.Height, s.Height
	}
	less := math.Pi*r*r*s.Height - s.Brimful
	byNeck := math.Pi * (r*r - m*m)
	byShoulder := math.Pi * (r*r - r*m - meanSquare*(r-m)*(r-m))
	n := math.Max(less, 0) / (byNeck + shoulderOfNeck*byShoulder)
	high := shoulderOfNeck * n
	if least := steepest * (r - m); high < least {
		high = least
		n = math.Max((less-byShoulder*high)/byNeck, 0)
	}
	if over := (n + high) / s.Height; over > 1 {
		n, high = n/over, high/over
	}
	return s.Height - n - high, s.Height - n
}

// Radius is the inside radius so high above the base, m.
func (s Shape) Radius(z float64) float64 {
	body, neck := s.Shoulder()
	switch {
	case z <= body:
		return s.Body / 2
	case z >= neck:
		return s.Mouth / 2
	}
	t := (z - body) / (neck - body)
	return s.Body/2 + (s.Mouth-s.Body)/2*t*t*(3-2*t)
}

// side are points up the inside from the base to a height: radius and height.
func (s Shape) side(to float64) [][2]float64 {
	const pieces = 24
	out := [][2]float64{{s.Body / 2, 0}}
	body, neck := s.Shoulder()
	for k := 0; k <= pieces; k++ {
		if z := body + (neck-body)*float64(k)/pieces; z < to && neck > body {
			out = append(out, [2]float64{s.Radius(z), z})
		}
	}
	return append(out, [2]float64{s.Radius(to), to})
}

// view is how a cut stands in a picture: where the axis and the base are, and
// how many units are a meter.
type view struct{ axis, base, scale float64 }

func (v view) x(r float64) float64 { return v.axis + r*v.scale }
func (v view) y(z float64) float64 { return v.base - z*v.scale }

// outline draws both sides of points up the right one, from the left rim down,
// across the base and up to the right rim; moved outward by so much.
func (v view) outline(l *Line, side [][2]float64, out float64) {
	for i := len(side) - 1; i >= 0; i-- {
		v.to(l, i == len(side)-1, -side[i][0]-out, side[i][1], i, out)
	}
	for i := range side {
		v.to(l, false, side[i][0]+out, side[i][1], i, out)
	}
}

func (v view) to(l *Line, first bool, r, z float64, i int, out float64) {
	if i == 0 {
		z -= out
	}
	if first {
		l.Move(v.x(r), v.y(z))
	} else {
		l.Draw(v.x(r), v.y(z))
	}
}

// wall is what the cut goes through: a band as thick as the wall, thin ones so
// thick that they can be seen.
func (v view) wall(s Shape, to float64) *Line {
	l := &Line{}
	side := s.side(to)
	v.outline(l, side, v.thick(s))
	for i := len(side) - 1; i >= 0; i-- {
		l.Draw(v.x(side[i][0]), v.y(side[i][1]))
	}
	for i := range side {
		l.Draw(v.x(-side[i][0]), v.y(side[i][1]))
	}
	return l.Close()
}

// thick is the wall as it is drawn, m.
func (v view) thick(s Shape) float64 { return math.Max(s.Wall, 1.2/v.scale) }

// Bore is a tapered hole from the fill line down, in m. No depth is none.
type Bore struct{ Top, Bottom, Depth float64 }

// substrate is what fills a shape to a height, its bore left out.
func (v view) substrate(s Shape, to float64, b Bore) *Line {
	l := &Line{}
	v.outline(l, s.side(to), 0)
	if b.Depth > 0 {
		l.Draw(v.x(b.Top/2), v.y(to)).Draw(v.x(b.Bottom/2), v.y(to-b.Depth)).
			Draw(v.x(-b.Bottom/2), v.y(to-b.Depth)).Draw(v.x(-b.Top/2), v.y(to))
	}
	return l.Close()
}
