package draw

import (
	"cmp"
	"math"
	"slices"
)

// Vessel is a cut through a vessel that is filled and bored, to scale: what a
// worker has to hit, each with its measure. Labels that are empty are left out,
// with what they belong to.
type Vessel struct {
	Title, Description string

	Shape  Shape
	Line   float64 // fill line below the rim, m
	Bore   Bore
	Collar float64 // how far it stands above the rim, m; 0 for none

	FillLine, BoreTop, BoreFoot, BoreDepth Label
	Mass, Lid, CollarHeight                Label
}

// vesselWidth is how wide the drawing of a vessel is. Its height depends on the
// vessel: most are drawn to the same scale, so that a larger one is larger.
const vesselWidth = 356

const (
	vesselScale = 1150 // units to a meter
	vesselMost  = 370  // units, above which a vessel is drawn smaller
	vesselAxis  = 132
	vesselAside = 218 // where labels at the right begin
	lidHigh     = 0.012
	lidSkirt    = 0.016 // down over the rim
	lidThick    = 0.0022
)

// String is the drawing as SVG.
func (d Vessel) String() string {
	s := d.Shape
	above := lidHigh
	if s.Form != Bag {
		above = math.Max(d.Collar+0.004, lidHigh)
	}
	scale := math.Min(vesselScale, vesselMost/(s.Height+above))
	scale = math.Min(scale, 2*(vesselAside-vesselAxis-14)/s.Body)
	top := 8 + above*scale // the rim
	v := view{vesselAxis, top + s.Height*scale, scale}
	fill := s.Height - d.Line
	m := d.measured(v, fill)
	for i, r := range m.right {
		m.right[i].label = r.label.within(vesselWidth - vesselAside - 1)
	}
	high := math.Max(v.base+v.thick(s)*scale+8, m.room())
	p := New("vessel-cut", vesselWidth, high, d.Title, d.Description)
	if s.Form == Bag {
		v.bag(p, s, fill, d.Bore)
	} else {
		p.Path("substrate", v.substrate(s, fill, d.Bore))
		p.Path("wall", v.wall(s, s.Height))
		d.lid(p, v)
		d.collar(p, v)
	}
	p.aside(&m.leaders, m.right, vesselAside, 2, high-2)
	if d.Bore.Depth > 0 {
		p.label(d.BoreDepth, m.deep[0], m.deep[1], End)
	}
	m.ink(p)
	return p.String()
}

// bag is a film round a block, drawn together above it as far as it was folded.
func (v view) bag(p *Picture, s Shape, fill float64, b Bore) {
	p.Path("substrate", v.substrate(s, fill, b))
	r := s.Body / 2
	var film, folds Line
	neck := v.neck(s, fill)
	film.Move(v.x(-r*0.55), v.y(s.Height)).Draw(v.x(-r*0.16), v.y(neck)).Draw(v.x(-r), v.y(fill)).Draw(v.x(-r), v.y(0)).
		Across(v.x(r)).Draw(v.x(r), v.y(fill)).Draw(v.x(r*0.16), v.y(neck)).Draw(v.x(r*0.55), v.y(s.Height)).Close()
	for _, share := range []float64{-0.5, 0, 0.5} {
		folds.Move(v.x(share*r*1.2), v.y(fill+0.12*r)).Draw(v.x(share*r*0.2), v.y(neck)).Draw(v.x(share*r*0.8), v.y(s.Height-0.02*r))
	}
	p.Path("thin", &folds)
	p.Path("film", &film)
	var clip Line
	p.Path("wall", clip.Box(v.x(-r*0.24), v.y(neck+0.006), v.x(r*0.24), v.y(neck-0.006)))
}

// neck is how high a bag is drawn together.
func (v view) neck(s Shape, fill float64) float64 {
	return math.Min(fill+0.45*s.Body, (fill+s.Height)/2)
}

// lid is a cap or a screw lid over the rim, its filter hatched. Catalogs give no
// measures of lids, so it shows where it goes and not how large it is.
func (d Vessel) lid(p *Picture, v view) {
	if d.Lid == (Label{}) {
		return
	}
	s := d.Shape
	rim := s.Mouth/2 + v.thick(s)
	out := rim + lidThick + 0.0006
	y0, y1 := v.y(s.Height+lidThick), v.y(s.Height)
	skirt := v.y(s.Height - lidSkirt)
	in := out - lidThick
	var lid, hatch, frame Line
	lid.Move(v.x(-out), skirt).Down(y0).Across(v.x(out)).Down(skirt).Across(v.x(in)).Down(y1).Across(v.x(-in)).Down(skirt).Close()
	p.Path("wall", &lid)
	f := s.Mouth / 4
	frame.Box(v.x(-f), y0-4, v.x(f), y1)
	hatch.Hatch(v.x(-f), y0-4, v.x(f), y1, 4)
	p.Path("filter", &frame)
	p.Path("thin", &hatch)
}

// collar is dashed, for it is fitted long after the lid came off.
func (d Vessel) collar(p *Picture, v view) {
	if d.Collar <= 0 {
		return
	}
	s := d.Shape
	r := s.Mouth/2 + v.thick(s) + lidThick + 0.003
	var l Line
	for _, side := range []float64{-r, r} {
		l.Move(v.x(side), v.y(s.Height-lidSkirt)).Down(v.y(s.Height + d.Collar))
	}
	l.Move(v.x(-r), v.y(s.Height+d.Collar)).Across(v.x(r))
	p.Path("later", &l)
}

// pointer is a label at the right with the point that it is about.
type pointer struct {
	label Label
	x, y  float64
}

// measures are the dimension lines of a vessel and the labels of its parts.
type measures struct {
	lines, heads, leaders Line
	right                 []pointer
	deep                  [2]float64 // where the bore's depth is said
}

// room is how high a picture is that has all labels at the right under each other.
func (m *measures) room() float64 {
	high := 4.0
	for _, r := range m.right {
		high += r.label.high()
	}
	return high
}

// ink draws what the measures are made of.
func (m *measures) ink(p *Picture) {
	p.Path("leader", &m.leaders)
	p.Path("dimension", &m.lines)
	p.Path("head", &m.heads)
}

func (m *measures) add(l Label, x, y float64) {
	if l != (Label{}) {
		m.right = append(m.right, pointer{l, x, y})
		m.heads.Box(x-1.2, y-1.2, x+1.2, y+1.2)
	}
}

// upright is a dimension line between two heights, with lines that lead to it.
func (m *measures) upright(l Label, x float64, from, to [2]float64) {
	if l == (Label{}) {
		return
	}
	for _, q := range [2][2]float64{from, to} {
		m.leaders.Move(q[0], q[1]).Across(x + 4)
	}
	m.lines.arrow(&m.heads, x, from[1], x, to[1])
	m.right = append(m.right, pointer{l, x, (from[1] + to[1]) / 2})
}

func (d Vessel) measured(v view, fill float64) *measures {
	s, m := d.Shape, &measures{}
	rim, top, line := v.x(s.Mouth/2+v.thick(s)), v.y(s.Height), v.y(fill)
	lid := v.x(s.Mouth/2 + v.thick(s) + lidThick)
	if s.Form == Bag {
		m.add(d.FillLine, v.x(s.Body/2), line)
		m.add(d.Lid, v.axis+0.12*s.Body*v.scale, v.y(v.neck(s, fill)))
	} else {
		m.upright(d.FillLine, lid+10, [2]float64{rim + 1, top}, [2]float64{v.x(s.Radius(fill)), line})
		if d.Collar > 0 {
			m.upright(d.CollarHeight, lid+20, [2]float64{lid + 0.003*v.scale, v.y(s.Height + d.Collar)}, [2]float64{rim + 1, top})
		}
		m.add(d.Lid, v.x(s.Mouth/8), v.y(s.Height+lidThick)-2)
	}
	if b := d.Bore; b.Depth > 0 {
		foot := v.y(fill - b.Depth)
		m.add(d.BoreTop, v.x(b.Top/2), line+1.5)
		m.add(d.BoreFoot, v.x(b.Bottom/2), foot-1.5)
		// Its depth at the left of the body.
		x := v.x(-s.Body/2-v.thick(s)) - 9
		m.leaders.Move(x-4, line).Across(v.x(-b.Top/2)).Move(x-4, foot).Across(v.x(-b.Bottom / 2))
		m.lines.arrow(&m.heads, x, line, x, foot)
		m.deep = [2]float64{x - 6, (line + foot) / 2}
	}
	m.add(d.Mass, v.x(s.Body/2*0.7), v.y(0.38*fill))
	return m
}

// byHeight puts labels in the order of what they are about, from the top.
func byHeight(list []pointer) {
	slices.SortStableFunc(list, func(a, b pointer) int { return cmp.Compare(a.y, b.y) })
}
