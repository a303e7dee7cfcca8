// Package record tells what is written down about one batch with a pen, and what
// hangs on its crates: the blank batch record, the cards and labels, and the
// record of a training with its questions and their right answers. All of it
// follows from a batch and its procedure; nothing is worked out twice.
package record

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// Record is the blank record of a batch, in the order of the work.
type Record struct {
	Batch *batch.Batch
	Parts []Part
}

// Part is what is written down at one time and place.
type Part struct {
	ID     string // "mixing"; its heading is message record.part.ID
	Bounds []Bound
	Tables []Table
	Notes  []protocol.Message // below the tables
}

// Bound is the limit of a step, printed beside the boxes for what was read.
type Bound struct {
	Step     int
	Critical bool
	Title    protocol.Message
	Limit    protocol.Message
}

// Table is printed text and boxes for a pen.
type Table struct {
	ID      string // "mixes-1"
	Caption protocol.Message
	Kind    Kind
	Groups  []Group
	Heads   []Head
	Rows    []Row
}

// Kind is how the columns of a table share its width.
type Kind string

// The kinds: most tables share it as their texts ask for it.
const (
	Plain  Kind = ""
	Fine   Kind = "fine"   // many small boxes
	Losses Kind = "losses" // the same, with names of stages and days
	Limits Kind = "limits" // texts of limits beside three boxes
	Notes  Kind = "notes"  // boxes for whole sentences
)

// Group is a head over several columns; an empty one leaves them bare.
type Group struct {
	Name protocol.Message
	Span int
}

// Head is the head of a column; the first is over the names of the rows.
type Head struct {
	Name   protocol.Message
	Number bool
}

// Row has a cell for each head but the first.
type Row struct {
	Name     protocol.Message
	Notes    []protocol.Message // below the name
	Cells    []Cell
	Critical bool
	Sum      bool
}

// Cell is a printed text, a printed amount, or a box to fill in; all three empty
// is a place where nothing belongs.
type Cell struct {
	Text   protocol.Message
	Amount *unit.Amount
	Number bool
	Box    bool
}

// maker gathers the parts of one record.
type maker struct {
	b     *batch.Batch
	steps map[work.StepID]procedure.Step
	all   []procedure.Step
	told  map[int]bool // steps whose limit stands on the record
}

// Build makes the blank record of a batch that is told as a procedure.
func Build(p procedure.Procedure) Record {
	m := &maker{b: p.Batch, steps: map[work.StepID]procedure.Step{}, all: p.Steps, told: map[int]bool{}}
	for _, s := range p.Steps {
		m.steps[s.ID] = s
	}
	r := Record{Batch: p.Batch}
	add := func(parts ...Part) {
		for _, x := range parts {
			if len(x.Tables) > 0 {
				r.Parts = append(r.Parts, x)
			}
		}
	}
	add(m.goods(), m.tools(), m.people(), m.mixing(), m.filling(), m.sterilizing(), m.bench())
	add(m.climates("incubation", work.Incubate), m.climates("ripening", work.Ripen), m.losses(), m.killed())
	add(m.opening(), m.climates("pinning", work.Pin), m.climates("fruiting", work.Fruit), m.harvest(), m.washing())
	add(m.others())
	add(m.sums(), m.deviations())
	return r
}

// bounds are the limits of those of some steps that the procedure has.
func (m *maker) bounds(ids ...work.StepID) []Bound {
	var out []Bound
	for _, id := range ids {
		if s, ok := m.steps[id]; ok && s.Limit.ID != "" {
			m.told[s.Number] = true
			out = append(out, Bound{s.Number, s.Critical, s.Title, s.Limit})
		}
	}
	return out
}

// checks is a table of the limits of some steps, each with boxes for what was
// read, when and by whom.
func (m *maker) checks(id string, steps ...work.StepID) []Table {
	var list []procedure.Step
	for _, x := range steps {
		if s, ok := m.steps[x]; ok && s.Limit.ID != "" {
			list = append(list, s)
		}
	}
	return m.checksOf(id, list)
}

func (m *maker) checksOf(id string, steps []procedure.Step) []Table {
	if len(steps) == 0 {
		return nil
	}
	t := Table{ID: id, Kind: Limits, Caption: say("record.checks", "first", steps[0].Number, "last", steps[len(steps)-1].Number), Heads: heads("step", "must", "found", "when", "initials")}
	for _, s := range steps {
		m.told[s.Number] = true
		t.Rows = append(t.Rows, Row{
			Name: say("record.step", "n", s.Number, "title", s.Title), Critical: s.Critical,
			Cells: append([]Cell{{Text: s.Limit}}, boxes(3)...),
		})
	}
	return []Table{t}
}

// others are the critical limits that no other part has: those of a farm's own
// steps, should one be critical.
func (m *maker) others() Part {
	var left []procedure.Step
	for _, s := range m.all {
		if s.Critical && !m.told[s.Number] && s.Limit.ID != "" {
			left = append(left, s)
		}
	}
	return Part{ID: "others", Tables: m.checksOf("others", left)}
}

// say makes a message.
func say(id string, pairs ...any) protocol.Message { return words.Message(id, pairs...) }

// heads are columns by the ends of their messages' ids.
func heads(names ...string) []Head {
	var out []Head
	for _, n := range names {
		out = append(out, Head{Name: say("record.head." + n)})
	}
	return out
}

func boxes(n int) []Cell {
	out := make([]Cell, n)
	for i := range out {
		out[i].Box = true
	}
	return out
}

// count is a printed number.
func count(n int) Cell { return Cell{Text: say("record.n", "n", n), Number: true} }

// amount is a printed amount in a column of figures.
func amount(a unit.Amount) Cell { return Cell{Amount: &a, Number: true} }
