package draw

import "math"

// Ranked shows what changes of several inputs do to one value, the one that does
// most on top: for each a lever about the value as it is. Its arrow is where more
// of the input leads, its stroke where less of it does, each with what it says; a
// side without a label is not drawn.
type Ranked struct {
	Title, Description string
	Now                string // the value as it is, above the levers
	Levers             []Lever
}

// Lever is one input. The ends are distances from the value as it is, in any
// unit that all levers share.
type Lever struct {
	Name       string
	Less, More Tick
}

// end is one side of a lever.
type end struct {
	Tick
	more bool
}

// Measures of the levers.
const (
	RankedWidth = 430
	rankedTop   = 26 // the value as it is stands in it
	rankedEach  = 42
	rankedArrow = 9
	rankedFoot  = 6
)

// height is how high the drawing is, in units of the picture.
func (d Ranked) height() float64 { return rankedTop + rankedEach*float64(len(d.Levers)) + rankedFoot }

// String is the drawing as SVG.
func (d Ranked) String() string {
	p := New("ranked", RankedWidth, d.height(), d.Title, d.Description)
	most, room := 0.0, 0.0
	for _, l := range d.Levers {
		for _, t := range []Tick{l.Less, l.More} {
			if t.Label != "" {
				most, room = math.Max(most, math.Abs(t.At)), math.Max(room, length(t.Label))
			}
		}
	}
	const middle = RankedWidth / 2
	arm := math.Max(rankedArrow, middle-room-2*breath)
	at := func(v float64) float64 {
		if most == 0 {
			return middle
		}
		return middle + v/most*arm
	}
	p.Text("figure-word", middle, 13, Middle, d.Now)
	var hair, zero, levers, heads, ends Line
	type lettering struct {
		x, y float64
		at   Anchor
		text string
	}
	var said []lettering
	for k, l := range d.Levers {
		top := rankedTop + rankedEach*float64(k)
		y := top + 29
		hair.Move(0, top).Across(RankedWidth)
		said = append(said, lettering{0, top + 14, Start, l.Name})
		zero.Move(middle, y-8).Down(y + 8)
		var drawn []end
		for _, e := range []end{{l.Less, false}, {l.More, true}} {
			if e.Label != "" {
				drawn = append(drawn, e)
			}
		}
		if len(drawn) == 2 && drawn[1].At < drawn[0].At {
			drawn[0], drawn[1] = drawn[1], drawn[0]
		}
		// Of two ends the left one has its label on the left, also where both lie
		// on one side of the middle: there is no room between them.
		leftmost, rightmost := float64(middle), float64(middle)
		isLeft := func(i int) bool { return i == 0 && (len(drawn) == 2 || drawn[i].At < 0) }
		for i, e := range drawn {
			x := at(e.At)
			levers.Move(middle, y).Across(x)
			if !e.more {
				ends.Move(x, y-6).Down(y + 6)
			} else {
				// The tip is the value, but for one that is nearer to the middle than
				// an arrow is long.
				side := 1.0
				if e.At < 0 || e.At == 0 && isLeft(i) {
					side = -1
				}
				tip := middle + side*math.Max(math.Abs(x-middle), rankedArrow)
				heads.Move(tip, y).Draw(tip-side*rankedArrow, y-5).Draw(tip-side*rankedArrow, y+5).Close()
				leftmost, rightmost = math.Min(leftmost, tip), math.Max(rightmost, tip)
			}
			leftmost, rightmost = math.Min(leftmost, x), math.Max(rightmost, x)
		}
		for i, e := range drawn {
			if isLeft(i) {
				said = append(said, lettering{leftmost - breath, y + halfLine, End, e.Label})
			} else {
				said = append(said, lettering{rightmost + breath, y + halfLine, Start, e.Label})
			}
		}
	}
	p.Path("hair", &hair)
	p.Path("zero", &zero)
	p.Path("lever", &levers)
	p.Path("ends", &ends)
	p.Path("head", &heads)
	for _, s := range said {
		p.Text("said", s.x, s.y, s.at, s.text)
	}
	return p.String()
}
