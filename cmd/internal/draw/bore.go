package draw

import "math"

// BoreLook is a small cut of a vessel for who looks down its bore: open, or
// fallen in. Its measures are those of the vessel; how a bore falls in is
// drawn as it often looks. With a rod it shows how the bore is made, with its
// measures at the right.
type BoreLook struct {
	Title, Description string
	Shape              Shape
	Line               float64 // fill line below the rim, m
	Bore               Bore
	FellIn             bool
	Rod                bool
	Deep, Floor        Label // with a rod: how deep it goes, and what is left below
	Across             Label // with a rod: how wide the bore is at the top
	Verdict            Label // without a rod, below: what it is, and what to do
}

// Measures of the drawing.
const (
	boreLookWidth  = 124
	boreLookHeight = 160
	boreLookFoot   = 40 // for what is said below

	boreRodWidth = 226
	boreRodAbove = 24 // units of the rod over the rim
)

// String is the drawing as SVG.
func (d BoreLook) String() string {
	if d.Rod {
		return d.made()
	}
	s := d.Shape
	p := New("bore-look", boreLookWidth, boreLookHeight, d.Title, d.Description)
	const edge = 5
	scale := math.Min((boreLookHeight-boreLookFoot-2*edge)/(s.Height+2*s.Wall), (boreLookWidth-2*edge)/(s.Body+2*s.Wall))
	v := view{boreLookWidth / 2, boreLookHeight - boreLookFoot - edge - s.Wall*scale, scale}
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
	p.label(d.Verdict, boreLookWidth/2, boreLookHeight-boreLookFoot/2, Middle)
	return p.String()
}

// made is the cut with the rod at the foot of the bore.
func (d BoreLook) made() string {
	const edge = 5
	s, b := d.Shape, d.Bore
	const high = boreLookHeight + boreRodAbove - boreLookFoot
	p := New("bore-made", boreRodWidth, high, d.Title, d.Description)
	foot := float64(high - 3*edge) // a dimension line that is too short for its heads goes on below
	scale := math.Min((foot-boreRodAbove-edge)/(s.Height+s.Wall), (boreLookWidth-2*edge)/(s.Body+2*s.Wall))
	v := view{edge + (s.Body/2+s.Wall)*scale, foot - s.Wall*scale, scale}
	fill := s.Height - d.Line
	p.Path("substrate", v.substrate(s, fill, b))
	p.Path("wall", v.wall(s, s.Height))
	// The rod tapers as its bore does, and goes on straight above it.
	var rod, stroke Line
	end := v.y(s.Height) - boreRodAbove
	rod.Move(v.x(-b.Top/2), end).Down(v.y(fill)).Draw(v.x(-b.Bottom/2), v.y(fill-b.Depth)).Across(v.x(b.Bottom/2)).
		Draw(v.x(b.Top/2), v.y(fill)).Down(end)
	p.Path("rod", rod.Close())
	for y := end + 4; y < v.y(s.Height)-2; y += 4 { // its grip
		stroke.Move(v.x(-b.Top/2), y).Across(v.x(b.Top / 2))
	}
	p.Path("thin", &stroke)
	var m measures
	x := v.x(s.Body/2+v.thick(s)) + 10
	bottom := [2]float64{v.x(b.Bottom / 2), v.y(fill - b.Depth)}
	m.upright(d.Deep, x, [2]float64{v.x(b.Top / 2), v.y(fill)}, bottom)
	m.upright(d.Floor, x, bottom, [2]float64{v.x(s.Body / 2), v.y(0)})
	m.add(d.Across, v.x(b.Top/2), v.y(fill+0.6*d.Line))
	p.aside(&m.leaders, m.right, x+12, 2, high-2)
	m.ink(p)
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
