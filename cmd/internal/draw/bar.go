package draw

// Bar shows where a value stands in a range: the zones of an axis side by side,
// their edges labelled below, and the value as a mark with its number above.
// What is allowed is bare between two heavy lines; what is warned of is hatched
// with thin lines; what is refused is hatched with heavy ones, and closer.
type Bar struct {
	Title, Description string
	Axis               Axis
	Zones              []Zone
	Edges              []Tick // labels below, the more important ones first: one that has no room is left out
	Mark               *Tick  // nil for none
}

// ZoneKind is what a stretch of the axis means.
type ZoneKind uint8

// The kinds of zones.
const (
	Allowed ZoneKind = iota
	Warned
	Refused
)

// Zone is a stretch of the axis.
type Zone struct {
	From, To float64
	Kind     ZoneKind
	Label    string // below its middle, where it is to be named
}

// Tick is a place on the axis with its label.
type Tick struct {
	At    float64
	Label string
}

// Measures of a bar. A letter's width is that of an average figure of the
// book's font at the size that the stylesheet gives to it, 13 units.
const (
	barWidth  = 300
	barHeight = 47
	barTop    = 19
	barFoot   = 31
	numberAt  = 11 // base line of the mark's number
	edgeAt    = 45 // base line of the edges' labels
	letter    = 7.2
	gap       = 6 // between two labels
)

// String is the bar as SVG.
func (b Bar) String() string {
	p := New("bar", barWidth, barHeight, b.Title, b.Description)
	var allowed, warned, refused, frame, edges, wedge, stem Line
	for _, z := range b.Zones {
		x0, x1 := b.Axis.place(z.From, barWidth), b.Axis.place(z.To, barWidth)
		if x1-x0 < 0.1 {
			continue
		}
		switch z.Kind {
		case Allowed:
			allowed.Move(x0, barTop).Across(x1).Move(x0, barFoot).Across(x1)
		case Warned:
			frame.Box(x0, barTop, x1, barFoot)
			warned.Hatch(x0, barTop, x1, barFoot, 10)
		case Refused:
			frame.Box(x0, barTop, x1, barFoot)
			refused.Hatch(x0, barTop, x1, barFoot, 6)
		}
	}
	var taken [][2]float64
	for _, e := range b.Edges {
		x := b.Axis.place(e.At, barWidth)
		edges.Move(x, barTop-2).Down(barFoot + 3)
		if from, to, at := label(x, e.Label); e.Label != "" && free(taken, from, to) {
			taken = append(taken, [2]float64{from, to})
			p.Text("edge", foothold(from, to, at), edgeAt, at, e.Label)
		}
	}
	for _, z := range b.Zones {
		x := (b.Axis.place(z.From, barWidth) + b.Axis.place(z.To, barWidth)) / 2
		if from, to, at := label(x, z.Label); z.Label != "" && free(taken, from, to) {
			taken = append(taken, [2]float64{from, to})
			p.Text("edge", foothold(from, to, at), edgeAt, at, z.Label)
		}
	}
	p.Path("thin", &frame)
	p.Path("warned", &warned)
	p.Path("refused", &refused)
	p.Path("allowed", &allowed)
	p.Path("edge-line", &edges)
	if b.Mark != nil {
		x := b.Axis.place(b.Mark.At, barWidth)
		from, to, at := label(x, b.Mark.Label)
		p.Text("found", foothold(from, to, at), numberAt, at, b.Mark.Label)
		stem.Move(x, barTop-3).Down(barFoot + 2)
		wedge.Move(x-5, barTop-6).Across(x+5).Draw(x, barTop+3).Close()
		p.Path("halo", &stem)
		p.Path("stem", &stem)
		p.Path("wedge", &wedge)
	}
	return p.String()
}

// label is the stretch that a lettering takes at x, and how it is anchored so
// that it stays inside the picture.
func label(x float64, text string) (from, to float64, at Anchor) {
	wide := letter * float64(len([]rune(text)))
	switch {
	case x-wide/2 < 0:
		return 0, wide, Start
	case x+wide/2 > barWidth:
		return barWidth - wide, barWidth, End
	}
	return x - wide/2, x + wide/2, Middle
}

// foothold is where a lettering is set that takes a stretch.
func foothold(from, to float64, at Anchor) float64 {
	switch at {
	case Start:
		return from
	case End:
		return to
	}
	return (from + to) / 2
}

func free(taken [][2]float64, from, to float64) bool {
	for _, t := range taken {
		if from < t[1]+gap && to > t[0]-gap {
			return false
		}
	}
	return true
}
