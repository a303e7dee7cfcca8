package draw

import "math"

// Scrape is how a top is scraped.
type Scrape uint8

// The ways of scraping.
const (
	ScrapeLevel  Scrape = iota // a layer off, flat
	ScrapeRaised               // a layer off round the edge, the middle left higher
	ScrapeSkin                 // the skin scratched
)

// raisedPart is how much of the mouth's radius stays higher in the middle
// (design choice: nobody gives a measure).
const raisedPart = 0.45

// ScrapeLook is the mouth of a vessel with what comes off its top.
type ScrapeLook struct {
	Title, Description string
	Shape              Shape
	Line               float64 // top below the rim, m
	Depth              float64 // that comes off, m
	How                Scrape
	Off                Label // how deep
	Middle             Label // what stays higher; for ScrapeRaised
}

// String is the drawing as SVG.
func (d ScrapeLook) String() string {
	s := d.Shape
	top, cut := s.Height-d.Line, s.Height-d.Line-d.Depth
	low := s.brokenAt(d.Line + d.Depth)
	v := s.mouth(low, 0, 0, d.Off, d.Middle)
	wallTop, wallCut := s.Radius(top), s.Radius(cut)
	stays := 0.0 // radius of the middle that stays
	if d.How == ScrapeRaised {
		stays = raisedPart * wallCut
	}
	var m measures
	x := v.x(s.widest(low)+v.thick(s)) + mouthAway
	m.upright(d.Off, x, [2]float64{v.x(wallTop), v.y(top)}, [2]float64{v.x(wallCut), v.y(cut)})
	if stays > 0 {
		m.add(d.Middle, v.x(0.5*stays), v.y(cut-0.5*d.Depth))
	}
	high := math.Max(v.y(low)+8, m.room())
	p := New("mouth-look", mouthWidth, high, d.Title, d.Description)
	surface := s.level(cut)
	if stays > 0 {
		surface = [][2]float64{{-wallCut, cut}, {-stays, cut}, {-stays, top}, {stays, top}, {stays, cut}, {wallCut, cut}}
	}
	p.Path("substrate", v.broken(s, low, surface))
	var off, old Line
	for _, sign := range []float64{-1, 1} {
		from, to := v.x(sign*stays), v.x(sign*wallCut)
		if from > to {
			from, to = to, from
		}
		if d.How == ScrapeSkin { // upright scratches
			const apart = 6
			for x := math.Ceil((from+1)/apart) * apart; x < to-1; x += apart {
				off.Move(x, v.y(top)).Down(v.y(cut))
			}
		} else {
			off.Hatch(from+0.5, v.y(top), to-0.5, v.y(cut), 6)
		}
	}
	p.Path("thin", &off)
	p.Path("later", old.Move(v.x(-wallTop), v.y(top)).Across(v.x(wallTop)))
	p.Path("wall", v.upper(s, low))
	p.aside(&m.leaders, m.right, x+labelAway, 2, high-2)
	m.ink(p)
	return p.String()
}

// CollarLook is the mouth of a vessel with its collar round it, at the time when
// it goes on.
type CollarLook struct {
	Title, Description string
	Shape              Shape
	Line               float64 // what the stems stand on, below the rim, m
	Stem               float64 // how long the stems are, m
	Collar             float64 // how far the collar stands above the rim, m
	StemLong, High     Label
}

// String is the drawing as SVG.
func (d CollarLook) String() string {
	s := d.Shape
	top := s.Height - d.Line
	low := s.brokenAt(d.Line)
	above := math.Max(d.Collar, d.Stem-d.Line)
	v := s.mouth(low, above, d.StemLong.long()+mouthAway+labelAway, d.High)
	high := v.y(low) + 8
	p := New("mouth-look", mouthWidth, high, d.Title, d.Description)
	p.Path("substrate", v.broken(s, low, s.level(top)))
	p.Path("wall", v.upper(s, low))
	v.stems(p, s.Radius(top), top, d.Stem)
	var sleeve Line
	r := s.Mouth/2 + v.thick(s) + 1.5/v.scale
	beside := math.Max(r, s.widest(low)+v.thick(s)) // the widest that is drawn
	for _, sign := range []float64{-1, 1} {
		sleeve.Move(v.x(sign*r), v.y(s.Height-lidSkirt)).Down(v.y(s.Height + d.Collar))
	}
	p.Path("film", &sleeve)
	var m measures
	x := v.x(beside) + mouthAway
	m.upright(d.High, x, [2]float64{v.x(r) + 1, v.y(s.Height + d.Collar)}, [2]float64{v.x(r) + 1, v.y(s.Height)})
	p.aside(&m.leaders, m.right, x+labelAway, 2, high-2)
	// The stems' measure at the left.
	x = v.x(-beside) - mouthAway
	for _, z := range []float64{top, top + d.Stem} {
		m.leaders.Move(x-4, v.y(z)).Across(v.x(-s.Radius(top) * 0.9))
	}
	m.lines.arrow(&m.heads, x, v.y(top+d.Stem), x, v.y(top))
	p.label(d.StemLong, x-7, math.Min(v.y(top+d.Stem/2), high-lineHeight-4), End)
	m.ink(p)
	return p.String()
}

// stems stand side by side on a top, each with a small cap.
func (v view) stems(p *Picture, radius, top, long float64) {
	const apart = 6.0 // units
	var stalks, caps Line
	n := int(1.7 * radius * v.scale / apart)
	for k := range n {
		x := v.x(0) + apart*(float64(k)-float64(n-1)/2)
		// Not all of them are as long as the longest.
		y := v.y(top + long*(1-0.09*float64(k*2%3)))
		stalks.Move(x, v.y(top)).Down(y + 2)
		caps.Move(x-2.2, y+2).Draw(x-1.4, y).Across(x+1.4).Draw(x+2.2, y+2).Close()
	}
	p.Path("thin", &stalks)
	p.Path("head", &caps)
}
