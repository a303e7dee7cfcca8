package leaf

import (
	"math"
	"sort"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// degrees are the temperatures of a page: its unit, and how a value in it is
// said.
type degrees struct {
	name string
	says unit.System
}

func (e Edition) degrees() degrees {
	const hot = 373.15
	return degrees{unit.UnitFor(unit.TemperatureOf, hot, e.Voice.Units()), e.Voice.Units()}
}

func (d degrees) in(kelvin float64) float64 { return unit.In(unit.TemperatureOf, kelvin, d.name) }

func (d degrees) all(kelvin []float64) []float64 {
	out := make([]float64, len(kelvin))
	for k, t := range kelvin {
		out[k] = d.in(t)
	}
	return out
}

// say says a value in the page's own degrees.
func (d degrees) say(v, step float64) string { return d.says.Number(v, step) + unit.Space + d.name }

// clockTime says a time on the axis of a run, in minutes, at steps of so many.
func (d degrees) clockTime(v, step float64) string {
	if step >= 60 {
		return d.says.Number(v/60, step/60) + unit.Space + "h"
	}
	return d.says.Number(v, step) + unit.Space + "min"
}

// heating are the pictures of a run: its course as slow as it may be, and what it
// leaves in the mix. None of them stands on a worker's page.
func (e Edition) heating(p *process.Process) ([]picture, error) {
	cases, err := casesOf(p)
	if err != nil {
		return nil, err
	}
	slow, fallen := cases[1], cases[2]
	return []picture{e.runPicture(p, slow), e.heatPicture(p, slow, fallen)}, nil
}

// runPicture is the course of the run, as slow as it may be: the chamber, the
// slowest place, and what that place has got.
func (e Edition) runPicture(p *process.Process, h *heated) picture {
	in := e.degrees()
	n := len(h.times)
	up, vent, whole := p.Value("come_up"), p.Value("vent"), h.times[n-1]
	target, floor := p.Value("f0_target"), p.Value("f0_floor")
	then := h.core[min(sort.SearchFloat64s(h.times, up+vent-1), n-1)]
	d := draw.Run{
		Title: e.say("book.figure.run.title", "one", p.Vessel.One),
		Description: e.say("book.figure.run.desc", "hold", e.warm(h.chamber[n-1]), "up", minutes(up+vent), "then", e.warm(then),
			"end", e.warm(h.end), "whole", minutes(whole), "dose", f0(h.least), "target", f0(target), "floor", f0(floor)),
		Minutes: inMinutes(h.times), Chamber: in.all(h.chamber), Slowest: in.all(h.core), Dose: inMinutes(h.dose),
		Target: target / unit.Minute, Floor: floor / unit.Minute,
		Phases:       e.phases(h, up, vent, whole),
		ChamberLabel: draw.Label{Measure: e.show(e.warm(h.chamber[n-1])), Words: e.say("book.figure.run.chamber")},
		SlowestLabel: draw.Label{Measure: e.show(e.warm(h.end)), Words: e.say("book.figure.run.slowest")},
		DoseLabel:    draw.Label{Measure: e.show(f0(h.least)), Words: e.say("book.figure.run.dose")},
		TargetLabel:  draw.Label{Measure: e.show(f0(target)), Words: e.say("book.figure.run.target")},
		FloorLabel:   draw.Label{Measure: e.show(f0(floor)), Words: e.say("book.figure.run.floor")},
		Temperature:  in.say,
		Doses:        func(v, step float64) string { return in.says.Number(v, step) + unit.Space + "min" },
		Time:         in.clockTime,
	}
	const rest = 0.1 // of the dose, got before its last nine tenths
	from := sort.SearchFloat64s(h.dose, rest*h.dose[n-1])
	out := picture{
		Notice: e.say("book.figure.run.notice", "then", e.warm(then), "last", minutes(whole-h.times[from])),
		How:    e.say("book.figure.run.case.slow"),
	}
	if !p.Setting().Bored {
		out.How = e.say("book.figure.run.case.slow.plain")
	}
	out.add(d.String())
	out.Tables = []table{e.runTable(d.Title, h)}
	return out
}

// phases are the parts of a run. Venting stands within the come-up: the chamber
// boils, and goes on to the pressure of the hold when the vent is closed. Where it
// begins is read from the samples, so to a minute; one too short for that is not
// drawn.
func (e Edition) phases(h *heated, up, vent, whole float64) []draw.Phase {
	boils := up + vent
	for k := 1; k < len(h.times); k++ {
		if vent > 0 && h.times[k] < up+vent && math.Abs(h.chamber[k]-h.chamber[k-1]) < 1e-6 {
			boils = h.times[k-1]
			break
		}
	}
	minute := func(s float64) float64 { return s / unit.Minute }
	name := func(part string) string { return e.say("book.figure.run." + part) }
	if vent > 0 && boils < up+vent {
		return []draw.Phase{
			{From: 0, To: minute(boils), Name: name("up")}, {From: minute(boils), To: minute(boils + vent), Name: name("vent")},
			{From: minute(boils + vent), To: minute(up + vent)}, {From: minute(up + vent), To: minute(whole), Name: name("hold")},
		}
	}
	return []draw.Phase{{From: 0, To: minute(up + vent), Name: name("up")}, {From: minute(up + vent), To: minute(whole), Name: name("hold")}}
}

func inMinutes(s []float64) []float64 {
	out := make([]float64, len(s))
	for k, t := range s {
		out[k] = t / unit.Minute
	}
	return out
}

// runTable has a row for every ten minutes of a run, or for every thirty of a
// long one, and the last.
func (e Edition) runTable(caption string, h *heated) table {
	t := table{ID: "cap-run-figure", Caption: caption, Head: []string{
		e.say("book.figure.run.table.time"), e.say("book.figure.run.table.chamber"),
		e.say("book.figure.run.table.slowest"), e.say("book.figure.run.table.dose"),
	}}
	apart, last := 10*unit.Minute, len(h.times)-1
	if h.times[last] > 4*unit.Hour {
		apart = 30 * unit.Minute
	}
	next := 0.0
	for k, at := range h.times {
		if at < next-1 && k < last {
			continue
		}
		next = float64(apart) * (math.Floor((at+1)/float64(apart)) + 1)
		t.Rows = append(t.Rows, []string{
			e.show(minutes(at)), e.show(e.warm(h.chamber[k])), e.show(e.warm(h.core[k])),
			e.show(unit.Amount{Kind: unit.TimeOf, Value: h.dose[k], Unit: "min", Step: unit.Minute / 100}),
		})
	}
	return t
}

// heatPicture is the mix cut open at the end of the hold, as slow as heat may
// come in: with the bore open and fallen in, or once where there is none.
func (e Edition) heatPicture(p *process.Process, open, fallen *heated) picture {
	in := e.degrees()
	coldest, chamber := open.end, open.chamber[len(open.chamber)-1]
	var out picture
	if fallen == nil {
		out.Notice = e.say("book.figure.heat.notice.whole", "end", e.warm(open.end))
	} else {
		coldest = math.Min(coldest, fallen.end)
		out.Notice = e.say("book.figure.heat.notice", "open", e.warm(open.end), "fallen", e.warm(fallen.end))
	}
	out.How = e.say("book.figure.heat.how", "unit", in.name)
	// The same lines in both, or nobody could compare them.
	rounds, step := draw.Rounds(in.in(coldest), in.in(chamber))
	var levels []draw.Tick
	for _, v := range rounds {
		levels = append(levels, draw.Tick{At: v, Label: in.says.Number(v, step) + "°"})
	}
	one := func(which string, h *heated, bore bool) {
		d := draw.Isotherms{
			Title:   e.say("book.figure.heat.title", "which", words.Message("book.figure.heat.which."+which)),
			Heading: e.say("book.figure.heat." + which), Shape: shapeOf(p.Vessel), Levels: levels, Slowest: h.slowest,
			Field:  draw.Field{X: h.field.X, Y: h.field.Y},
			Radius: p.Value("substrate_radius"), Height: p.Value("substrate_height"),
		}
		for _, row := range h.field.V {
			d.Field.V = append(d.Field.V, in.all(row))
		}
		d.Description = e.say("book.figure.heat.desc", "radius", long(d.Radius), "height", long(d.Height),
			"out", long(h.slowest.R), "up", long(h.slowest.Z), "end", e.warm(h.end), "chamber", e.warm(chamber))
		d.Slowest.Label = draw.Label{Measure: e.show(e.warm(h.end)), Words: e.say("book.figure.heat.slowest")}
		if bore {
			d.BoreRadius, d.BoreDepth = p.Value("bore_radius"), p.Value("bore_in_substrate")
		}
		out.add(d.String())
		out.Tables = append(out.Tables, e.heatTable("cap-heat-"+which, d.Title, h))
	}
	if fallen == nil {
		one("whole", open, false)
		return out
	}
	one("open", open, true)
	one("fallen", fallen, false)
	return out
}

// heatTable has a few of the temperatures of a cut: by the height of the
// place, from the top, and by its distance from the axis.
func (e Edition) heatTable(id, caption string, h *heated) table {
	const columns, rows = 4, 5
	t := table{ID: id, Caption: caption, Head: []string{e.say("book.figure.heat.table.height")}}
	r, z := picked(len(h.field.X), columns), picked(len(h.field.Y), rows)
	for _, i := range r {
		t.Head = append(t.Head, e.say("book.figure.heat.table.from", "r", long(h.field.X[i])))
	}
	for k := len(z) - 1; k >= 0; k-- {
		row := []string{e.show(long(h.field.Y[z[k]]))}
		for _, i := range r {
			v := h.field.V[z[k]][i]
			if math.IsNaN(v) {
				row = append(row, e.say("book.figure.heat.table.bore"))
			} else {
				row = append(row, e.show(e.warm(v)))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// picked are so many of n, evenly from the first to the last.
func picked(n, want int) []int {
	if n <= want {
		want = n
	}
	out := make([]int, want)
	for k := range out {
		if want > 1 {
			out[k] = int(math.Round(float64(k) * float64(n-1) / float64(want-1)))
		}
	}
	return out
}
