package draw

import (
	"math"
	"strings"
)

// The pictures of what is done at the mouth of a vessel: cuts through its upper
// part, the rest broken off. Walls, mouth and what is measured are to one scale
// in each of them.

// neckBelow is how far below what is measured a vessel is broken off, m.
const neckBelow = 0.022

// brokenAt is the height at which a vessel is broken off that is measured so far
// below its rim, m.
func (s Shape) brokenAt(under float64) float64 {
	return math.Max(s.Height-under-neckBelow, 0.02*s.Height)
}

// upper is the wall from a height up to the rim, broken off at its foot.
func (v view) upper(s Shape, from float64) *Line {
	l := &Line{}
	side := s.between(from, s.Height)
	out := v.thick(s)
	for _, sign := range []float64{-1, 1} {
		for i, q := range side {
			v.pen(l, i == 0, sign*q[0], q[1])
		}
		for i := len(side) - 1; i >= 0; i-- {
			v.pen(l, false, sign*(side[i][0]+out), side[i][1])
		}
		l.Close()
	}
	return l
}

func (v view) pen(l *Line, first bool, r, z float64) {
	if first {
		l.Move(v.x(r), v.y(z))
	} else {
		l.Draw(v.x(r), v.y(z))
	}
}

// between are points up the inside from one height to another: radius and height.
func (s Shape) between(from, to float64) [][2]float64 {
	out := [][2]float64{{s.Radius(from), from}}
	for _, q := range s.side(to) {
		if q[1] > from {
			out = append(out, q)
		}
	}
	return out
}

// broken is substrate from a surface, given from the left wall to the right one,
// down to where the vessel is broken off.
func (v view) broken(s Shape, from float64, surface [][2]float64) *Line {
	l := &Line{}
	left, right := surface[0], surface[len(surface)-1]
	for i, q := range s.between(from, left[1]) {
		v.pen(l, i == 0, -q[0], q[1])
	}
	for _, q := range surface {
		v.pen(l, false, q[0], q[1])
	}
	side := s.between(from, right[1])
	for i := len(side) - 1; i >= 0; i-- {
		v.pen(l, false, side[i][0], side[i][1])
	}
	const teeth, high = 10, 2.5 // of the broken edge, units
	r := s.Radius(from)
	for k := 1; k < teeth; k++ {
		l.Draw(v.x(r-2*r*float64(k)/teeth), v.y(from)+high*float64(1-2*(k%2)))
	}
	return l.Close()
}

// level is a flat surface.
func (s Shape) level(z float64) [][2]float64 {
	return [][2]float64{{-s.Radius(z), z}, {s.Radius(z), z}}
}

// capOn is a cap or a screw lid over the rim, its filter hatched; tipped, its
// left side stands up by an angle, in radians. Catalogs give no measures of
// lids.
func (v view) capOn(p *Picture, s Shape, tip float64) {
	rim := s.Mouth/2 + v.thick(s)
	out := rim + lidThick + 0.0006
	in := out - lidThick
	sin, cos := math.Sincos(tip)
	turn := func(l *Line, points ...[2]float64) { // about the right edge of the rim
		for i, q := range points {
			r, z := q[0]-rim, q[1]
			v.pen(l, i == 0, rim+r*cos+z*sin, s.Height-r*sin+z*cos)
		}
	}
	var lid, frame, filter Line
	turn(&lid, [2]float64{-out, -lidSkirt}, [2]float64{-out, lidThick}, [2]float64{out, lidThick}, [2]float64{out, -lidSkirt},
		[2]float64{in, -lidSkirt}, [2]float64{in, 0}, [2]float64{-in, 0}, [2]float64{-in, -lidSkirt})
	p.Path("wall", lid.Close())
	f, high := s.Mouth/4, lidThick+4/v.scale
	turn(&frame, [2]float64{-f, 0}, [2]float64{-f, high}, [2]float64{f, high}, [2]float64{f, 0})
	p.Path("filter", frame.Close())
	const strokes = 8
	for k := range strokes {
		x := -f + 2*f*float64(k)/strokes
		turn(&filter, [2]float64{x, 0}, [2]float64{x + 2*f/strokes, high})
	}
	p.Path("thin", &filter)
}

// CapLook is the mouth of a vessel with its lid on: flat, or held up at one side
// by a grain of mix on the rim.
type CapLook struct {
	Title, Description string
	Shape              Shape
	Line               float64 // fill line below the rim, m
	Tipped             bool
	Verdict            Label // below: what it is, and what to do
}

// Measures of the drawing.
const (
	capLookWidth = boreLookWidth
	capLookHigh  = 136
	capTip       = 0.13 // rad; a grain of some millimeters
)

// String is the drawing as SVG.
func (d CapLook) String() string {
	s := d.Shape
	p := New("cap-look", capLookWidth, capLookHigh, d.Title, d.Description)
	low := s.brokenAt(d.Line)
	lid := s.Mouth + 2*s.Wall + 2*lidThick + 0.004
	// Both looks have room for the lid that stands up.
	const edge = 4
	high := s.Height - low + 2*lidThick + lid*math.Sin(capTip)
	scale := math.Min((capLookWidth-2*edge)/math.Max(2*(s.widest(low)+s.Wall), lid), (capLookHigh-boreLookFoot-4*edge)/high)
	v := view{capLookWidth / 2, 0, scale}
	v.base = capLookHigh - boreLookFoot - edge + low*scale
	p.Path("substrate", v.broken(s, low, s.level(s.Height-d.Line)))
	p.Path("wall", v.upper(s, low))
	tip := 0.0
	if d.Tipped {
		tip = capTip
		r, z := v.x(-s.Mouth/2-v.thick(s)/2), v.y(s.Height)
		grain := &Line{}
		grain.Move(r-4, z-1).Draw(r-2.5, z-5.5).Draw(r+2.5, z-6).Draw(r+4.5, z-1.5).Draw(r+1, z).Close()
		p.Path("head", grain)
	}
	v.capOn(p, s, tip)
	p.label(d.Verdict, capLookWidth/2, capLookHigh-boreLookFoot/2, Middle)
	return p.String()
}

// FingerLook is the mouth of a vessel up to its fill line, with fingers held
// level beside it: how far down that is where no ruler is at hand.
type FingerLook struct {
	Title, Description string
	Shape              Shape
	Line               float64 // fill line below the rim, m
	Breadth            float64 // of a finger, m
	Fingers            int     // so many, one below the other
	Measure            Label   // of the fill line
	Of                 Label   // below: what a finger measures
}

// Measures of the pictures of a mouth, with labels at its sides, units.
const (
	mouthWidth = 284
	mouthMost  = 116. // of the vessel
	mouthHigh  = 160. // of what is seen of it
	mouthScale = 1750 // to a meter, at most: a finger is twice as long as it is broad
	mouthLeast = 40.
	mouthEdge  = 5.
	mouthTop   = 13. // above the rim: what an arrow needs whose heads stand outside
	mouthAway  = 10. // from the wall to a dimension line
	labelAway  = 12. // from there to its label
	fingerLong = 44.
	mouthFoot  = 40. // for what is said below
)

// String is the drawing as SVG.
func (d FingerLook) String() string {
	s := d.Shape
	low := s.brokenAt(math.Max(d.Line, d.Breadth*float64(d.Fingers)))
	v := s.mouth(low, 0, fingerLong+4, d.Measure)
	line := s.Height - d.Line
	var m measures
	x := v.x(s.widest(low)+v.thick(s)) + mouthAway
	m.upright(d.Measure, x, [2]float64{v.x(s.Mouth/2+v.thick(s)) + 1, v.y(s.Height)}, [2]float64{v.x(s.Radius(line)), v.y(line)})
	high := math.Max(v.y(low)+8, m.room()) + mouthFoot
	p := New("mouth-look", mouthWidth, high, d.Title, d.Description)
	p.Path("substrate", v.broken(s, low, s.level(line)))
	p.Path("wall", v.upper(s, low))
	// The fingers stop short of the wall.
	tip := v.x(-s.widest(low)-v.thick(s)) - 3
	for k := range d.Fingers {
		top := v.y(s.Height) + float64(k)*d.Breadth*v.scale
		v.finger(p, tip-fingerLong, tip, top, top+d.Breadth*v.scale)
	}
	p.aside(&m.leaders, m.right, x+labelAway, 2, high-mouthFoot)
	foot := v.y(s.Height) + float64(d.Fingers)*d.Breadth*v.scale
	m.leaders.Move(tip-fingerLong+8, foot).Down(high - mouthFoot/2 - lineHeight)
	p.label(d.Of, tip-fingerLong, high-mouthFoot/2, Start)
	m.ink(p)
	return p.String()
}

// finger is a fingertip that points to the right, its nail toward who looks.
func (v view) finger(p *Picture, from, tip, top, foot float64) {
	const pieces = 12
	r := (foot - top) / 2
	middle := (foot + top) / 2
	var skin, nail Line
	skin.Move(from, top).Across(tip - r)
	for k := 1; k < pieces; k++ {
		sin, cos := math.Sincos(math.Pi * (float64(k)/pieces - 0.5))
		skin.Draw(tip-r+r*cos, middle+r*sin)
	}
	skin.Draw(tip-r, foot).Across(from)
	p.Path("skin", &skin)
	n := 0.6 * r
	back := tip - math.Min(2.4*r, 0.9*(tip-from))
	nail.Move(back, middle-n).Across(tip - r)
	for k := 1; k < pieces; k++ {
		sin, cos := math.Sincos(math.Pi * (float64(k)/pieces - 0.5))
		nail.Draw(tip-r+0.78*r*cos, middle+n*sin)
	}
	nail.Draw(tip-r, middle+n).Across(back).Close()
	p.Path("thin", &nail)
}

// widest is the widest inside radius from a height up.
func (s Shape) widest(from float64) float64 { return math.Max(s.Radius(from), s.Mouth/2) }

// mouth stands a mouth, cut off at a height, so that so much above the rim can be
// seen too, m, with room at its left, units, and for labels at its right.
func (s Shape) mouth(low, above, left float64, labels ...Label) view {
	right := mouthAway + labelAway
	for _, l := range labels {
		right = math.Max(right, mouthAway+labelAway+l.long())
	}
	around := 2 * (s.widest(low) + s.Wall)
	free := math.Max(math.Min(mouthMost, mouthWidth-2*mouthEdge-left-right), mouthLeast)
	v := view{scale: math.Min(mouthScale, math.Min(free/around, mouthHigh/(s.Height+above-low)))}
	// What is left over stands at both sides.
	v.axis = (mouthWidth-left-right-around*v.scale)/2 + left + around*v.scale/2
	v.base = mouthTop + (s.Height+above)*v.scale
	return v
}

// long is how wide a label is.
func (l Label) long() float64 {
	most := length(l.Measure)
	for _, line := range strings.Split(l.Words, "\n") {
		most = math.Max(most, length(line))
	}
	return most
}
