package procedure

import (
	"math"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// draft is a step before it is told for a batch: which sentences it has. Where
// it is done, by whom, and which protocols have it, is known to package work.
// Where a list of sentences is empty, the step has the one usual sentence,
// "step.<id>.title" and so on.
type draft struct {
	id       work.StepID
	grain    bool // a step of the spawn sheet alone: its sentences are "grain.<id>.title" and so on
	critical bool
	time     func(*teller) float64  // s; nil is the hands-on time of package work
	amounts  func(*teller) []Amount // nil is none
	safety   []line                 // hazards, by name
	title    []line                 // the first that holds
	when     []line                 // the first that holds
	do       []line                 // all that hold
	limit    []line                 // the first that holds
	check    []line                 // the first that holds
	off      []line                 // the first that holds
	why      []line                 // the first that holds
	wrong    []line                 // the first that holds
	ask      []line                 // the first that holds
	answer   []line                 // the first that holds
	more     []line                 // all that hold, to ask besides: "ask.<id>" and "answer.<id>"
	looks    func(*teller) []Look   // nil is none
}

// line is one sentence of a step, said where its condition holds.
type line struct {
	id   string // the end of the message's id: "do.1"
	when condition
}

// chain is the whole cycle in its order.
func chain() []draft {
	var out []draft
	for _, part := range [][]draft{receiving, mixing, filling, sterilizing, bench, growing, opening, finishing} {
		out = append(out, part...)
	}
	return out
}

// Build tells a batch as a procedure. The batch must be free of errors: what
// could not be worked out cannot be told. The sentences are to be said in the
// units of the batch's input, because the steps to which its figures are
// rounded are those of instruments in these units.
func Build(b *batch.Batch) Procedure {
	t := newTeller(b)
	p := Procedure{Batch: b}
	met, told := map[string]bool{}, map[string]bool{}
	var station work.Station
	book := map[work.StepID]draft{}
	for _, d := range chain() {
		book[d.id] = d
	}
	for _, planned := range t.process.Steps() {
		if planned.Station != station || work.DaysApart(planned.Station) {
			station, told = planned.Station, map[string]bool{}
		}
		d := book[planned.ID]
		s := t.step(planned, d, told)
		s.Number = len(p.Steps) + 1
		p.Steps = append(p.Steps, s)
		for _, l := range d.safety {
			met[l.id] = met[l.id] || t.holds(l.when)
		}
	}
	for _, h := range hazards {
		// A notice is about things, not people, and stands at its step; but who
		// wins over the sheet is said up front.
		if met[h.name] && (h.signal != Notice || h.name == "manual") {
			p.Hazards = append(p.Hazards, Safety{h.signal, t.say("hazard." + h.name)})
		}
	}
	p.Hazards = worstFirst(append(p.Hazards, t.cautionsUpFront()...))
	return p
}

// teller tells the steps of one batch.
type teller struct {
	batch    *batch.Batch
	process  *process.Process
	protocol protocol.Protocol
	setting  work.Setting
	facts    map[string]any
}

func newTeller(b *batch.Batch) *teller {
	t := &teller{
		batch: b, process: b.Process, protocol: b.Process.Input.Protocol, setting: b.Process.Setting(), facts: map[string]any{},
	}
	t.gather()
	return t
}

// say makes a message with the facts that its sentence names, and more of the
// caller's own in pairs of name and value. A sentence that names a fact which
// this batch does not have is a programmer's error and panics.
func (t *teller) say(id string, more ...any) protocol.Message {
	m := words.Message(id, more...)
	for _, a := range words.Arguments(id) {
		name, _, _ := strings.Cut(a, ":")
		if _, given := m.Args[name]; given {
			continue
		}
		fact, ok := t.facts[name]
		if !ok {
			panic("procedure: message " + id + " wants " + name + ", which this batch does not have")
		}
		if m.Args == nil {
			m.Args = map[string]any{}
		}
		m.Args[name] = fact
	}
	return m
}

func (t *teller) holds(c condition) bool { return c == nil || c(t) }

// tell tells one of the book's steps. A caution stands in full at the first step of a station
// where it holds, and in one line at the steps after that: a page of repeated
// boxes is a page that nobody reads. Where the steps of a station are days
// apart, each has it in full. Told keeps what the station has had.
func (t *teller) tell(d draft, told map[string]bool) Step {
	id := "step." + string(d.id) + "."
	if d.grain {
		id = "grain." + string(d.id) + "."
	}
	s := Step{
		Critical: d.critical,
		Title:    t.first(id, d.title, "title"),
		When:     t.first(id, d.when, "when"),
		Limit:    t.first(id, d.limit, "limit"),
		Check:    t.first(id, d.check, "check"),
		IfOff:    t.first(id, d.off, "off"),
		Why:      t.first(id, d.why, "why"),
		Wrong:    t.first(id, d.wrong, "wrong"),
		Ask:      t.first(id, d.ask, "ask"),
		Answer:   t.first(id, d.answer, "answer"),
	}
	for _, h := range hazards { // the worst first
		for _, l := range d.safety {
			if l.id == h.name && t.holds(l.when) {
				text := "safety." + h.name
				if told[h.name] {
					text = "hazard." + h.name
				}
				told[h.name] = true
				s.Safety = append(s.Safety, Safety{h.signal, t.say(text)})
			}
		}
	}
	// What a worker who reads the first page alone must keep to.
	if front := id + "front"; words.Known(front) {
		s.Front, s.FrontOf = t.say(front), t.say(front+".of")
	}
	if d.amounts != nil {
		s.Amounts = d.amounts(t)
	}
	if d.looks != nil {
		s.Looks, s.LooksOf = d.looks(t), t.say(id+"looks")
	}
	for _, l := range d.more {
		if t.holds(l.when) {
			s.More = append(s.More, Question{t.asked(id+"ask.", l.id), t.say(id + "answer." + l.id)})
		}
	}
	for _, l := range d.do {
		if t.holds(l.when) {
			s.Do = append(s.Do, t.say(id+l.id))
		}
	}
	return s
}

// asked is a question of which there are several answers: the question for
// "crate.outside" is that for "crate" where it has none of its own.
func (t *teller) asked(id, name string) protocol.Message {
	if whole := id + name; words.Known(whole) {
		return t.say(whole)
	}
	name, _, _ = strings.Cut(name, ".")
	return t.say(id + name)
}

// first says the first of several sentences that holds.
func (t *teller) first(id string, lines []line, usual string) protocol.Message {
	for _, l := range lines {
		if t.holds(l.when) {
			return t.say(id + l.id)
		}
	}
	return t.say(id + usual)
}

// time is a step's time for the whole batch, to 5 min up to ten hours and to
// half an hour above. Controls take as long as the rest, but for spawn and growing.
func (t *teller) time(planned process.Step, d draft) unit.Amount {
	s := t.batch.StepTime(planned)
	if d.time != nil {
		s = d.time(t)
	}
	a := unit.Amount{Kind: unit.TimeOf, Step: 5 * unit.Minute, Unit: "min"}
	if s > 10*unit.Hour {
		a.Step, a.Unit = unit.Hour/2, "h"
	}
	a.Value = math.Max(a.Step, unit.Nearest(s/a.Step)*a.Step)
	return a
}
