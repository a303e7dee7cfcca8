package leaf

import (
	"html/template"
	"math"
	"strings"

	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// picture is a figure of a page: its drawings, what to notice in them, and the
// same as tables for who would rather read figures.
type picture struct {
	Drawings []template.HTML
	Notice   string
	How      string // how to read it, where that needs a word
	Tables   []table

	sizes [][2]float64 // of the drawings, in their own units
}

// table is what a picture shows, in figures. The first of a row is its head.
type table struct {
	ID, Caption string
	Head        []string
	Rows        [][]string
}

// add puts a drawing into the picture. Package draw escapes what it is given.
func (p *picture) add(svg string) {
	p.Drawings = append(p.Drawings, template.HTML(svg))
	p.sizes = append(p.sizes, draw.SizeOf(svg))
}

// told says messages one after the other, for a description.
func (e Edition) told(list []protocol.Message) string {
	var out []string
	for _, m := range list {
		out = append(out, e.Voice.Say(m))
	}
	return strings.Join(out, " ")
}

func long(v float64) unit.Amount   { return unit.Amount{Kind: unit.LengthOf, Value: v, Digits: 3} }
func weight(v float64) unit.Amount { return unit.Amount{Kind: unit.MassOf, Value: v, Digits: 3} }

// ruler is a measure that a worker reads on a ruler, as the steps say it.
func (e Edition) ruler(v float64) unit.Amount { return procedure.OnRuler(v, e.Voice.Units()) }

// warm is a temperature to a tenth of a degree of the page's.
func (e Edition) warm(kelvin float64) unit.Amount {
	name := unit.UnitFor(unit.TemperatureOf, kelvin, e.Voice.Units())
	return unit.Amount{Kind: unit.TemperatureOf, Value: kelvin, Step: unit.SizeOf(unit.TemperatureOf, name) / 10}
}

// minutes is a time to the minute, f0 an F0 as the verdict says it, and one
// that is next to nothing as that.
func minutes(s float64) unit.Amount {
	return unit.Amount{Kind: unit.TimeOf, Value: s, Unit: "min", Step: unit.Minute}
}

func f0(s float64) unit.Amount {
	if s < unit.Minute/100 {
		return unit.Amount{Kind: unit.TimeOf, Value: s, Unit: "min", Step: unit.Minute / 100}
	}
	return unit.Amount{Kind: unit.TimeOf, Value: s, Unit: "min", Digits: 3}
}

// shapeOf is a vessel as it is drawn.
func shapeOf(v protocol.Vessel) draw.Shape {
	form := map[string]draw.Form{"bottle": draw.Bottle, "jar": draw.Jar, "bag": draw.Bag}[v.Form]
	return draw.Shape{Form: form, Height: float64(v.Height), Body: float64(v.Body), Mouth: float64(v.Mouth),
		Wall: float64(v.Wall), Brimful: float64(v.Brimful)}
}

// boreOf is a protocol's bore as it is drawn.
func boreOf(p *process.Process) draw.Bore {
	if !p.Setting().Bored {
		return draw.Bore{}
	}
	return draw.Bore{Top: p.Value("bore_top"), Bottom: p.Value("bore_bottom"), Depth: p.Value("bore_depth")}
}

// vesselPicture is the cut through a filled vessel with the measures that
// somebody has to hit.
func (e Edition) vesselPicture(p *process.Process) picture {
	v, bag := p.Vessel, p.Vessel.Form == "bag"
	d := draw.Vessel{
		Title: e.say("book.figure.vessel.title", "one", v.One),
		Shape: shapeOf(v), Line: p.Value("line_below_rim"), Bore: boreOf(p),
		Mass: draw.Label{Measure: e.show(weight(p.Value("fill_mass"))), Words: e.say("book.figure.vessel.mass")},
	}
	t := table{ID: "cap-vessel", Caption: d.Title, Head: []string{e.say("book.figure.vessel.of.measure"), e.say("book.figure.vessel.of.how-much")}}
	row := func(id string, a unit.Amount) draw.Label {
		l := draw.Label{Measure: e.show(a), Words: e.say(id)}
		t.Rows = append(t.Rows, []string{l.Words, l.Measure})
		return l
	}
	row("book.figure.vessel.whole", long(float64(v.Height)))
	row("book.figure.vessel.of.body", long(float64(v.Body)))
	row("book.figure.vessel.of.mouth", long(float64(v.Mouth)))
	row("book.figure.vessel.of.wall", long(float64(v.Wall)))
	inside := words.Message("book.figure.vessel.inside", "name", e.Voice.Capital(v.Name), "height", long(float64(v.Height)),
		"body", long(float64(v.Body)), "mouth", long(float64(v.Mouth)), "wall", long(float64(v.Wall)))
	filled := words.Message("book.figure.vessel.filled", "mass", weight(p.Value("fill_mass")), "line", e.ruler(d.Line))
	out := picture{Notice: e.say("book.figure.vessel.notice", "brimful", unit.Amount{Kind: unit.VolumeOf, Value: float64(v.Brimful), Digits: 3})}
	switch {
	case bag:
		filled = words.Message("book.figure.vessel.filled.bag", "mass", weight(p.Value("fill_mass")))
		out.Notice = e.say("book.figure.vessel.notice.bag")
		d.FillLine = draw.Label{Words: e.say("book.figure.vessel.line.bag")}
		d.Lid = draw.Label{Words: e.say("book.figure.vessel.lid.bag")}
	case v.LidFiltered:
		d.Lid = draw.Label{Words: e.say("book.figure.vessel.lid")}
	default:
		d.Lid = draw.Label{Words: e.say("book.figure.vessel.lid.plain")}
	}
	said := []protocol.Message{inside, filled}
	if !bag {
		d.FillLine = row("book.figure.vessel.line", e.ruler(d.Line))
	}
	t.Rows = append(t.Rows, []string{d.Mass.Words, d.Mass.Measure})
	if b := d.Bore; b.Depth > 0 {
		d.BoreTop = row("book.figure.vessel.bore.top", e.ruler(b.Top))
		d.BoreFoot = row("book.figure.vessel.bore.foot", e.ruler(b.Bottom))
		d.BoreDepth = draw.Label{Measure: row("book.figure.vessel.bore.down", e.ruler(b.Depth)).Measure, Words: e.say("book.figure.vessel.bore.depth")}
		said = append(said, words.Message("book.figure.vessel.bored", "depth", e.ruler(b.Depth), "top", e.ruler(b.Top), "foot", e.ruler(b.Bottom)))
	}
	if c := p.Input.Protocol.Collar; c != nil && !bag {
		d.Collar = float64(c.Height)
		d.CollarHeight = row("book.figure.vessel.collar", e.ruler(d.Collar))
		said = append(said, words.Message("book.figure.vessel.collared", "height", e.ruler(d.Collar)))
	}
	d.Description = e.told(said)
	out.add(d.String())
	out.Tables = []table{t}
	return out
}

// borePicture is the one picture of a worker's sheet: a bore that is open, and
// one that fell in. Without a bore there is none.
func (e Edition) borePicture(p *process.Process) *picture {
	if !p.Setting().Bored {
		return nil
	}
	out := &picture{Notice: e.say("book.figure.bore.notice")}
	for _, which := range []string{"open", "fallen"} {
		id := "book.figure.bore." + which
		out.add(draw.BoreLook{
			Title: e.say(id, "one", p.Vessel.One), Description: e.say(id + ".desc"),
			Shape: shapeOf(p.Vessel), Line: p.Value("line_below_rim"), Bore: boreOf(p), FellIn: which == "fallen",
			Verdict: draw.Label{Measure: e.say(id + ".word"), Words: e.say(id + ".is")},
		}.String())
	}
	return out
}

// heated is what a run comes to in a vessel, in plain SI numbers.
type heated struct {
	times, chamber, core, dose []float64 // s, K, K, s
	field                      draw.Field
	slowest                    draw.Spot
	end, least                 float64 // K and s, at the slowest place and the end of the hold
}

// casesOf reads the quick, the slow and the collapsed case of a process; nil
// where there is none.
func casesOf(p *process.Process) ([3]*heated, error) {
	var out [3]*heated
	cases, err := p.Cases()
	if err != nil {
		return out, err
	}
	for k, s := range cases.All() {
		if s == nil {
			continue
		}
		h := &heated{end: s.Core, least: s.Least, slowest: draw.Spot{R: s.Place.R, Z: s.Place.Z}}
		for _, x := range s.Samples {
			h.times, h.chamber = append(h.times, x.Time), append(h.chamber, x.Chamber)
			h.core, h.dose = append(h.core, x.Core), append(h.dose, x.Dose)
		}
		h.field = draw.Field{X: s.Field.R, Y: s.Field.Z}
		for _, row := range s.Field.T {
			solid := make([]float64, len(row))
			for i, t := range row {
				if solid[i] = t; t == 0 {
					solid[i] = math.NaN()
				}
			}
			h.field.V = append(h.field.V, solid)
		}
		out[k] = h
	}
	return out, nil
}
