package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
)

// record is what a worker fills in with a pen.
type record struct {
	Blanks      []string
	Mixes       []mixTable
	RunCaption  string
	VesselsHead string
	Loads       []loadRow
	Counts      []countRow
}

// mixTable is the weighings of a few mixes side by side.
type mixTable struct {
	ID, Caption string
	Columns     []string
	Rows        []mixRow
	Moisture    figure
}

type mixRow struct {
	Name   string
	Target figure
}

type loadRow struct {
	Name    string
	Vessels string
}

type countRow struct{ Name, Expected string }

// mixesInTable is how many columns for a pen fit beside each other on paper.
const mixesInTable = 4

func (e Edition) record(p procedure.Procedure) record {
	b := p.Batch
	low, high := b.GaugeReading()
	r := record{
		Blanks: []string{
			e.say("book.which.batch_code"), e.say("book.which.printed_on"), e.say("book.which.by"), e.say("book.which.copy"),
		},
		VesselsHead: e.say("book.record.vessels", "vessels", b.Process.Vessel.Many),
		RunCaption: e.say("book.record.run", "sterilizer", b.Process.Sterilizer.Name,
			"low", low, "high", high,
			"vent", unit.Amount{Kind: unit.TimeOf, Value: b.Value("vent")},
			"hold", unit.Amount{Kind: unit.TimeOf, Value: b.Value("hold")}),
		Mixes:  e.mixTables(b),
		Counts: e.counts(b),
	}
	for _, l := range b.Loads {
		r.Loads = append(r.Loads, loadRow{strconv.Itoa(l.Number), strconv.Itoa(l.Vessels)})
	}
	r.Loads = append(r.Loads, loadRow{Name: e.say("book.record.again")})
	return r
}

func (e Edition) mixTables(b *batch.Batch) []mixTable {
	var rows []mixRow
	for _, r := range b.Mix.Rows {
		rows = append(rows, mixRow{e.rowName(r), e.figure(r.Scale.Amount(r.Mass))})
	}
	moisture := e.figure(unit.Amount{Kind: unit.ShareOf, Value: b.Value("moisture_mixed"), Digits: 3})
	var out []mixTable
	for first := 1; first <= b.Mixes; first += mixesInTable {
		last := min(first+mixesInTable-1, b.Mixes)
		t := mixTable{ID: "cap-mixes-" + strconv.Itoa(first), Rows: rows, Moisture: moisture,
			Caption: e.say("book.record.mixes", "first", first, "last", last, "mixes", b.Mixes)}
		if first == last {
			t.Caption = e.say("book.record.one_mix", "first", first, "mixes", b.Mixes)
		}
		for n := first; n <= last; n++ {
			t.Columns = append(t.Columns, e.say("book.record.mix", "n", n))
		}
		out = append(out, t)
	}
	return out
}

// counts are what is counted and weighed after the run.
func (e Edition) counts(b *batch.Batch) []countRow {
	kg := func(id string) string { return e.show(unit.Amount{Kind: unit.MassOf, Value: b.Value(id), Digits: 3}) }
	return []countRow{
		{e.say("book.record.filled"), strconv.Itoa(b.Filled)},
		{e.say("book.record.core"), e.say("book.record.at_most", "most", unit.Amount{Kind: unit.TemperatureOf, Value: b.Value("core_cool_to")})},
		{e.say("book.record.inoculated"), strconv.Itoa(b.Vessels)},
		{e.say("book.record.spawn"), e.say("book.ready.jars", "n", int(b.Value("spawn_jars")))},
		{e.say("book.record.controls"), strconv.Itoa(b.Controls)},
		{e.say("book.record.contaminated"), ""},
		{e.say("book.record.opened"), ""},
		{e.say("book.record.harvest"), e.say("book.record.yield", "low", kg("yield_low"), "usual", kg("yield_usual"), "high", kg("yield_high"))},
		{e.say("book.record.broken"), ""},
	}
}
