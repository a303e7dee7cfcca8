package leaf

import (
	"fmt"
	"html/template"
	"path"

	"bottlecrop/cmd/internal/protocol"
)

// FacingPath is the sheet in the book's first language and that of a tag, side by side.
func FacingPath(name, tag string, vessels int) string {
	return ofSize(name, "facing-"+tag, vessels)
}

// facing is the sheet for a crew of two languages: step by step side by side, with
// one heading, one number and one box to tick for both.
type facing struct {
	batchFrame
	Documents    []link
	SheetKind    both
	Sheet        both // the heading
	Lead         both
	Which        []whichRow
	StandingToo  *half // that nobody may work from it, in the second language
	HazardsTitle both
	Hazards      both
	ReadyTitle   both
	Counts       both
	Ready        both
	Stations     []facingStation
}

// both is the same in the two languages of a page: the first is that of the page.
type both struct{ First, Second half }

// half is what a page has in one language.
type half struct {
	Tag  string // BCP 47
	Text template.HTML
}

// whichRow is a line of the title block: what is said once for both languages has no
// second, and what is filled in by hand has neither.
type whichRow struct {
	Of            both
	First, Second *half
}

type facingStation struct {
	ID    string
	Name  both
	When  *both // nil where it is not said
	Plan  *both // nil where there is one mix
	Steps []facingStep
}

type facingStep struct {
	Number   int
	Cautions *both // nil for none
	Title    both
	Who      both // how long it takes, and whose work it is
	Told     both
	Done     both // what a screen reader says of the box
}

// pairing sets what two editions say of the same.
type pairing struct {
	first, second Edition
	bring         Binding // what a part of a page of the second is here
	err           error
}

// Facing sets the sheet of a batch in two languages, side by side. The second has to
// be the same batch as the first.
func Facing(first, second Told) ([]byte, error) {
	e, p := first.Edition, first.Procedure
	b := p.Batch
	name := b.Process.Input.Protocol.Name
	x := &pairing{first: e, second: second.Edition, bring: bringing(second.Edition, name, second.Edition.Voice.Tag()+"-")}
	x.bring.Flat = true
	here := FacingPath(name, x.second.Voice.Tag(), b.Vessels)
	a, z := e.sheet(p, first.Method), x.second.sheet(second.Procedure, second.Method)
	if err := sameSteps(a, z); err != nil {
		return nil, fmt.Errorf("%s: %w", here, err)
	}
	page := facing{
		batchFrame:   e.frameOfBatch(b, here, "facing", "facing", first.Method, x.languages()...),
		Documents:    e.documents(b, here),
		SheetKind:    x.said("book.sheet.kind"),
		Sheet:        both{x.half(e, headed(e.Voice, a.ProtocolTitle, a.Size, a.Many)), x.half(x.second, headed(x.second.Voice, z.ProtocolTitle, z.Size, z.Many))},
		Lead:         x.said("book.facing.lead"),
		HazardsTitle: x.said("book.hazards"),
		Hazards:      x.set("hazards-told", a, z),
		ReadyTitle:   x.said("book.ready"),
		Counts:       x.messages(a.CountsInTheOpen, z.CountsInTheOpen),
		Ready:        x.set("ready-told", a, z),
	}
	page.joined(x, z.batchFrame, SheetPath(name, b.Vessels))
	if z.NotInForce != "" || z.StandingWhy != "" || z.Unreviewed != "" {
		standing := x.brought("standing", z)
		page.StandingToo = &standing
	}
	once := func(text string) *half { h := x.half(e, plain(text)); return &h }
	worked := x.messages(a.WorkedFor, z.WorkedFor)
	page.Which = []whichRow{
		{x.said("book.which.document"), once(page.ID), nil},
		{x.said("book.which.fingerprint"), once(page.Fingerprint), nil},
		{x.said("book.which.worked_for"), &worked.First, &worked.Second},
		{Of: x.said("book.which.batch_code")}, {Of: x.said("book.which.printed")}, {Of: x.said("book.which.copy")},
	}
	for i, st := range a.Stations {
		page.Stations = append(page.Stations, x.station(st, z.Stations[i]))
	}
	if x.err != nil {
		return nil, x.err
	}
	return e.html("facing", page)
}

// joined is what the frame of a page in two languages has of both: at the head of each
// sheet of paper, that nobody may work from it, and the foot. Its links to other
// languages lead to a page that is in one alone.
func (f *batchFrame) joined(x *pairing, second batchFrame, alone string) {
	f.Tongues = x.first.tongues(alone)
	first := f.Standing
	if first != "" {
		f.Standing += " / " + second.Standing
	}
	if f.marginal == "" {
		f.marginal = second.marginal
	}
	f.foot(x.first)
	f.Standing = first // the page says the other beside it
	foot := x.brought("foot-told", second)
	f.FootToo = &foot
}

// bringing is how parts of the pages of another edition of a protocol come to one of
// the first.
func bringing(e Edition, name, prefix string) Binding {
	from := "."
	if e.Folder != "" {
		from = path.Join("..", e.Folder, name)
	}
	return Binding{Prefix: prefix, From: from}
}

// sameSteps refuses two sheets that do not tell the same steps: halves that drift
// apart would be worse than none.
func sameSteps(a, z sheet) error {
	if len(a.Stations) != len(z.Stations) {
		return fmt.Errorf("leaf: %d stations face %d", len(a.Stations), len(z.Stations))
	}
	for i, st := range a.Stations {
		if len(st.Steps) != len(z.Stations[i].Steps) {
			return fmt.Errorf("leaf: %d steps face %d", len(st.Steps), len(z.Stations[i].Steps))
		}
		for j, s := range st.Steps {
			other := z.Stations[i].Steps[j]
			if s.ID != other.ID || s.Number != other.Number || len(s.Safety) != len(other.Safety) || len(s.Do) != len(other.Do) {
				return fmt.Errorf("leaf: step %d (%s) faces step %d (%s), of another form", s.Number, s.ID, other.Number, other.ID)
			}
		}
	}
	return nil
}

// languages are the names of the two, each in its own, and their tags, as arguments of
// a message.
func (x *pairing) languages() []any {
	return []any{"first", x.first.say("language.name"), "second", x.second.say("language.name"), "tags", x.first.Voice.Tag() + "/" + x.second.Voice.Tag()}
}

func (x *pairing) half(e Edition, text template.HTML) half { return half{e.Voice.Tag(), text} }

// said is a message of the book's own in both languages.
func (x *pairing) said(id string, pairs ...any) both {
	return both{x.half(x.first, plain(x.first.say(id, pairs...))), x.half(x.second, plain(x.second.say(id, pairs...)))}
}

// messages are two messages, one for each language; they may name things that have
// other names in the other.
func (x *pairing) messages(a, z protocol.Message) both {
	return both{x.half(x.first, plain(x.first.Voice.Say(a))), x.half(x.second, plain(x.second.Voice.Say(z)))}
}

// set fills a block of the sheet's own templates for each language.
func (x *pairing) set(block string, a, z any) both {
	first, err := x.first.html(block, a)
	x.failed(err)
	return both{x.half(x.first, template.HTML(first)), x.brought(block, z)}
}

// brought fills a block in the second language, for a page of the first.
func (x *pairing) brought(block string, data any) half {
	part, err := x.second.html(block, data)
	x.failed(err)
	return x.half(x.second, taken().Part(x.bring, part))
}

func (x *pairing) failed(err error) {
	if x.err == nil {
		x.err = err
	}
}

func (x *pairing) station(a, z station) facingStation {
	out := facingStation{ID: a.ID, Name: both{x.half(x.first, plain(a.Name)), x.half(x.second, plain(z.Name))}}
	if a.When.ID != "" {
		when := x.messages(a.When, z.When)
		out.When = &when
	}
	if a.Plan != nil {
		plan := x.set("plan-told", a.Plan, z.Plan)
		out.Plan = &plan
	}
	for i, s := range a.Steps {
		other := z.Steps[i]
		step := facingStep{
			Number: s.Number,
			Title:  x.messages(s.Title, other.Title),
			Who:    both{x.half(x.first, x.first.who(s)), x.half(x.second, x.second.who(other))},
			Told:   x.set("step-told", s, other),
			Done:   x.said("book.step.done", "n", s.Number),
		}
		if len(s.Safety) > 0 {
			cautions := x.set("cautions-told", s, other)
			step.Cautions = &cautions
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// who is how long a step takes, where that is known, and whose work it is.
func (e Edition) who(s step) template.HTML {
	if s.Time == "" {
		return plain(s.Role)
	}
	return plain(e.say("shape.list", "before", s.Time, "last", s.Role))
}
