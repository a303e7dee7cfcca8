package leaf

import (
	"errors"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Files of a book with which its sheets are worked out for any number in the page.
const (
	ModulePath  = "look/module.js" // the program's part that does it, once in a book
	RescalePath = "look/rescale.js"
	WordsPath   = "look/words.js" // the catalog of the page's language, which the module has not
)

// CarriedPath is what the book carries of a protocol for that.
func CarriedPath(name string) string { return name + "/carried.js" }

// SheetTemplates are those that a sheet is set with: making all ready would take most of
// the time until the first one is worked out.
var SheetTemplates = []string{"frame.html.tmpl", "picture.html.tmpl", "record.html.tmpl", "rescale.html.tmpl", "sheet.html.tmpl", "standing.html.tmpl", "to-book.html.tmpl", "told.html.tmpl"}

// Rescaled is what the documents of an edition are worked out for that is not in the
// farm's files: what somebody wrote into the sheet's own form.
type Rescaled struct {
	Fields      map[string]string  // of the form, as they are written there
	Given       []protocol.Message // what of it changes something, for paper
	Mark        string             // behind the fingerprint
	NotApproved bool               // the run is not the one that was approved
	Plan        *calendar.Plan     // nil where no day was given
	Today       *calendar.Date
	Refused     []protocol.Finding // why there is no sheet; the batch is then the last that there was
}

// Names of the form's fields. Those of measured moistures have the ingredient behind.
const (
	FieldVessels  = "n"
	FieldGood     = "good"
	FieldFrom     = "from" // FromStart or FromDelivery
	FieldDay      = "day"
	FieldMoisture = "m."
	FieldShort    = "short" // an ingredient
	FieldHave     = "have"
	FieldAir      = "air"
	FromStart     = "start"
	FromDelivery  = "deliver"
)

// sizeForm is the form of a sheet by which it is worked out for something else. The
// number of vessels is a field in its heading.
type sizeForm struct {
	Module, Carried string // addresses
	Words           string // "" where the module has them
	Size            int
	Many            string
	Good            bool
	Deliver         bool
	Day             string
	Moistures       []sizeField
	Short           []sizeChoice
	Have, Air       string
	Anew            bool // it is not the sheet that the book has
}

type sizeField struct{ Name, ID, Label, Usual, Value string }

type sizeChoice struct {
	Value, Text string
	Chosen      bool
}

// sizeForm is the form of a batch's sheet; nil where the book can't work it out.
func (e Edition) sizeForm(b *batch.Batch) *sizeForm {
	if !e.AnySize {
		return nil
	}
	p := b.Process
	name := p.Input.Protocol.Name
	f := &sizeForm{
		Module: "../" + ModulePath, Carried: local(CarriedPath(name)),
		Size: b.Vessels, Many: b.Process.Vessel.Called(b.Vessels),
	}
	if e.Voice.Base() != words.Original { // of which the module has no catalog
		f.Words = "../" + WordsPath
	}
	if e.Folder != "" { // one module does for all languages
		f.Module = "../" + f.Module
	}
	fields := map[string]string{}
	if e.Rescaled != nil {
		f.Anew, fields = true, e.Rescaled.Fields
	}
	f.Good, f.Deliver, f.Day = fields[FieldGood] != "", fields[FieldFrom] == FromDelivery, fields[FieldDay]
	f.Have, f.Air = fields[FieldHave], fields[FieldAir]
	for _, part := range p.Parts {
		f.Short = append(f.Short, sizeChoice{part.ID, part.Name, fields[FieldShort] == part.ID})
		if part.Role == protocol.RoleMineral {
			continue // it counts as dry
		}
		usual := p.Input
		usual.Measured = nil
		m, _, _ := usual.MoistureOf(protocol.Lot{Ingredient: part.ID}, 0)
		f.Moistures = append(f.Moistures, sizeField{
			Name: FieldMoisture + part.ID, ID: "moisture-" + part.ID, Label: e.say("rescale.moisture", "ingredient", part.Name),
			Usual: e.say("rescale.moisture.as", "moisture", unit.Amount{Kind: unit.ShareOf, Value: float64(m), Digits: 3}), Value: fields[FieldMoisture+part.ID],
		})
	}
	return f
}

// withModule is the policy of a sheet that is worked out in the page: the book's own
// scripts and its module of WebAssembly run, and still nothing else.
func withModule(policy string) string {
	return strings.Replace(policy, "base-uri", "script-src 'self' file: 'wasm-unsafe-eval'; base-uri", 1)
}

// rescaled marks a page that was worked out for something else.
func (f *frame) rescaled(e Edition) {
	r := e.Rescaled
	if r == nil {
		return
	}
	if r.Mark != "" {
		f.Fingerprint += r.Mark
	}
	if r.Refused != nil {
		f.Standing, f.StandingWhy = e.say("rescale.refused"), e.say("rescale.refused.why")
	} else if r.NotApproved && f.NotInForce == "" {
		f.Standing, f.StandingWhy = e.say("book.standing.unapproved"), e.say("rescale.unapproved")
	}
}

// batchDay is one day of a batch.
type batchDay struct {
	Day   string
	Tasks []batchTask
}

type batchTask struct {
	Who, Takes string
	What, Note protocol.Message
	Step       int // on the sheet, 0 for none
}

// batchDays are the days of a batch, where somebody gave one.
func (e Edition) batchDays(b *batch.Batch) []batchDay {
	if e.Rescaled == nil || e.Rescaled.Plan == nil {
		return nil
	}
	told := Tell(b, e.Rescaled.Plan, e.Rescaled.Today)
	var out []batchDay
	last := calendar.Date(0)
	for i, task := range e.Rescaled.Plan.Tasks {
		if i == 0 || task.Date != last {
			out = append(out, batchDay{Day: e.Voice.Say(DayMessage(task.Date))})
			last = task.Date
		}
		day := &out[len(out)-1]
		t := batchTask{Who: e.say("role." + string(task.Role)), What: told.Title(task), Note: told.Note(task), Step: told.Number(task)}
		if task.Takes > 0 {
			t.Takes = e.show(HandsOn(task.Takes))
		}
		day.Tasks = append(day.Tasks, t)
	}
	return out
}

// For is this edition for what another one is worked out for.
func (e Edition) For(other Edition) Edition {
	e.Rescaled, e.Farm, e.Batch = other.Rescaled, other.Farm, other.Batch
	return e
}

// refusals are why there is no sheet.
func (e Edition) refusals() []finding {
	if e.Rescaled == nil {
		return nil
	}
	var out []finding
	for _, f := range e.Rescaled.Refused {
		out = append(out, e.finding(f))
	}
	return out
}

// Unplanned says why a batch can't be computed or put on days, and what to do; false
// for an error of another kind.
func Unplanned(err error) (what, hint protocol.Message, ok bool) {
	var many *batch.TooMany
	var never *batch.NeverEnough
	var late *calendar.TooLate
	var nomix *calendar.NoMixing
	var years *calendar.OutOfYears
	switch {
	case errors.As(err, &many):
		return words.Message("good.too_many", "good", many.Good, "n", many.Vessels, "most", protocol.MostVessels), words.Message("good.too_many.hint"), true
	case errors.As(err, &never):
		share := func(v float64) unit.Amount { return unit.Amount{Kind: unit.ShareOf, Value: v} }
		return words.Message("good.impossible", "good", never.Good, "confidence", share(never.Confidence), "lost", share(never.Lost)),
			words.Message("good.impossible.hint", "file", protocol.FarmDocument), true
	case errors.As(err, &late):
		return words.Message("plan.too_late", "delivery", late.Delivery.String(), "start", late.Start.String(), "today", late.Today.String()),
			words.Message("plan.too_late.hint", "soonest", late.Soonest.String()), true
	case errors.As(err, &nomix):
		return words.Message("plan.no_mixing", "from", nomix.From.String(), "n", nomix.Within), words.Message("plan.no_mixing.hint", "file", protocol.FarmDocument), true
	case errors.As(err, &years):
		return words.Message("plan.years", "day", years.Day.String(), "first", calendar.First.String(), "last", calendar.Last.String()), protocol.Message{}, true
	}
	return protocol.Message{}, protocol.Message{}, false
}

// Workdays are those on which somebody works on a farm: every day, where it says
// nothing. The error is for what the reader of files has refused.
func Workdays(f protocol.Farm) (calendar.Workdays, error) {
	if f.Week == nil {
		return calendar.EveryDay(), nil
	}
	return calendar.NewWorkdays(f.Week.Works, f.Week.Holidays)
}

// Rescale sets a document of a batch by its path in the book, also one that the book
// has not because it is of another size. It is false for a path of no document.
func Rescale(e Edition, p procedure.Procedure, m Method, path string) (page []byte, found bool, err error) {
	name, n := p.Batch.Process.Input.Protocol.Name, p.Batch.Vessels
	for _, d := range documents() {
		if d.path(name, n) == path && d.when(e, p.Batch) {
			page, err = d.set(Told{Edition: e, Procedure: p, Method: m})
			return page, true, err
		}
	}
	for _, at := range stationsOf(p) {
		if wallCardPath(name, at, n) == path {
			page, err = WallCard(e, p, at, m)
			return page, true, err
		}
	}
	if WorkingPath(name, n) == path {
		page, err = Working(e, p.Batch, m)
		return page, true, err
	}
	return nil, false, nil
}
