package draw

import "math"

// Circulation shows day by day where the vessels of one kind are: filled, dirty, and,
// up to how many there are, washed.
type Circulation struct {
	Title, Description string
	Name, Holds        string
	InUse, Dirty       []float64 // by day, at its end
	Owned              float64   // 0 where nobody knows
	Peak               int       // the day on which the fewest are left
	AtPeak             Label
	Weeks              []Week
}

// Measures of a circulation.
const (
	circulationWidth = 360
	circulationTop   = 66 // name, and label of the peak
	circulationHigh  = 92
	circulationFoot  = 40
)

// String is the drawing as SVG. Without a day it panics, as for more dirty vessels
// than days.
func (d Circulation) String() string {
	if len(d.InUse) == 0 || len(d.Dirty) != len(d.InUse) {
		panic("draw: a circulation without days")
	}
	// How many there are stands behind the name, or below it.
	name := folded(d.Name, circulationWidth)
	holds := 0
	if fuller*(length(d.Name)+length(d.Holds))+3*breath > circulationWidth {
		holds = len(name)
	}
	deeper := lineHeight * float64(max(len(name)-1, holds))
	p := New("circulation", circulationWidth, circulationTop+deeper+circulationHigh+circulationFoot, d.Title, d.Description)
	top := math.Max(d.Owned, 1)
	for i := range d.InUse {
		top = math.Max(top, d.InUse[i]+d.Dirty[i])
	}
	foot := circulationTop + deeper + circulationHigh
	x := func(day int) float64 { return circulationWidth * float64(day) / float64(len(d.InUse)) }
	y := func(v float64) float64 { return foot - circulationHigh*v/top }
	area := func(low, high func(day int) float64) *Line {
		l := new(Line)
		l.Move(0, y(low(0)))
		for day := range d.InUse {
			l.Down(y(high(day))).Across(x(day + 1))
		}
		for day := len(d.InUse) - 1; day >= 0; day-- {
			l.Down(y(low(day))).Across(x(day))
		}
		return l.Close()
	}
	nothing := func(int) float64 { return 0 }
	used := func(day int) float64 { return d.InUse[day] }
	out := func(day int) float64 { return d.InUse[day] + d.Dirty[day] }
	p.Path("in-use", area(nothing, used))
	p.Path("dirty", area(used, out))
	var base, most, leader Line
	base.Move(0, foot).Across(circulationWidth)
	if d.Owned > 0 {
		most.Move(0, y(d.Owned)).Across(circulationWidth)
	}
	type lettering struct {
		class, text string
		x, y        float64
		at          Anchor
	}
	p.lines("figure-word", 0, 14, Start, name)
	said := []lettering{{"said", d.Holds, circulationWidth, 14 + lineHeight*float64(holds), End}}
	end := -math.MaxFloat64
	for _, w := range d.Weeks {
		base.Move(x(w.Day), foot).Down(foot + 5)
		if from := x(w.Day) + 2; from > end+breath && from+math.Max(length(w.Name), length(w.Date)) <= circulationWidth {
			base.Move(x(w.Day), foot+5).Down(foot + 9)
			said = append(said, lettering{"figure-word", w.Name, from, foot + 20, Start}, lettering{"said", w.Date, from, foot + 34, Start})
			end = from + math.Max(length(w.Name), length(w.Date))
		}
	}
	mid := x(d.Peak) + x(1)/2
	leader.Move(mid, circulationTop+deeper-10).Down(y(out(d.Peak)))
	half := math.Max(length(d.AtPeak.Measure), length(d.AtPeak.Words)) / 2
	at := math.Min(math.Max(mid, half), circulationWidth-half)
	p.Path("base", &base)
	p.Path("most", &most)
	p.Path("leader", &leader)
	for _, l := range said {
		p.Text(l.class, l.x, l.y, l.at, l.text)
	}
	p.label(d.AtPeak, at, 38+deeper, Middle)
	return p.String()
}
