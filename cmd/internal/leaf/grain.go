package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// GrainPath is the sheet of the grain spawn that a protocol's batches take.
func GrainPath(name string) string { return name + "/spawn.html" }

// grainPage is what each batch asks of the spawn bench, back to the plate, and how
// a lot of jars is made.
type grainPage struct {
	frame
	ProtocolTitle string
	Lead          string
	Beside        []link
	Hazards       []hazardGroup
	Unproven      safety
	Given         string // how long a generation is given
	Asks          []grainAsk
	Jar           []fact
	Stations      []station
}

// grainAsk is what one batch asks for: a row for each generation, and the plates.
type grainAsk struct {
	Sheet link
	Rows  []grainRow
}

type grainRow struct {
	Name                string
	Soak, Start, Use    string // days before the day of spawning; Soak is empty for plates
	Jars                string // to start, with the spare ones
	Controls, Runs      string
	Dry, Drained, Chalk string
}

// Grain sets the sheet of the grain spawn for a protocol whose farm makes its own;
// it is nil where the farm buys it. Batches are ascending.
func Grain(e Edition, r Recipe) ([]byte, error) {
	p := r.Process
	if p.Grain == nil || len(r.Batches) == 0 {
		return nil, nil
	}
	told, ok := procedure.BuildGrain(r.Batches[0])
	if !ok {
		return nil, nil
	}
	pr := p.Input.Protocol
	page := grainPage{
		frame: e.frameOf(pr, GrainPath(pr.Name), "sheet", e.say("book.grain.title", "title", pr.Title),
			e.say("book.grain.id", "document", pr.Name), r.Method),
		ProtocolTitle: pr.Title,
		Lead:          e.say("book.grain.lead", "species", p.Species.Common, "generations", p.Grain.Generations),
		Beside:        e.otherPages(pr.Name, GrainPath(pr.Name), local),
		Hazards:       hazards(told),
		Unproven:      safety{procedure.Notice, []safetyText{{e.say("book.grain.unproven"), []string{e.say("book.grain.prove")}}}},
		Given:         e.say("book.grain.given", "days", whole(p.Value("grain_given")), "usual", whole(p.Value("grain_grown_usual")), "wait", whole(p.Value("grain_safety"))),
		Jar:           e.grainJar(r.Batches[0]),
		Stations:      e.grainStations(told),
	}
	for _, b := range r.Batches {
		page.Asks = append(page.Asks, e.grainAsk(b))
	}
	return e.html("grain", page)
}

// lotPart is the part of a lot's mass that the step of its reading must not exceed:
// half of what the drained mass may be off.
const lotPart = 100

// whole is a time in whole days.
func whole(seconds float64) int { return int(unit.Nearest(seconds / unit.Day)) }

func (e Edition) grainAsk(b *batch.Batch) grainAsk {
	name := b.Process.Input.Protocol.Name
	size := e.sizeOf(b)
	out := grainAsk{Sheet: link{local(SheetPath(name, b.Vessels)), size}}
	day := func(d unit.Duration) string { return strconv.Itoa(whole(float64(d))) }
	mass := func(v, part float64) string {
		if v == 0 {
			return e.say("book.none")
		}
		return e.show(b.Reading(v, part))
	}
	out.Rows = append(out.Rows, grainRow{
		Name: e.say("book.grain.plates"), Start: day(b.Plates.Start), Use: day(b.Plates.Ready),
		Jars: e.say("book.grain.pieces.spare", "n", b.Plates.Made, "spare", b.Plates.Made-b.Plates.Needed),
	})
	for i := len(b.Demands) - 1; i >= 0; i-- { // in the order in which they are made
		d := b.Demands[i]
		out.Rows = append(out.Rows, grainRow{
			Name: e.say("book.grain.generation", "n", d.Generation),
			Soak: day(d.Soak), Start: day(d.Start), Use: day(d.Ready),
			Jars: e.say("book.grain.pieces.spare", "n", d.Made, "spare", d.Made-d.Needed), Controls: strconv.Itoa(d.Controls), Runs: strconv.Itoa(d.Runs),
			Dry: mass(d.Grain, lotPart), Drained: mass(d.Drained, lotPart), Chalk: mass(d.Gypsum, batch.PortionPart),
		})
	}
	return out
}

func (e Edition) grainJar(b *batch.Batch) []fact {
	g := b.Process.Grain
	mass := func(name string, part float64) unit.Amount { return b.Reading(b.Value(name), part) }
	share := func(name string) unit.Amount {
		return unit.Amount{Kind: unit.ShareOf, Value: b.Value(name), Digits: 3}
	}
	low, high := b.GrainGaugeReading()
	clock := func(name string) unit.Amount {
		return unit.Amount{Kind: unit.TimeOf, Value: b.Value(name), Unit: "min"}
	}
	return []fact{
		{Name: e.say("book.grain.jar.grain"), Value: e.say("book.grain.jar.grain.is", "grain", g.Of.Name, "dry", mass("grain_in_jar", batch.PortionPart), "own", share("grain_received"))},
		{Name: e.say("book.grain.jar.wet"), Value: e.say("book.grain.jar.wet.is", "wet", mass("grain_wet_in_jar", batch.FinePart), "moisture", share("grain_moisture"))},
		{Name: e.say("book.grain.jar.jar"), Value: e.say("book.grain.jar.jar.is", "jar", g.Into.Name, "filled", share("grain_jar_filled"), "usable", mass("grain_usable", batch.PortionPart))},
		{Name: e.say("book.grain.jar.run"), Value: e.say("book.grain.jar.run.is", "sterilizer", g.In.Name, "low", low, "high", high, "vent", clock("grain_vent"), "hold", clock("grain_hold"))},
	}
}

// grainStations are the stations of the spawn sheet. The cards of a batch's run and
// its troubles are about other vessels and another hold, so no step leads there.
func (e Edition) grainStations(p procedure.Procedure) []station {
	out := e.stations(p)
	for i := range out {
		out[i].Plan = nil
		switch p.Steps[out[i].Steps[0].Number-1].Station {
		case work.Mixing, work.Filling, work.Incubation:
			out[i].Name = e.say("book.grain.station." + string(out[i].Steps[0].Station))
		}
		for j := range out[i].Steps {
			out[i].Steps[j].Cards, out[i].Steps[j].Correct = nil, nil
		}
	}
	return out
}
