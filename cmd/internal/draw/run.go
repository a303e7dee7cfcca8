package draw

import "math"

// Run is the course of a run: the chamber and a place in the vessel above, and
// below on the same times the dose that this place has got. Temperatures are in
// the page's unit, times and doses in minutes. Without doses there is no lower
// part.
type Run struct {
	Title, Description string

	Minutes                []float64 // ascending
	Chamber, Slowest, Dose []float64
	Phases                 []Phase
	Target, Floor          float64      // of the dose; 0 for none
	Read                   [][2]float64 // readings at the place: minutes, temperature; none where nobody measured

	ChamberLabel, SlowestLabel, DoseLabel Label // at the ends of the lines
	TargetLabel, FloorLabel               Label
	ReadLabel                             Label // at the last of the readings

	// How values of the axes are said, at steps of so much.
	Temperature, Time, Doses func(v, step float64) string
}

// Phase is a stretch of a run with its name.
type Phase struct {
	From, To float64 // min
	Name     string
}

// Measures of the drawing of a run.
const (
	runWidth   = 438
	runLeft    = 58
	runRight   = 322
	runAside   = 334 // where the labels at the right begin
	runPlotTop = 44
	runPlot    = 172 // height of the temperatures
	runBetween = 26
	runDoses   = 92
	runFoot    = 22
	runCross   = 4.5 // half of a cross
)

// frame is a scale of values on a stretch of the picture.
type frame struct{ from, to, at, end float64 }

func (f frame) of(v float64) float64 { return f.at + (v-f.from)/(f.to-f.from)*(f.end-f.at) }

// ticks are round values on a frame, by the largest step of 1, 2 or 5 that gives
// at least so many.
func (f frame) ticks(fewest float64) (out []float64, step float64) {
	raw := (f.to - f.from) / fewest
	p := math.Pow(10, math.Floor(math.Log10(raw)+1e-9))
	step = p
	for _, lead := range []float64{2, 5} {
		if lead*p <= raw*(1+1e-9) {
			step = lead * p
		}
	}
	for k := math.Ceil(f.from/step - 1e-9); k*step <= f.to+1e-9*step; k++ {
		out = append(out, k*step+0) // never the zero below zero
	}
	return out, step
}

// clock are the times on a frame of minutes, by the smallest step of those that
// a clock has at which each label has its room.
func (f frame) clock(say func(v, step float64) string) (out []float64, step float64) {
	const room = 12
	apart := func(step float64) bool {
		last := math.Floor(f.to/step+1e-9) * step
		return step*(f.end-f.at)/(f.to-f.from) >= length(say(last, step))+room
	}
	step = 1
	for _, s := range []float64{2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 720} {
		if !apart(step) {
			step = s
		}
	}
	for !apart(step) {
		step *= 2
	}
	for v := 0.0; v <= f.to; v += step {
		out = append(out, v)
	}
	return out, step
}

// String is the drawing as SVG. Without two samples there is no course, and it
// panics.
func (d Run) String() string {
	n := len(d.Minutes)
	if n < 2 {
		panic("draw: a run of less than two samples")
	}
	dosed := len(d.Dose) > 0
	foot := float64(runPlotTop + runPlot)
	if dosed {
		foot += runBetween + runDoses
	}
	p := New("run", runWidth, foot+runFoot, d.Title, d.Description)
	time := frame{0, d.Minutes[n-1], runLeft, runRight}
	low, high := math.Inf(1), math.Inf(-1)
	for k := range n {
		low = math.Min(low, math.Min(d.Chamber[k], d.Slowest[k]))
		high = math.Max(high, math.Max(d.Chamber[k], d.Slowest[k]))
	}
	for _, r := range d.Read {
		low, high = math.Min(low, r[1]), math.Max(high, r[1])
	}
	room := 0.04 * math.Max(high-low, 1)
	heat := frame{low - room, high + room, runPlotTop + runPlot, runPlotTop}
	d.axes(p, time, heat, foot)
	d.phases(p, time, foot)
	var chamber, slowest Line
	plot := func(l *Line, values []float64, f frame) {
		points := make([][2]float64, n)
		for k := range points {
			points[k] = [2]float64{time.of(d.Minutes[k]), f.of(values[k])}
		}
		for k, q := range thinned(points, 0.12) {
			if k == 0 {
				l.Move(q[0], q[1])
			} else {
				l.Draw(q[0], q[1])
			}
		}
	}
	plot(&chamber, d.Chamber, heat)
	plot(&slowest, d.Slowest, heat)
	leaders := &Line{}
	if dosed {
		d.doses(p, leaders, plot, foot)
	}
	p.Path("chamber", &chamber)
	p.Path("slowest", &slowest)
	ends := []pointer{{d.ChamberLabel, runRight, heat.of(d.Chamber[n-1])}, {d.SlowestLabel, runRight, heat.of(d.Slowest[n-1])}}
	if k := len(d.Read); k > 0 {
		d.crosses(p, time, heat)
		ends = append(ends, pointer{d.ReadLabel, time.of(d.Read[k-1][0]) + runCross, heat.of(d.Read[k-1][1])})
	}
	p.aside(leaders, ends, runAside, runPlotTop-16, runPlotTop+runPlot+4)
	p.Path("leader", leaders)
	return p.String()
}

// doses are the lower part: what the place has got, beside its bounds.
func (d Run) doses(p *Picture, leaders *Line, plot func(l *Line, values []float64, f frame), foot float64) {
	last := d.Dose[len(d.Dose)-1]
	most := math.Max(math.Max(d.Target, d.Floor), last)
	if most == 0 {
		most = 1
	}
	dose := frame{0, 1.12 * most, foot, foot - runDoses}
	var hair, got, target, floor Line
	values, step := dose.ticks(2)
	for _, v := range values {
		hair.Move(runLeft, dose.of(v)).Across(runRight)
		p.Text("said", runLeft-6, dose.of(v)+halfLine, End, d.Doses(v, step))
	}
	p.Path("hair", &hair)
	plot(&got, d.Dose, dose)
	ends := []pointer{{d.DoseLabel, runRight, dose.of(last)}}
	if d.Target > 0 {
		target.Move(runLeft, dose.of(d.Target)).Across(runRight)
		ends = append(ends, pointer{d.TargetLabel, runRight, dose.of(d.Target)})
	}
	if d.Floor > 0 {
		floor.Move(runLeft, dose.of(d.Floor)).Across(runRight)
		ends = append(ends, pointer{d.FloorLabel, runRight, dose.of(d.Floor)})
	}
	p.Path("target", &target)
	p.Path("floor", &floor)
	p.Path("slowest", &got)
	p.aside(leaders, ends, runAside, runPlotTop+runPlot+8, foot+6)
}

// crosses are the readings, over the line that was computed for them.
func (d Run) crosses(p *Picture, time, heat frame) {
	var cross Line
	for _, r := range d.Read {
		x, y := time.of(r[0]), heat.of(r[1])
		cross.Move(x-runCross, y-runCross).Draw(x+runCross, y+runCross).Move(x-runCross, y+runCross).Draw(x+runCross, y-runCross)
	}
	p.Path("cross", &cross)
}

// axes are hairlines at round temperatures with the values beside them, and the
// times at the foot.
func (d Run) axes(p *Picture, time, heat frame, foot float64) {
	var hair, base Line
	values, step := heat.ticks(4)
	for _, v := range values {
		hair.Move(runLeft, heat.of(v)).Across(runRight)
		p.Text("said", runLeft-6, heat.of(v)+halfLine, End, d.Temperature(v, step))
	}
	values, step = time.clock(d.Time)
	for _, v := range values {
		base.Move(time.of(v), foot).Down(foot + 5)
		p.Text("said", time.of(v), foot+17, Middle, d.Time(v, step))
	}
	for k := 1.0; k*step/4 <= time.to; k++ {
		base.Move(time.of(k*step/4), foot).Down(foot + 2.5)
	}
	base.Move(runLeft, foot).Across(runRight)
	if foot > heat.at {
		base.Move(runLeft, heat.at).Across(runRight)
	}
	p.Path("hair", &hair)
	p.Path("base", &base)
}

// phases are upright hairlines between the parts of a run, their names above.
// Where one has no room for its name, all stand a row higher, and a line leads
// from a name to what it is of. A part without a name has none.
func (d Run) phases(p *Picture, time frame, foot float64) {
	var lines Line
	var names []string
	var want, room []float64
	y, narrow := float64(runPlotTop-8), map[string]bool{}
	for k, f := range d.Phases {
		if f.To <= f.From {
			continue
		}
		x0, x1 := time.of(f.From), time.of(f.To)
		if k > 0 {
			lines.Move(x0, runPlotTop).Down(foot)
		}
		if f.Name == "" {
			continue
		}
		if length(f.Name)+breath > x1-x0 {
			narrow[f.Name], y = true, runPlotTop-8-lineHeight
		}
		names, want, room = append(names, f.Name), append(want, (x0+x1)/2), append(room, length(f.Name)+3*breath)
	}
	for k, x := range spread(want, room, 0, runWidth) {
		p.Text("said", x, y, Middle, names[k])
		if narrow[names[k]] {
			lines.Move(x, y+5).Draw(want[k], runPlotTop-1)
		}
	}
	p.Path("phase", &lines)
}

// aside sets labels at the right of what they are about, apart from each other
// and in the same order, with a line where one had to move.
func (p *Picture) aside(leaders *Line, list []pointer, x, from, to float64) {
	byHeight(list)
	for i, r := range list {
		list[i].label = r.label.within(p.width - x - 1)
	}
	want, room := make([]float64, len(list)), make([]float64, len(list))
	for i, r := range list {
		want[i], room[i] = r.y, r.label.high()
	}
	for i, y := range spread(want, room, from, to) {
		r := list[i]
		leaders.Move(r.x+1, r.y).Draw(x-4, y)
		p.label(r.label, x, y, Start)
	}
}
