package record

import (
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// stage is a stage of the batch, if its protocol has it.
func (m *maker) stage(id string) (process.Stage, bool) {
	for _, s := range m.b.Process.Stages {
		if s.ID == id {
			return s, true
		}
	}
	return process.Stage{}, false
}

// opened is the usual day after the spawn on which a vessel is opened.
func (m *maker) opened() int { return m.fact("open_on") }

// climates is the log of the air in a stage, day by day up to its longest, in two
// halves beside each other. Between the vessels of the warmest stack it is read
// while they heat themselves.
func (m *maker) climates(id string, step work.StepID) Part {
	p := Part{ID: id, Bounds: m.bounds(step)}
	s, has := m.stage(id)
	if !has {
		return p
	}
	temperature := "°C"
	if m.b.Process.Input.Units.IsUS() {
		temperature = "°F"
	}
	read := []protocol.Message{say("record.head.air", "unit", temperature)}
	if step == work.Incubate {
		read = append(read, say("record.head.stack", "unit", temperature))
	}
	read = append(read, say("record.head.humidity"), say("record.head.co2"), say("record.head.initials"))
	days := process.WholeDays(s.Longest)
	half := (days + 1) / 2
	t := Table{ID: "air-" + id, Kind: Fine, Caption: say("record.air", "shortest", process.WholeDays(s.Shortest),
		"usual", process.WholeDays(s.Usual), "longest", days)}
	for range 2 {
		t.Heads = append(t.Heads, heads("day")...)
		for _, r := range read {
			t.Heads = append(t.Heads, Head{Name: r})
		}
	}
	for day := 1; day <= half; day++ {
		r := Row{Name: say("record.n", "n", day), Cells: boxes(len(read))}
		if second := day + half; second <= days {
			r.Cells = append(append(r.Cells, Cell{Text: say("record.n", "n", second)}), boxes(len(read))...)
		} else {
			r.Cells = append(r.Cells, make([]Cell, 1+len(read))...)
		}
		t.Rows = append(t.Rows, r)
	}
	p.Tables = []Table{t}
	return p
}

// moment is one line of the losses: a stage of protocol.Stages, and the day of a
// look or 0.
type moment struct {
	at  string
	day int
}

// moments are when vessels are found to be lost, in order: a line for each look,
// and one to spare in each stage that lasts.
func (m *maker) moments() []moment {
	_, ripens := m.stage("ripening")
	first, _ := m.stage("incubation")
	incubated := process.WholeDays(first.Usual)
	looks := map[string][]int{}
	for _, day := range work.Looks(m.opened()) {
		at := "incubation"
		if ripens && day > incubated {
			at = "ripening"
		}
		looks[at] = append(looks[at], day)
	}
	var out []moment
	for _, at := range protocol.Stages {
		switch at {
		case "ripening":
			if !ripens {
				continue
			}
		case "pinning", "fruiting":
			if _, has := m.stage(at); !has {
				continue
			}
			out = append(out, moment{at, 0})
		}
		for _, day := range looks[at] {
			out = append(out, moment{at, day})
		}
		out = append(out, moment{at, 0})
	}
	return out
}

// losses has a column for each reason and a line for each look, so that each
// filled box is one entry of the farm's results: how many, at which stage, why, on
// which day.
func (m *maker) losses() Part {
	p := Part{ID: "losses", Bounds: m.bounds(work.Inspect)}
	t := Table{ID: "losses", Kind: Losses, Caption: say("record.losses"), Heads: heads("at", "date")}
	for _, why := range protocol.Reasons {
		t.Heads = append(t.Heads, Head{Name: say("book.results.why." + why)})
	}
	t.Heads = append(t.Heads, heads("where", "initials")...)
	columns := len(t.Heads) - 1
	for _, x := range m.moments() {
		name := say("record.at", "stage", say("book.results.at."+x.at))
		if x.day > 0 {
			name = say("record.at.day", "stage", say("book.results.at."+x.at), "day", x.day)
		}
		t.Rows = append(t.Rows, Row{Name: name, Cells: boxes(columns)})
	}
	sum := make([]Cell, columns)
	for i := range protocol.Reasons {
		sum[1+i].Box = true
	}
	t.Rows = append(t.Rows, Row{Name: say("record.together"), Cells: sum, Sum: true})
	p.Tables = []Table{t}
	p.Notes = []protocol.Message{say("record.losses.where"), say("record.losses.washing")}
	return p
}

// opening is what is done to each vessel once it is ripe.
func (m *maker) opening() Part {
	p := Part{ID: "opening", Tables: m.checks("opening", work.Open, work.EarlyFruit, work.Scrape, work.Wet, work.Cover, work.FitCollar)}
	t := Table{ID: "opened", Caption: say("record.opened", "day", m.opened()), Heads: heads("what", "planned", "found", "when", "initials"),
		Rows: []Row{{Name: say("record.opened.count"), Cells: append([]Cell{count(m.b.Vessels)}, boxes(3)...)}}}
	t.Heads[1].Number = true
	if c := m.b.Controls; c > 0 {
		t.Rows = append(t.Rows, Row{Name: say("record.opened.controls"), Cells: append([]Cell{count(c)}, boxes(3)...)})
	}
	p.Tables = append([]Table{t}, p.Tables...)
	return p
}
