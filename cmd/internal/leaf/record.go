package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
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
	Loads       []loadHead // over the columns; empty where there is one load
	Columns     []string
	Rows        []mixRow
	Moisture    figure
}

// loadHead stands over the columns of the mixes of one load.
type loadHead struct {
	Name string
	Span int
}

type mixRow struct {
	Name   string
	Target figure
	Lots   []protocol.Message // from which it is taken; empty where it is not made from stock
}

type loadRow struct {
	Name    string
	Vessels string
}

type countRow struct{ Name, Expected string }

// mixesInTable is how many columns for a pen fit beside each other on paper.
const mixesInTable = 5

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
		rows = append(rows, mixRow{e.rowName(r), e.figure(r.Scale.Amount(r.Mass)), e.lots(b, r)})
	}
	moisture := e.figure(unit.Amount{Kind: unit.ShareOf, Value: b.Value("moisture_mixed"), Digits: 3})
	var out []mixTable
	for _, c := range columns(b) {
		first, last := c[0].mix, c[len(c)-1].mix
		t := mixTable{ID: "cap-mixes-" + strconv.Itoa(first), Rows: rows, Moisture: moisture,
			Caption: e.say("book.record.mixes", "first", first, "last", last, "mixes", b.Mixes)}
		if first == last {
			t.Caption = e.say("book.record.one_mix", "first", first, "mixes", b.Mixes)
		}
		for i, x := range c {
			t.Columns = append(t.Columns, e.say("book.record.mix", "n", x.mix))
			switch {
			case len(b.Loads) == 1:
			case i > 0 && c[i-1].run.Load == x.run.Load:
				t.Loads[len(t.Loads)-1].Span++
			default:
				t.Loads = append(t.Loads, loadHead{e.loadOf(b, x.run), 1})
			}
		}
		out = append(out, t)
	}
	return out
}

// column is one mix of the record.
type column struct {
	mix int
	run batch.Run
}

// columns shares the mixes out to tables. The mixes of a load stay together, as
// long as they fit into one.
func columns(b *batch.Batch) [][]column {
	var out [][]column
	var table []column
	for _, r := range b.Runs {
		if len(table)+len(r.Water) > mixesInTable && len(table) > 0 {
			out, table = append(out, table), nil
		}
		for j := range r.Water {
			if len(table) == mixesInTable {
				out, table = append(out, table), nil
			}
			table = append(table, column{r.First + j, r})
		}
	}
	return append(out, table)
}

func (e Edition) loadOf(b *batch.Batch, r batch.Run) string {
	if daysOf(b) > 1 {
		return e.say("book.record.load_on", "load", r.Load, "day", r.Day)
	}
	return e.say("book.record.load_of", "load", r.Load)
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
