package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/draw"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/sterilizer"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// loading is the run of a full load on the author's page: time, heat and water,
// the phases of the largest load, and the map of a load.
type loading struct {
	Of     string
	Facts  []fact
	Phases string // caption
	Rows   []phaseRow
	Whole  phaseRow
	Map    *picture // nil where there are too many vessels to show
}

type phaseRow struct{ Name, From, Takes string }

// loading tells the run of a full load. Batches are ascending.
func (e Edition) loading(p *process.Process, batches []*batch.Batch) loading {
	out := loading{
		Of:    e.say("book.loading.of", "n", p.Holds, "vessels", p.Vessel.Many, "sterilizer", p.Sterilizer.Name),
		Facts: e.loadFacts(p),
		Map:   e.loadMap(p, batches),
	}
	if len(batches) == 0 {
		return out
	}
	b := batches[len(batches)-1]
	clock := func(d unit.Duration) string {
		return e.show(unit.Amount{Kind: unit.TimeOf, Value: float64(d), Unit: "min", Step: unit.Minute})
	}
	out.Phases = e.say("book.loading.phases", "n", b.Loads[0].Vessels, "vessels", p.Vessel.Many)
	for _, x := range b.Phases() {
		out.Rows = append(out.Rows, phaseRow{e.say("book.loading.is." + x.ID), clock(x.From), clock(x.Takes)})
	}
	out.Whole = phaseRow{Name: e.say("book.loading.is.together"), Takes: clock(unit.Duration(b.Value("load_cycle")))}
	return out
}

func (e Edition) loadFacts(p *process.Process) []fact {
	has := func(name string) bool { return p.Ledger.Get(name) != nil }
	clock := func(name string) unit.Amount {
		return unit.Amount{Kind: unit.TimeOf, Value: p.Value(name), Unit: "min", Step: unit.Minute}
	}
	some := func(k unit.Kind, name string) unit.Amount {
		return unit.Amount{Kind: k, Value: p.Value(name), Digits: 2}
	}
	row := func(id, value string) fact { return fact{Name: e.say("book.loading." + id), Value: value} }
	var out []fact
	if has("come_up_full") {
		out = append(out, row("up", e.say("book.loading.up.timed", "timed", clock("come_up_full"), "up", clock("come_up_computed"))))
	} else {
		out = append(out, row("up", e.say("book.loading.up.is", "up", clock("come_up_computed"), "least", clock("come_up_least"), "most", clock("come_up_most"))))
	}
	if computed := some(unit.EnergyOf, "energy_computed"); has("energy_of_computed") {
		out = append(out, row("energy", e.say("book.loading.energy.two", "metered", some(unit.EnergyOf, "energy_a_run"), "computed", computed)))
	} else {
		out = append(out, row("energy", e.say("book.loading.energy.of", "computed", computed)))
	}
	if has("charge_least") {
		out = append(out,
			row("gone", e.say("book.loading.gone.is", "gone", some(unit.VolumeOf, "water_boiled_off"), "vent", some(unit.MassOf, "steam_vented"),
				"hold", some(unit.MassOf, "steam_leaked"), "held", some(unit.MassOf, "condensate_held"))),
			row("charge", e.say("book.loading.charge.is", "charge", some(unit.VolumeOf, "water_charge"), "least", some(unit.VolumeOf, "charge_least"))),
			row("stop", e.say("book.loading.stop.is")))
	} else {
		out = append(out, row("boiler", e.show(some(unit.VolumeOf, "boiler_makes_up"))))
	}
	return append(out, row("fall", e.say("book.loading.fall.is", "usual", clock("pressure_fall"), "most", clock("pressure_fall_most"))))
}

// loadMap shows a full load and, where a batch has loads with places left, the
// part load with the most of them.
func (e Edition) loadMap(p *process.Process, batches []*batch.Batch) *picture {
	controls := p.Input.Farm.Controls.UninoculatedPerLoad
	full := p.Loading(p.Holds, controls)
	if full.Layers == nil {
		return nil
	}
	out := &picture{Notice: e.say("book.loading.map.notice"), How: e.say("book.loading.map.how")}
	e.addLoad(out, p, full, p.Holds, "cap-load-full", 0)
	part := p.Holds
	for _, b := range batches {
		for _, l := range b.Loads {
			part = min(part, l.Vessels)
		}
	}
	if part < p.Holds {
		out.How += " " + e.say("book.loading.map.part", "n", part, "vessels", p.Vessel.Many)
		e.addLoad(out, p, p.Loading(part, controls), part, "cap-load-part", 0)
	}
	if full.Sketch {
		out.How += " " + e.say("book.loading.map.sketch", "vessels", p.Vessel.Many)
	}
	return out
}

// marks are the letters of what is marked in a load.
var marks = map[sterilizer.Use]string{
	sterilizer.Probe: "book.loading.map.probe", sterilizer.Indicator: "book.loading.map.marks", sterilizer.Control: "book.loading.map.control",
}

// addLoad draws a load and puts it into a table. The drawing may be so many times as
// high as it is wide, 0 for a strip.
func (e Edition) addLoad(out *picture, p *process.Process, l process.Loading, n int, id string, tall float64) {
	d := draw.Load{Tall: tall,
		Title: e.say("book.loading.map.title", "n", n, "vessels", p.Vessel.Many),
		Width: l.Tray.Width, Depth: l.Tray.Depth, Sketch: l.Sketch, Across: l.Across,
	}
	if l.Tray.Diameter > 0 {
		d.Width, d.Round = l.Tray.Diameter, true
	}
	t := table{ID: id, Caption: e.say("book.loading.map.table", "n", n, "vessels", p.Vessel.Many)}
	for _, head := range []string{"of", "crop", "probe", "marks", "control", "water"} {
		t.Head = append(t.Head, e.say("book.loading.map."+head))
	}
	places := 0
	for i, layer := range l.Layers {
		name := "book.loading.layer"
		if i == 0 && len(l.Layers) > 1 {
			name = "book.loading.layer.lowest"
		}
		drawn := draw.LoadLayer{Label: e.say(name, "n", i+1)}
		of := map[sterilizer.Use]int{}
		for k, spot := range layer.Spots {
			use := layer.Uses[k]
			of[use]++
			place := draw.Place{X: spot.X, Y: spot.Y, Filler: use == sterilizer.Water}
			if letter := marks[use]; letter != "" {
				place.Mark = e.say(letter)
			}
			drawn.Places = append(drawn.Places, place)
		}
		places += len(layer.Spots)
		d.Layers = append(d.Layers, drawn)
		row := []string{drawn.Label, strconv.Itoa(of[sterilizer.Crop] + of[sterilizer.Probe] + of[sterilizer.Indicator])}
		for _, use := range []sterilizer.Use{sterilizer.Probe, sterilizer.Indicator, sterilizer.Control, sterilizer.Water} {
			row = append(row, strconv.Itoa(of[use]))
		}
		t.Rows = append(t.Rows, row)
	}
	d.Description = e.Voice.Say(words.Message("book.loading.map.desc", "layers", len(l.Layers), "places", places))
	out.add(d.String())
	out.Tables = append(out.Tables, t)
}
