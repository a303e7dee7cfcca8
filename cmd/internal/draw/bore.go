package draw

import "math"

// BoreLook is a small cut of a vessel for who looks down its bore: open, or
// fallen in. Its measures are those of the vessel; how a bore falls in is
// drawn as it often looks.
type BoreLook struct {
	Title, Description string
	Shape              Shape
	Line               float64 // fill line below the rim, m
	Bore               Bore
	FellIn             bool
	Verdict            Label // below: what it is, and what to do
}

// Measures of the drawing.
const (
	BoreLookWidth  = 124
	BoreLookHeight = 160
	boreLookFoot   = 40 // for what is said below
)

// String is the drawing as SVG.
func (d BoreLook) String() string {
	s := d.Shape
	p := New("bore-look", BoreLookWidth, BoreLookHeight, d.Title, d.Description)
	const edge = 5
	scale := math.Min((BoreLookHeight-boreLookFoot-2*edge)/(s.Height+2*s.Wall), (BoreLookWidth-2*edge)/(s.Body+2*s.Wall))
	v := view{BoreLookWidth / 2, BoreLookHeight - boreLookFoot - edge - s.Wall*scale, scale}
	fill := s.Height - d.Line
	if !d.FellIn {
		p.Path("substrate", v.substrate(s, fill, d.Bore))
	} else {
		d.fallen(p, v, fill)
	}
	top := s.Height
	if s.Form == Bag {
		top = math.Min(s.Height, fill*1.15)
	}
	p.Path("wall", v.wall(s, top))
	p.label(d.Verdict, BoreLookWidth/2, BoreLookHeight-boreLookFoot/2, Middle)
	return p.String()
}

// fallen is substrate with a sunken middle, what was the bore dashed in it, and
// the cracks along which it came down.
func (d BoreLook) fallen(p *Picture, v view, fill float64) {
	b := d.Bore
	r := math.Min(2.1*b.Top, 0.8*d.Shape.Radius(fill))
	deep := math.Min(1.1*b.Top, b.Depth/2)
	var l, was, cracks Line
	v.outline(&l, d.Shape.side(fill), 0)
	const pieces = 24
	for k := 0; k <= pieces; k++ {
		x := r - 2*r*float64(k)/pieces
		l.Draw(v.x(x), v.y(fill-dip(x, r, deep)))
	}
	p.Path("substrate", l.Close())
	at := func(t float64) float64 { return b.Top/2 + t*(b.Bottom-b.Top)/2 } // of the old bore, t from top to foot
	from := deep / b.Depth
	was.Move(v.x(-at(from)), v.y(fill-deep)).Draw(v.x(-at(1)), v.y(fill-b.Depth)).Across(v.x(at(1))).Draw(v.x(at(from)), v.y(fill-deep))
	p.Path("later", &was)
	for _, side := range []float64{-1, 1} {
		cracks.Move(v.x(side*0.85*b.Top), v.y(fill-1.25*deep)).Draw(v.x(side*0.72*b.Top), v.y(fill-1.8*deep)).
			Draw(v.x(side*0.98*b.Top), v.y(fill-2.2*deep)).Draw(v.x(side*0.8*b.Top), v.y(fill-2.9*deep))
	}
	p.Path("crack", &cracks)
}

// dip is how far a hollow of a radius is sunken at a distance from its middle.
func dip(x, radius, deep float64) float64 {
	t := math.Min(math.Abs(x)/radius, 1)
	return deep * (1 - t*t*(3-2*t))
}
