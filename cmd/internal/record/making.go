package record

import (
	"strconv"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// Lots say what of a row of the mix comes from which lot of the stock, in the
// units of the batch's input; it is empty where the batch is not made from stock.
func Lots(b *batch.Batch, r batch.Weighing) []protocol.Message {
	var out []protocol.Message
	for _, p := range r.Portions {
		if p.Lot == "" {
			continue // a sheet for which the stock is short is not made
		}
		id, args := "book.lot", []any{"lot", p.Lot, "received", p.ReceivedOn, "mass", r.Scale.Amount(p.Mass)}
		if b.Mixes > 1 {
			id, args = "book.lot.several", append(args, "all", r.Scale.Beside(p.All, p.Mass, b.Process.Input.Units))
		}
		out = append(out, say(id, args...))
	}
	return out
}

// rowName is what a row of the mix is called.
func rowName(r batch.Weighing) protocol.Message {
	if r.ID == batch.Water {
		return say("book.water")
	}
	return say("record.text", "text", r.Name)
}

// goods are the lots of what goes in, with the amounts of the whole batch.
func (m *maker) goods() Part {
	t := Table{ID: "goods", Caption: say("record.goods"), Heads: heads("ingredient", "all", "lot", "came", "lot.2", "initials")}
	t.Heads[1].Number = true
	for _, r := range m.b.Mix.Rows {
		if r.ID == batch.Water {
			continue
		}
		t.Rows = append(t.Rows, Row{Name: rowName(r), Notes: Lots(m.b, r),
			Cells: append([]Cell{amount(r.Scale.Beside(r.All, r.Mass, m.b.Process.Input.Units))}, boxes(4)...)})
	}
	return Part{ID: "goods", Tables: []Table{t}}
}

// tools are the checks at the start of each day at the mixer and the sterilizer.
func (m *maker) tools() Part {
	p := Part{ID: "tools", Bounds: m.bounds(work.StartShift)}
	if len(p.Bounds) == 0 {
		return p
	}
	t := Table{ID: "tools", Caption: say("record.tools"), Heads: heads("day", "date", "found", "time", "initials", "checked")}
	for day := range int(m.b.Value("days_needed")) {
		t.Rows = append(t.Rows, Row{Name: say("record.day", "n", day+1), Cells: boxes(5)})
	}
	p.Tables = []Table{t}
	return p
}

// mixesInTable is how many columns for a pen fit beside each other on paper.
const mixesInTable = 5

// mixing is what was weighed for each mix, and what its sample read.
func (m *maker) mixing() Part {
	p := Part{ID: "mixing", Bounds: m.bounds(work.Weigh, work.MixSubstrate, work.CheckMoisture)}
	b := m.b
	moisture := unit.Amount{Kind: unit.ShareOf, Value: b.Value("moisture_mixed"), Digits: 3}
	for _, c := range columns(b) {
		first, last := c[0].mix, c[len(c)-1].mix
		t := Table{ID: "mixes-" + strconv.Itoa(first), Heads: heads("ingredient", "target"),
			Caption: say("record.mixes", "first", first, "last", last, "mixes", b.Mixes)}
		t.Heads[1].Number = true
		if first == last {
			t.Caption = say("record.one_mix", "first", first, "mixes", b.Mixes)
		}
		if len(b.Loads) > 1 {
			t.Groups = []Group{{Span: 1}, {Span: 1}}
		}
		for i, x := range c {
			t.Heads = append(t.Heads, Head{Name: say("record.mix", "n", x.mix)})
			switch {
			case len(b.Loads) == 1:
			case i > 0 && c[i-1].run.Load == x.run.Load:
				t.Groups[len(t.Groups)-1].Span++
			default:
				t.Groups = append(t.Groups, Group{m.load(x.run.Load, x.run.Day), 1})
			}
		}
		row := func(name protocol.Message, target Cell) Row {
			return Row{Name: name, Cells: append([]Cell{target}, boxes(len(c))...)}
		}
		for _, r := range b.Mix.Rows {
			x := row(rowName(r), amount(r.Scale.Amount(r.Mass)))
			x.Notes = Lots(b, r)
			t.Rows = append(t.Rows, x)
		}
		t.Rows = append(t.Rows, row(say("record.water_at"), Cell{}), row(say("record.moisture"), amount(moisture)),
			row(say("record.added"), Cell{}), row(say("record.head.initials"), Cell{}), row(say("record.head.checked"), Cell{}))
		p.Tables = append(p.Tables, t)
	}
	return p
}

// load names a load, with its day where there are several.
func (m *maker) load(load, day int) protocol.Message {
	if m.b.Value("days_needed") > 1 {
		return say("record.load_on", "load", load, "day", day)
	}
	return say("record.load", "load", load)
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

// weighedInRow is how many weighings stand in a row of the table.
const weighedInRow = 10

// filling has a box for each vessel that is weighed once more.
func (m *maker) filling() Part {
	p := Part{ID: "filling", Bounds: m.bounds(work.FillVessels)}
	oneIn := m.fact("one_in")
	n := (m.b.Filled + oneIn - 1) / oneIn
	t := Table{ID: "weights", Kind: Fine, Caption: say("record.weights", "n", n, "filled", m.b.Filled, "vessels", m.b.Process.Vessel.Many),
		Heads: []Head{{Name: say("record.head.number")}}}
	for i := range min(n, weighedInRow) {
		t.Heads = append(t.Heads, Head{Name: say("record.n", "n", i+1)})
	}
	t.Heads = append(t.Heads, heads("initials")...)
	for first := 0; first < n; first += weighedInRow {
		here := min(weighedInRow, n-first)
		r := Row{Name: say("record.from_to", "first", first+1, "last", first+here), Cells: boxes(here)}
		if here == 1 {
			r.Name = say("record.n", "n", first+1)
		}
		r.Cells = append(r.Cells, make([]Cell, min(n, weighedInRow)-here)...)
		r.Cells = append(r.Cells, boxes(1)...)
		t.Rows = append(t.Rows, r)
	}
	p.Tables = append([]Table{t}, m.checks("holes", work.BoreHoles, work.Cap)...)
	return p
}
