package record

import (
	"slices"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// Lines of the tables that grow as the work goes on (design choice). What does
// not fit goes on a second copy of the record.
const (
	harvestLines   = 6
	deviationLines = 6
)

// harvest is what was picked day by day, and how soon it was cold.
func (m *maker) harvest() Part {
	p := Part{ID: "harvest", Bounds: m.bounds(work.HarvestCrop, work.Trim, work.Chill)}
	t := Table{ID: "harvest", Caption: say("record.harvest", "unit", massUnit(m.b)),
		Heads: heads("day", "date", "picked_from", "picked", "sold", "first_at", "cold_at", "core_at", "initials")}
	for i := range harvestLines {
		t.Rows = append(t.Rows, Row{Name: say("record.n", "n", i+1), Cells: boxes(8), Critical: true})
	}
	sum := make([]Cell, 8)
	sum[1].Box, sum[2].Box, sum[3].Box = true, true, true
	t.Rows = append(t.Rows, Row{Name: say("record.together"), Cells: sum, Sum: true})
	p.Tables = []Table{t}
	return p
}

// massUnit is the unit in which a crop is written down.
func massUnit(b *batch.Batch) string {
	if b.Process.Input.Units.IsUS() {
		return "lb"
	}
	return "kg"
}

// people say whose initials stand on the record, and for how long each role worked.
func (m *maker) people() Part {
	t := Table{ID: "people", Caption: say("record.people"), Heads: heads("role", "names", "initials", "hours")}
	var roles []work.Role
	for _, s := range m.all {
		if !slices.Contains(roles, s.Role) {
			roles = append(roles, s.Role)
			t.Rows = append(t.Rows, Row{Name: say("role." + string(s.Role)), Cells: boxes(3)})
		}
	}
	return Part{ID: "people", Tables: []Table{t}}
}

// washing is what becomes of the vessels.
func (m *maker) washing() Part {
	return Part{ID: "washing", Tables: m.checks("washing", work.Empty, work.Wash, work.InspectVessel, work.Retire)}
}

// sums are the counts, which must come out even, and the yield with its formula.
func (m *maker) sums() Part {
	b := m.b
	counts := Table{ID: "counts", Caption: say("record.counts"), Heads: heads("line", "what", "planned", "counted", "initials")}
	counts.Heads[2].Number = true
	line := func(t *Table, letter, id string, planned Cell, sum bool) {
		t.Rows = append(t.Rows, Row{Name: say("record.text", "text", letter), Sum: sum,
			Cells: append([]Cell{{Text: say(id)}, planned}, boxes(2)...)})
	}
	line(&counts, "A", "record.counts.filled", count(b.Filled), false)
	line(&counts, "B", "record.counts.controls", count(b.Controls), false)
	line(&counts, "C", "record.counts.grow", count(b.Vessels), true)
	line(&counts, "D", "record.counts.lost", Cell{}, false)
	line(&counts, "E", "record.counts.cropped", Cell{}, false)
	line(&counts, "F", "record.counts.sum", count(b.Vessels), true)

	mass := func(name string) unit.Amount {
		return unit.Amount{Kind: unit.MassOf, Value: b.Value(name), Digits: 3, Unit: massUnit(b)}
	}
	share := func(name string) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: b.Value(name), Digits: 2} }
	yield := Table{ID: "yield", Caption: say("record.yield", "unit", massUnit(b)), Heads: heads("line", "what", "planned", "worked_out", "initials")}
	span := func(low, usual, high unit.Amount) Cell {
		return Cell{Text: say("record.span", "low", low, "usual", usual, "high", high)}
	}
	line(&yield, "G", "record.yield.picked", span(mass("yield_low"), mass("yield_usual"), mass("yield_high")), false)
	line(&yield, "H", "record.yield.sold", span(mass("sold_low"), mass("sold_usual"), mass("sold_high")), false)
	line(&yield, "I", "record.yield.dry", Cell{Text: say("record.amount", "amount", mass("dry_in_vessel"))}, false)
	line(&yield, "J", "record.yield.each", span(mass("yield_in_vessel_low"), mass("yield_in_vessel_usual"), mass("yield_in_vessel_high")), false)
	line(&yield, "K", "record.yield.efficiency", span(share("efficiency_low"), share("efficiency_usual"), share("efficiency_high")), true)
	// What one vessel holds is printed, and nobody fills it in.
	yield.Rows[2].Cells[2].Box, yield.Rows[2].Cells[3].Box = false, false

	return Part{ID: "sums", Tables: []Table{counts, yield}, Notes: list("record.yield.how", "record.results")}
}

// deviations are what was not as it should be, and who decided what.
func (m *maker) deviations() Part {
	t := Table{ID: "deviations", Kind: Notes, Caption: say("record.deviations"), Heads: heads("number", "when", "step_no", "was_found", "decided", "who", "initials")}
	for i := range deviationLines {
		t.Rows = append(t.Rows, Row{Name: say("record.n", "n", i+1), Cells: boxes(6)})
	}
	return Part{ID: "deviations", Tables: []Table{t}}
}

// Rules are how the record is filled in; Checks are what the reviewer looks for
// before the record is signed.
func Rules() []protocol.Message {
	return list("record.rule.at_once", "record.rule.ink", "record.rule.wrong", "record.rule.blank", "record.rule.outside", "record.rule.more")
}

// Checks are what the reviewer ticks.
func Checks() []protocol.Message {
	return list("record.review.complete", "record.review.limits", "record.review.sums", "record.review.controls", "record.review.killed", "record.review.lots", "record.review.chart")
}

func list(ids ...string) []protocol.Message {
	var out []protocol.Message
	for _, id := range ids {
		out = append(out, say(id))
	}
	return out
}
