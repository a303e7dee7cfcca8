package draw

import (
	"math"
	"strconv"
)

// Batches shows batches side by side in their order: for each the share of vessels
// that it lost, as a dot, between the limits for its size, as short bars. The foot
// numbers them; what is beyond its limits has a ring and is named above.
type Batches struct {
	Title, Description string
	Batches            []BatchDot
	From               int  // number of the first batch, 1 where all are shown
	Mean               Tick // a level line: its label stands at its right end
	Assumed            *Tick
	Say                func(v float64) string // of a round value of the scale
}

// BatchDot is one batch. What its dot is in units of, its limits are too.
type BatchDot struct {
	At, Low, High float64
	Hollow        bool   // it is not in the mean
	Beyond        bool   // beyond its limits, or the last of a run
	Label         string // above, for some of those beyond
}

// Measures of the drawing of batches.
const (
	batchesWidth   = 430
	batchesHeight  = 226
	batchesLeft    = 44 // where the scale's line is
	batchesRight   = 346
	batchesTop     = 40 // under the names of what is beyond
	batchesFoot    = 190
	batchesMostBar = 13 // width of a limit's bar
	batchesDot     = 3.6
)

// String is the drawing as SVG. Without a batch it panics: there is no scale.
func (d Batches) String() string {
	if len(d.Batches) == 0 {
		panic("draw: no batches to draw")
	}
	p := New("batches", batchesWidth, batchesHeight, d.Title, d.Description)
	top := d.top()
	y := func(v float64) float64 {
		return batchesFoot - math.Min(1, v/top)*(batchesFoot-batchesTop)
	}
	step := (batchesRight - batchesLeft) / float64(len(d.Batches))
	x := func(i int) float64 { return batchesLeft + step*(float64(i)+0.5) }

	var hair, base Line
	levels, _ := Rounds(0, top)
	for _, v := range levels {
		hair.Move(batchesLeft, y(v)).Across(batchesRight)
		p.Text("said", batchesLeft-2*breath, y(v)+halfLine, End, d.Say(v))
	}
	base.Move(batchesLeft, batchesFoot).Across(batchesRight)
	p.Path("hair", &hair)
	p.levels(d, y)

	var bars, stems Line
	for i, b := range d.Batches {
		half := math.Min(batchesMostBar, 0.7*step) / 2
		stems.Move(x(i), y(b.Low)).Down(y(b.High))
		if b.High <= top {
			bars.Move(x(i)-half, y(b.High)).Across(x(i) + half)
		}
		if b.Low > 0 {
			bars.Move(x(i)-half, y(b.Low)).Across(x(i) + half)
		}
	}
	p.Path("stems", &stems)
	p.Path("bars", &bars)
	p.Path("base", &base)
	p.dots(d, x, y)
	p.names(d, x, y)

	end := -math.MaxFloat64
	for i := range d.Batches {
		text := strconv.Itoa(d.From + i)
		if b := boxOf(x(i), batchesFoot+18, Middle, text); b.X0 > end+breath {
			p.Text("said", x(i), batchesFoot+18, Middle, text)
			end = b.X1
		}
	}
	return p.String()
}

// top is the greatest value that the scale shows: all dots, and limits that are not
// far above them. A limit that is has no bar, and its stem goes to the top.
func (d Batches) top() float64 {
	most := d.Mean.At
	if d.Assumed != nil {
		most = math.Max(most, d.Assumed.At)
	}
	for _, b := range d.Batches {
		most = math.Max(most, b.At)
	}
	const far = 1.4
	shown := most
	for _, b := range d.Batches {
		if b.High <= far*most {
			shown = math.Max(shown, b.High)
		}
	}
	const finest = 0.01 // no batch tells shares finer than that scale has them
	return math.Max(finest, 1.08*shown)
}

// levels draws the mean and what was assumed, each named at its right end.
func (p *Picture) levels(d Batches, y func(float64) float64) {
	type level struct {
		class string
		tick  Tick
	}
	all := []level{{"mean", d.Mean}}
	if d.Assumed != nil {
		all = append(all, level{"assumed", *d.Assumed})
		if d.Assumed.At > d.Mean.At {
			all[0], all[1] = all[1], all[0]
		}
	}
	var want, room []float64
	var labels [][]string
	for _, l := range all {
		var line Line
		line.Move(batchesLeft, y(l.tick.At)).Across(batchesRight)
		p.Path(l.class, &line)
		lines := folded(l.tick.Label, batchesWidth-batchesRight-breath-1)
		want, room, labels = append(want, y(l.tick.At)), append(room, lineHeight*float64(len(lines))+2), append(labels, lines)
	}
	for i, at := range spread(want, room, batchesTop-lineHeight, batchesFoot+lineHeight/2) {
		p.lines("said", batchesRight+breath, at+halfLine-lineHeight*float64(len(labels[i])-1)/2, Start, labels[i])
	}
}

// dots draws a batch as a full dot, or a hollow one, with a ring where it is beyond.
func (p *Picture) dots(d Batches, x func(int) float64, y func(float64) float64) {
	var full, hollow, rings Line
	for i, b := range d.Batches {
		l := &full
		if b.Hollow {
			l = &hollow
		}
		l.round(x(i), y(b.At), batchesDot)
		if b.Beyond {
			rings.round(x(i), y(b.At), 2*batchesDot)
		}
	}
	p.Path("ring", &rings)
	p.Path("dot", &full)
	p.Path("hollow", &hollow)
}

// round draws a ring of eight sides.
func (l *Line) round(x, y, r float64) {
	for k := range 8 {
		sin, cos := math.Sincos(math.Pi * (float64(k) + 0.5) / 4)
		if k == 0 {
			l.Move(x+r*cos, y+r*sin)
		} else {
			l.Draw(x+r*cos, y+r*sin)
		}
	}
	l.Close()
}

// names sets the names of what is beyond above, in the order of the batches, each
// with a leader down to its dot.
func (p *Picture) names(d Batches, x func(int) float64, y func(float64) float64) {
	var at []int
	var want, room []float64
	for i, b := range d.Batches {
		if b.Label != "" {
			at = append(at, i)
			want, room = append(want, x(i)), append(room, length(b.Label)+2*breath)
		}
	}
	var leaders Line
	for k, to := range spread(want, room, 0, batchesRight+40) {
		b := d.Batches[at[k]]
		leaders.Move(to, 18).Draw(x(at[k]), y(b.At)-2*batchesDot)
		p.Text("figure-word", to, 12, Middle, b.Label)
	}
	p.Path("leader", &leaders)
}
