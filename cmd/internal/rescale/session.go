package rescale

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/run"
	"bottlecrop/cmd/internal/stock"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Session works out the sheets of one protocol, one after another.
type Session struct {
	carried *Carried
	edition leaf.Edition // for sheets
	whole   leaf.Edition // for all documents, once one is asked for
	store   *store
	own     *process.Process            // in the farm's own air, by its own moistures
	last    *batch.Batch                // that there was a sheet of
	plans   map[string]*process.Process // by what of the input changes them
}

// Answer is a document that was worked out.
type Answer struct {
	Page     string            // whole
	Said     string            // what is new, in a sentence
	Fragment string            // of the address that asks for the same; "" where nothing can be worked out
	Links    map[string]string // from addresses of documents of that size, which the book has not, to fragments
	Refused  bool              // the page says why there is no sheet
	Worked   int               // runs that had to be solved, as the book did not have them
}

// Open begins a session with what a book carries, and the catalog of its language
// (words.Catalog), which is empty for the original,
// on the sheet of a size that the book has.
func Open(data []byte, catalog string, printed int) (*Session, error) {
	c, err := decode(data)
	if err != nil {
		return nil, err
	}
	v, err := c.Spoken.Voice(catalog)
	if err != nil {
		return nil, err
	}
	whole := leaf.Edition{
		Farm: c.Farm, Voice: v, Version: c.Program, Folder: c.Folder, AnySize: true, Unreviewed: c.Unreviewed, News: c.News, Past: c.Past,
		Prose: func(markdown string) leaf.Prose { return c.Prose[markdown] },
	}
	e := whole
	e.Only = leaf.SheetTemplates
	if e, err = e.Ready(); err != nil {
		return nil, err
	}
	s := &Session{carried: c, edition: e, whole: whole, store: &store{answers: c.Answers}, plans: map[string]*process.Process{}}
	run.UseStore(s.store)
	if s.own, err = process.Plan(c.input(v)); err != nil {
		return nil, err
	}
	if s.last, err = batch.Compute(s.own, min(max(printed, 1), protocol.MostVessels)); err != nil {
		return nil, err
	}
	return s, nil
}

// Work works out what the fields of a sheet's form ask for, by their names.
func (s *Session) Work(fields url.Values) (Answer, error) {
	a, wrong := s.carried.read(fields)
	return s.answer(a, wrong, fields)
}

// Restore works out what an address asks for.
func (s *Session) Restore(fragment string) (Answer, error) {
	a, wrong := s.carried.parse(fragment)
	return s.answer(a, wrong, nil)
}

// answer sets what is asked for, or says why not. fields are what was written, of a form.
func (s *Session) answer(a Asked, wrong *refusal, fields url.Values) (Answer, error) {
	before := s.store.worked
	var w *worked
	if wrong == nil {
		w, wrong = s.work(a)
	}
	if wrong != nil {
		w = &worked{refused: []protocol.Finding{finding(s.carried, wrong)}}
	}
	e := s.edition
	e.Rescaled = &leaf.Rescaled{Refused: w.refused, Plan: w.plan, Today: s.today(), NotApproved: a.Air != "", Given: w.given}
	if w.refused != nil {
		e.Rescaled.Fields = written(fields, a, s.last.Vessels)
		page, err := leaf.Sheet(e, procedure.Build(s.last), s.carried.Method)
		said := e.Voice.Say(words.Message("rescale.refused.why")) + " " + e.Voice.Say(w.refused[0].What)
		return Answer{Page: string(page), Said: said, Refused: true, Worked: s.store.worked - before}, err
	}
	b := w.batch
	s.last = b
	e.Rescaled.Fields = a.fields(b.Vessels)
	e.Farm = b.Process.Input.Farm // its air is that of the day
	if w.plan != nil {
		e.Batch.Mixed = w.plan.Start.String()
	}
	a.Page = strings.TrimSpace(a.Page)
	e.Rescaled.Mark = mark(s.carried.Method, a)
	var err error
	name := s.carried.Protocol.Name
	at, kind := leaf.SheetPath(name, b.Vessels), a.Page
	links := map[string]string{}
	paths := e.DocumentPaths(b)
	if a.Air == "" { // else the places of its givens would not be where it says
		paths = append(paths, leaf.WorkingPath(name, b.Vessels))
	}
	for _, path := range paths {
		of := a
		if of.Page = kindOf(path, name); path == at {
			of.Page = ""
		}
		links[base(path)] = of.fragment()
		if of.Page == kind && kind != "" {
			at = path
		}
	}
	if kind != "" {
		if s.whole, err = s.whole.Ready(); err != nil {
			return Answer{}, err
		}
		e = s.whole.For(e)
	}
	p := procedure.Build(b)
	page, found, err := leaf.Rescale(e, p, s.carried.Method, at)
	if err != nil {
		return Answer{}, err
	}
	if !found || kind != "" && kindOf(at, name) != kind {
		return s.answer(a, refuse("rescale.other", "found", beginning(kind), "protocol", name), fields)
	}
	said := words.Message("rescale.done", "n", b.Vessels, "vessels", b.Process.Vessel.Called(b.Vessels))
	return Answer{Page: string(page), Said: e.Voice.Say(said), Fragment: a.fragment(), Links: links, Worked: s.store.worked - before}, nil
}

// kindOf is what a document is called in an address: "record" for "enoki-850/record-48.html".
func kindOf(path, name string) string {
	stem := strings.TrimSuffix(strings.TrimPrefix(path, name+"/"), ".html")
	return stem[:max(0, strings.LastIndexByte(stem, '-'))]
}

func base(path string) string { return path[strings.LastIndexByte(path, '/')+1:] }

// mark tells a sheet from those that were worked out for something else: four characters
// of a hash, of the method and of what was asked for.
func mark(m leaf.Method, a Asked) string {
	a.Page = ""
	sum := sha256.Sum256([]byte(m.Full + "\n" + a.fragment()))
	return "+" + hex.EncodeToString(sum[:2])
}

// written are the fields of a form that can't be worked out, as they were written.
func written(fields url.Values, a Asked, vessels int) map[string]string {
	if fields == nil {
		return a.fields(vessels)
	}
	out := map[string]string{}
	for name := range fields {
		out[name] = fields.Get(name)
	}
	return out
}

func finding(c *Carried, r *refusal) protocol.Finding {
	return protocol.Finding{Severity: protocol.Error, Rule: r.what.ID, What: r.what, Hint: r.hint, Subject: c.Protocol.Name}
}

// today is the day that counts as today, where the book was made with one.
func (s *Session) today() *calendar.Date {
	d, err := calendar.Parse(s.carried.Today)
	if err != nil {
		return nil
	}
	return &d
}

// worked is a batch as it was asked for, or why there is none.
type worked struct {
	batch   *batch.Batch
	plan    *calendar.Plan
	given   []protocol.Message
	refused []protocol.Finding
}

// work works out what is asked for.
func (s *Session) work(a Asked) (*worked, *refusal) {
	w := &worked{}
	p, refused := s.process(a, w)
	if refused != nil || w.refused != nil {
		return w, refused
	}
	b, refused := s.batch(p, a, w)
	if refused != nil {
		return nil, refused
	}
	if w.refused = errorsOf(b.Findings); w.refused != nil {
		return w, nil
	}
	w.batch = b
	return w, s.days(b, a, w)
}

// errorsOf lists what is refused by its rules, nil where nothing is.
func errorsOf(list []protocol.Finding) []protocol.Finding {
	out := protocol.Errors(list)
	slices.SortStableFunc(out, func(a, b protocol.Finding) int { return cmp.Compare(a.Rule, b.Rule) })
	return out
}

// process plans what is asked for: the same that was planned before, where only the
// number of vessels or the day is another.
func (s *Session) process(a Asked, w *worked) (*process.Process, *refusal) {
	in := s.carried.input(s.edition.Voice)
	for id, text := range a.Moisture {
		m, wrong := MoistureOfDay(id, text+"%")
		if wrong.ID != "" {
			return nil, &refusal{what: wrong}
		}
		if in.Measured == nil {
			in.Measured = map[string]unit.WetShare{}
		}
		in.Measured[id] = m
	}
	p, err := s.plan(in, Asked{Moisture: a.Moisture})
	if err == nil && a.Air != "" {
		return s.inAir(p, in, a, w)
	}
	if err != nil {
		return nil, refuse("command.failed", "error", err.Error())
	}
	w.refused = errorsOf(p.Findings)
	return p, nil
}

// plansKept is how many plans a session remembers.
const plansKept = 40

// plan plans an input, or remembers the plan of the same.
func (s *Session) plan(in process.Input, of Asked) (*process.Process, error) {
	key := of.fragment()
	if p, ok := s.plans[key]; ok {
		return p, nil
	}
	if len(of.Moisture) == 0 && of.Air == "" {
		return s.own, nil
	}
	p, err := process.Plan(in)
	if err != nil {
		return nil, err
	}
	if len(s.plans) >= plansKept {
		clear(s.plans)
	}
	s.plans[key] = p
	return p, nil
}

// batch is the batch that is asked for.
func (s *Session) batch(p *process.Process, a Asked, w *worked) (*batch.Batch, *refusal) {
	number := a.Vessels
	if a.Short != "" {
		have, err := unit.Parse(unit.MassOf, a.Have)
		if err != nil {
			return nil, refuse("rescale.mass", "found", beginning(a.Have))
		}
		n, err := most(p, a.Short, unit.Mass(have))
		if err != nil {
			return nil, refuse("command.failed", "error", err.Error())
		}
		mass := unit.Amount{Kind: unit.MassOf, Value: have}
		name := p.Names[a.Short]
		if n == 0 {
			return nil, &refusal{words.Message("rescale.nothing", "mass", mass, "ingredient", name), words.Message("rescale.nothing.hint")}
		}
		number = n
		w.given = append(w.given, words.Message("rescale.given.short", "mass", mass, "ingredient", name, "n", n, "vessels", p.Vessel.Called(n)))
	}
	var b *batch.Batch
	var err error
	if a.Good > 0 {
		b, err = batch.ForGood(p, a.Good)
	} else {
		b, err = batch.Compute(p, number)
	}
	if what, hint, known := leaf.Unplanned(err); known {
		return nil, &refusal{what, hint}
	}
	if err != nil {
		return nil, refuse("command.failed", "error", err.Error())
	}
	if a.Short == "" {
		own := words.Message("rescale.given.number", "n", b.Vessels, "vessels", b.Process.Vessel.Called(b.Vessels))
		if a.Good > 0 {
			own = words.Message("rescale.given.good", "n", a.Good)
		}
		w.given = append([]protocol.Message{own}, w.given...)
	}
	return b, nil
}

// plenty is so much of an ingredient that no batch is short of it, kg.
const plenty = 1e9

// most is how many vessels an ingredient is enough for, 0 for none: stock answers that for
// a store that has plenty of everything else.
func most(p *process.Process, short string, have unit.Mass) (int, error) {
	var lots []protocol.Lot
	for _, part := range p.Parts {
		lot := protocol.Lot{ID: part.ID, Ingredient: part.ID, Mass: plenty, ReceivedOn: "2000-01-01"}
		if part.ID == short {
			lot.Mass = have
		}
		lots = append(lots, lot)
	}
	m, err := stock.New(p.Input, stock.Of(protocol.Stock{Format: 1, Lots: lots}))
	if err != nil {
		return 0, err
	}
	return m.Most()
}

// days puts a batch on days, where one is given.
func (s *Session) days(b *batch.Batch, a Asked, w *worked) *refusal {
	if a.Day == "" {
		return nil
	}
	day, err := calendar.Parse(a.Day)
	if err != nil {
		return refuse("command.failed", "error", err.Error())
	}
	open, err := leaf.Workdays(s.carried.Farm)
	if err != nil {
		return refuse("command.failed", "error", err.Error())
	}
	given := words.Message("rescale.given.start", "day", a.Day)
	if a.From == leaf.FromDelivery {
		given = words.Message("rescale.given.due", "day", a.Day)
		w.plan, err = calendar.Backwards(b, open, day, calendar.Usually, s.today())
	} else {
		w.plan, err = calendar.Forwards(b, open, day)
	}
	if what, hint, known := leaf.Unplanned(err); known {
		return &refusal{what, hint}
	}
	if err != nil {
		return refuse("command.failed", "error", err.Error())
	}
	w.given = append(w.given, given)
	return nil
}
