package leaf

import (
	"html/template"
	"path"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/record"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// sheet is what a worker follows: on the screen, on paper and in a terminal.
type sheet struct {
	batchFrame
	Others          []link
	Beside          []link // the other pages of the protocol
	WorkedFor       protocol.Message
	Measured        []protocol.Message // moistures of the day
	Hazards         []hazardGroup
	Warnings        []safety // findings about people's safety
	CountsInTheOpen protocol.Message
	AmountsCaption  protocol.Message
	Rows, Totals    []amountRow
	SeveralMixes    bool // else a row is one mass, and no mass times one
	Ready           []ready
	Holds           []hold
	Stations        []station
	Documents       []link      // of this size, beside the sheet
	Record          *recordView // behind a sheet that stands on its own; nil in a book
	Working         string
	Anew            *sizeForm          // by which it is worked out for something else; nil where the book can't
	Given           []protocol.Message // what it was worked out for that is not in the farm's files
	Days            []batchDay         // where somebody gave one
	Refused         []finding          // why there is no sheet
	CallLine        string             // whom to call, in a line; empty where the farm does not say
	ToBook          *toBook
	Batch           BatchOf
	Form            string // how the code of the batch is written by hand
}

type link struct{ Href, Text string }

type hazardGroup struct {
	Signal procedure.Signal
	Lines  []hazardLine
}

type hazardLine struct {
	Text protocol.Message
	Step int // that the hazard belongs to; 0 where there is none
}

// safety is the messages of one signal word that stand together.
type safety struct {
	Signal procedure.Signal
	Texts  []safetyText
}

// safetyText is a hazard, and behind it what it does and how to avoid it.
type safetyText struct {
	Hazard string
	Rest   []string
}

// measured are the moistures that were given for the day or are those of the lots,
// without which nobody could tell later why this sheet's amounts differ from the
// book's.
func measured(p *process.Process) []protocol.Message {
	var out []protocol.Message
	for _, part := range p.Parts {
		if m, ok := p.Input.Measured[part.ID]; ok {
			out = append(out, words.Message("book.measured", "ingredient", part.Name,
				"moisture", unit.Amount{Kind: unit.ShareOf, Value: float64(m)}))
		} else if p.MoistureOfLots(part.ID) {
			out = append(out, words.Message("book.measured.lots", "ingredient", part.Name,
				"moisture", unit.Amount{Kind: unit.ShareOf, Value: p.Ledger.ValueOf("moisture_received", part.ID), Digits: 3}))
		}
	}
	return out
}

// together puts a message to those of the same signal word before it.
func together(list []safety, signal procedure.Signal, text safetyText) []safety {
	if n := len(list); n > 0 && list[n-1].Signal == signal {
		list[n-1].Texts = append(list[n-1].Texts, text)
		return list
	}
	return append(list, safety{signal, []safetyText{text}})
}

type amountRow struct {
	Name      string
	Each, All figure
	Times     string
	Scale     string
	Weighings protocol.Message   // how a mass above the scale's capacity is weighed
	Lots      []protocol.Message // what of it comes from which lot; empty where it is not made from stock
}

type ready struct{ Name, Amount, Sum string }

type hold struct {
	Name, Value protocol.Message
	Step        int
}

type station struct {
	ID, Name string
	When     protocol.Message
	Plan     *plan // where mixing begins; nil where there is one mix
	Steps    []step
}

type step struct {
	procedure.Step
	Safety []safety
	Time   string
	Role   string
	Later  protocol.Message // when, where it differs from the step before
	Prose  template.HTML    // of the author's
	Plain  []string         // the same for a terminal, line by line
	Cards  []link           // for what may be seen here

	Picture *picture    // nil for none
	Correct *correction // what a mix is given that is too dry or too wet; nil for none
}

// Sheet sets the worker's sheet of a batch.
func Sheet(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	return e.html("sheet", e.sheet(p, method))
}

func (e Edition) sheet(p procedure.Procedure, method Method) sheet {
	b := p.Batch
	pr := b.Process.Input.Protocol
	s := sheet{
		batchFrame:      e.frameOfBatch(b, SheetPath(pr.Name, b.Vessels), "sheet", "sheet", method),
		Beside:          e.otherPages(pr.Name, "", local),
		WorkedFor:       e.workedFor(),
		Measured:        measured(b.Process),
		Hazards:         hazards(p),
		Warnings:        e.warnings(b),
		CountsInTheOpen: countsInTheOpen(b),
		AmountsCaption:  words.Message("book.amounts.caption", "mixes", b.Mixes),
		SeveralMixes:    b.Mixes > 1,
		Ready:           e.ready(b),
		Stations:        e.stations(p),
		Documents:       e.documents(b, SheetPath(pr.Name, b.Vessels)),
		Working:         local(WorkingPath(pr.Name, b.Vessels)),
		CallLine:        e.callLine(),
		ToBook:          e.toBookOf(SheetPath(pr.Name, b.Vessels), codeModule),
		Batch:           e.Batch,
		Form:            e.codeForm(pr),
	}
	s.Anew, s.Days, s.Refused = e.sizeForm(b), e.batchDays(b), e.refusals()
	if e.Rescaled != nil {
		s.Given = e.Rescaled.Given
	}
	if s.Anew != nil {
		s.Scripts, s.Policy = append(s.Scripts, RescalePath), withModule(s.Policy)
	}
	for _, n := range slices.Sorted(slices.Values(pr.BatchSizes)) {
		if n != b.Vessels {
			s.Others = append(s.Others, link{local(SheetPath(pr.Name, n)), strconv.Itoa(n)})
		}
	}
	for _, st := range p.Steps {
		if st.Front.ID != "" {
			s.Holds = append(s.Holds, hold{st.FrontOf, st.Front, st.Number})
		}
	}
	s.Rows, s.Totals = e.amounts(b)
	return s
}

// counted is a number of vessels with their name.
func (e Edition) counted(b *batch.Batch, n int) string {
	return e.say("book.counted", "n", n, "vessels", b.Process.Vessel.Called(n))
}

func countsInTheOpen(b *batch.Batch) protocol.Message {
	if b.Good > 0 {
		return words.Message("book.counts_in_the_open.good", "good", b.Good, "grow", b.Vessels, "controls", b.Controls,
			"filled", b.Filled, "vessels", b.Process.Vessel.Many)
	}
	return words.Message("book.counts_in_the_open", "grow", b.Vessels, "controls", b.Controls,
		"filled", b.Filled, "vessels", b.Process.Vessel.Many)
}

// hazards groups the lines up front by signal word, worst first, and points
// each at the first step that carries the same warning.
func hazards(p procedure.Procedure) []hazardGroup {
	var out []hazardGroup
	for _, signal := range []procedure.Signal{procedure.Danger, procedure.Warning, procedure.Caution, procedure.Notice} {
		g := hazardGroup{Signal: signal}
		for _, h := range p.Hazards {
			if h.Signal == signal {
				g.Lines = append(g.Lines, hazardLine{h.Text, stepOf(p, h)})
			}
		}
		if len(g.Lines) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// warnings are the batch's findings about people's safety. What is refused
// never gets this far; what nobody acknowledged stands on the sheet.
func (e Edition) warnings(b *batch.Batch) []safety {
	var out []safety
	for _, f := range b.Findings {
		if !f.Safety || f.Severity < protocol.Warning || f.By != nil {
			continue
		}
		t := safetyText{Hazard: e.Voice.Sentence(f.What)}
		for _, m := range []protocol.Message{f.Why, f.Hint} {
			if m.ID != "" {
				t.Rest = append(t.Rest, e.Voice.Say(m))
			}
		}
		out = together(out, procedure.Warning, t)
	}
	return out
}

// amounts are the rows of the mix and one total for each scale.
func (e Edition) amounts(b *batch.Batch) (rows, totals []amountRow) {
	times := e.say("book.amounts.times", "n", b.Mixes)
	for _, r := range b.Mix.Rows {
		row := amountRow{
			Name: e.rowName(r), Times: times, Scale: r.Scale.Name,
			Each: e.figure(r.Scale.Amount(r.Mass)), All: e.figure(r.Scale.Beside(r.All, r.Mass, e.Voice.Units())),
		}
		if n := len(r.Parts); n > 1 {
			row.Weighings = words.Message("book.amounts.weighings", "n", n, "most", r.Scale.Amount(slices.Max(r.Parts)))
		}
		row.Lots = record.Lots(b, r)
		rows = append(rows, row)
	}
	for _, t := range b.Mix.Totals {
		totals = append(totals, amountRow{
			Name: e.say("book.amounts.total", "scale", t.Scale.Name), Times: times, Scale: t.Scale.Name,
			Each: e.figure(t.Scale.Amount(t.Mass)), All: e.figure(t.Scale.Beside(t.All, t.Mass, e.Voice.Units())),
		})
	}
	return rows, totals
}

func (e Edition) rowName(r batch.Weighing) string {
	if r.ID == batch.Water {
		return e.say("book.water")
	}
	return r.Name
}

// ready is what else has to stand ready.
func (e Edition) ready(b *batch.Batch) []ready {
	p := b.Process
	return []ready{
		{e.say("book.ready.vessels"), e.counted(b, b.Filled), p.Vessel.Name},
		{e.say("book.ready.lids"), e.say("book.ready.lids.count", "n", b.Filled), p.Vessel.Lid},
		{e.say("book.ready.spawn"),
			e.say("book.ready.jars.spare", "n", int(b.Value("spawn_jars")), "spare", int(b.Value("spawn_jars")-b.Value("spawn_jars_needed"))),
			e.say("book.ready.spawn.sum", "mass", b.Reading(b.Value("spawn_with_spare"), batch.FinePart),
				"spare", unit.Amount{Kind: unit.ShareOf, Value: b.Value("spawn_spare")})},
		{p.Sterilizer.Name, e.say("book.ready.loads", "n", len(b.Loads)), e.loads(b)},
	}
}

// stations cuts the steps where the place of work changes.
func (e Edition) stations(p procedure.Procedure) []station {
	var out []station
	var before protocol.Message
	cards := cardsOf(p.Batch)
	for i, st := range p.Steps {
		if i == 0 || st.Station != p.Steps[i-1].Station {
			out = append(out, station{
				ID: "station-" + strconv.Itoa(len(out)+1), Name: e.say("station." + string(st.Station)), When: st.When,
			})
			if st.Station == work.Mixing {
				out[len(out)-1].Plan = e.plan(p.Batch)
			}
			before = st.When
		}
		s := step{Step: st, Role: e.say("role." + string(st.Role)), Cards: e.cardsBeside(p.Batch, st, cards), Prose: e.prose(st.Prose, st.Number, false), Plain: e.proseLines(st.Prose)}
		if e.Voice.Say(st.When) != e.Voice.Say(before) {
			s.Later = st.When
			before = st.When
		}
		if st.ID == work.InspectBore {
			s.Picture = e.borePicture(p.Batch.Process)
		}
		if st.ID == work.CheckMoisture {
			s.Correct = e.correction(p.Batch)
		}
		if st.Time.Value > 0 {
			s.Time = e.stepTime(p.Batch, st)
		}
		for _, m := range st.Safety {
			first, rest := Sentences(e.Voice.Say(m.Text))
			s.Safety = together(s.Safety, m.Signal, safetyText{first, rest})
		}
		last := &out[len(out)-1]
		last.Steps = append(last.Steps, s)
	}
	return out
}

// stepTime is how long a step takes, and on how many days where a batch is
// mixed and sterilized on several: nobody fills 400 bottles in one morning of
// four. From the incubation on, the batch is told as a whole.
func (e Edition) stepTime(b *batch.Batch, st procedure.Step) string {
	said := clock(unit.Duration(st.Time.Value))
	days := daysOf(b)
	if days < 2 || !onWorkDays(st.Station) {
		return e.Voice.Say(said)
	}
	return e.say("book.step.time.days", "time", said, "days", days)
}

// onWorkDays is true for the stations that a load passes on its own day.
func onWorkDays(s work.Station) bool {
	return slices.Contains([]work.Station{work.Starting, work.Mixing, work.Filling, work.Sterilizing, work.Bench}, s)
}

// local is a link between two pages of one protocol: they share a folder.
func local(to string) string { return path.Base(to) }

// stepOf finds the first step that carries the full text, safety.NAME, of a
// line up front, hazard.NAME, or the same caution of the author's.
func stepOf(p procedure.Procedure, h procedure.Safety) int {
	full := "safety." + strings.TrimPrefix(h.Text.ID, "hazard.")
	written := words.Written(h.Text)
	for _, st := range p.Steps {
		for _, s := range st.Safety {
			if s.Text.ID == full || written != "" && words.Written(s.Text) == written {
				return st.Number
			}
		}
	}
	return 0
}
