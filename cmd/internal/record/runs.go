package record

import (
	"math"
	"strconv"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// readingsInRow is how many small boxes fit beside each other on paper.
const readingsInRow = 16

// sterilizing has a row for each load, and one for a load that is run again; the
// gauge has a box for each reading of the hold.
func (m *maker) sterilizing() Part {
	p := Part{ID: "sterilizing", Bounds: m.bounds(work.LoadVessels, work.Vent, work.Sterilize, work.PressureOff, work.Unload)}
	b := m.b
	low, high := b.GaugeReading()
	hold := unit.Amount{Kind: unit.TimeOf, Value: b.Value("hold"), Unit: "min"}
	t := Table{ID: "runs", Caption: say("record.runs", "sterilizer", b.Process.Sterilizer.Name, "low", low, "high", high,
		"vent", unit.Amount{Kind: unit.TimeOf, Value: b.Value("vent"), Unit: "min"}, "hold", hold),
		Heads: heads("load", "planned", "counted", "date", "steam_on", "vent_start", "vent_end", "hold_start", "hold_end", "initials")}
	t.Heads[1].Number = true
	row := func(name protocol.Message, planned Cell) {
		t.Rows = append(t.Rows, Row{Name: name, Cells: append([]Cell{planned}, boxes(8)...), Critical: true})
	}
	for i, l := range b.Loads {
		row(m.load(l.Number, b.Runs[i].Day), count(l.Vessels))
	}
	row(say("record.again"), Cell{})
	p.Tables = append([]Table{t}, m.gauge(low, high)...)
	p.Notes = []protocol.Message{say("record.runs.chart")}
	return p
}

// gauge is a box for each reading of the dial during the hold, its start and its
// end among them. A long hold goes on in a second table.
func (m *maker) gauge(low, high unit.Amount) []Table {
	every := procedure.Facts(m.b)["every"].(unit.Amount).Value
	readings := int(unit.Up(m.b.Value("hold")/every)) + 1
	minute := func(i int) int {
		return int(math.Round(math.Min(float64(i)*every, m.b.Value("hold")) / unit.Minute))
	}
	var out []Table
	for first := 0; first < readings; first += readingsInRow {
		last := min(first+readingsInRow, readings)
		t := Table{ID: "gauge-" + strconv.Itoa(first), Kind: Fine, Heads: heads("load"),
			Caption: say("record.gauge", "low", low, "high", high, "from", minute(first), "to", minute(last-1))}
		for i := first; i < last; i++ {
			t.Heads = append(t.Heads, Head{Name: say("record.n", "n", minute(i))})
		}
		for _, l := range m.b.Loads {
			t.Rows = append(t.Rows, Row{Name: say("record.n", "n", l.Number), Cells: boxes(last - first), Critical: true})
		}
		t.Rows = append(t.Rows, Row{Name: say("record.again.short"), Cells: boxes(last - first)})
		out = append(out, t)
	}
	return out
}

// bench is how each load cooled and got its spawn, and from which jars.
func (m *maker) bench() Part {
	b := m.b
	p := Part{ID: "bench", Bounds: m.bounds(work.Cool, work.InspectBore, work.WipeDown, work.Inoculate)}
	t := Table{ID: "bench", Caption: say("record.bench", "samples", m.fact("samples")),
		Heads: heads("load", "out_at", "core", "bad", "plate", "spawn_start", "spawn_end", "spawned", "initials")}
	for i, l := range b.Loads {
		t.Rows = append(t.Rows, Row{Name: m.load(l.Number, b.Runs[i].Day), Cells: boxes(8), Critical: true})
	}
	t.Rows = append(t.Rows, Row{Name: say("record.together"), Cells: append(make([]Cell, 6), boxes(2)...), Sum: true})
	p.Tables = []Table{t, m.spawn()}
	if c := b.Controls; c > 0 {
		p.Notes = []protocol.Message{say("record.controls", "controls", c)}
	}
	return p
}

// Lines for jars of spawn: one each, while they are few; above that one for each
// lot of jars (design choice).
const (
	spawnLinesLeast = 3
	spawnLinesMost  = 10
)

// spawn is which jar or lot went into how many vessels, as the farm's results ask
// for it.
func (m *maker) spawn() Table {
	b, s := m.b, m.b.Process.Input.Protocol.Spawn
	jars := int(b.Value("spawn_jars"))
	t := Table{ID: "spawn", Heads: heads("line", "lot.of", "jars", "generation", "grown_on", "vessels", "date", "initials"),
		Caption: say("record.spawn", "jars", jars, "generation", s.Generation, "age", unit.Amount{Kind: unit.TimeOf, Value: float64(s.AgeMost), Unit: "d"})}
	for i := range max(spawnLinesLeast, min(jars, spawnLinesMost)) {
		t.Rows = append(t.Rows, Row{Name: say("record.n", "n", i+1), Cells: boxes(7)})
	}
	sum := make([]Cell, 7)
	sum[4].Box = true
	t.Rows = append(t.Rows, Row{Name: say("record.together"), Cells: sum, Sum: true})
	return t
}

// killed is the run by which bad vessels are made safe, in which nothing is left
// out however few they are.
func (m *maker) killed() Part {
	p := Part{ID: "killed", Bounds: m.bounds(work.Reject)}
	if _, has := m.steps[work.Reject]; !has {
		return p
	}
	t := Table{ID: "killed", Caption: say("record.killed"),
		Heads: heads("run", "date", "in", "vent_start", "vent_end", "hold_start", "lowest", "hold_end", "out", "initials")}
	for i := range killRuns {
		t.Rows = append(t.Rows, Row{Name: say("record.n", "n", i+1), Cells: boxes(9), Critical: true})
	}
	p.Tables = []Table{t}
	return p
}

// killRuns are lines for runs with bad vessels (design choice).
const killRuns = 3

// fact is a counted fact of the batch.
func (m *maker) fact(name string) int { return procedure.Facts(m.b)[name].(int) }
