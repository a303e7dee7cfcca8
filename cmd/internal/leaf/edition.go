// Package leaf sets one document: a sheet, a protocol page, the working of a
// batch, the home page, a guide, a page of the library, the page of all limits.
// It fills the templates of package templates with what a batch and its
// procedure say. It knows no files and no clock, and computes no number: what
// is printed here was worked out before.
//
// Documents stand at fixed addresses in a book (HomePath, ProtocolPath and so
// on), and link to each other by these.
package leaf

import (
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// Edition is what every page of one book shares.
type Edition struct {
	Farm    protocol.Farm
	Voice   *words.Voice
	Version string // of the program
	// Place finds the spot in a file where a value was given. Without it, and
	// for what it does not find, the document alone is printed.
	Place func(working.Origin) protocol.Place
	// Tongues are the languages of the book, where it has several: a page of this
	// edition is there in each of them, under the same path in their folder. Package
	// book says them.
	Tongues []Tongue
	Folder  string // of this edition in the book, "" for the first
	// Address is where the book is on the web, "" where it is not, or where what is
	// printed is no page of it. Printed pages have a code that leads there.
	Address string
	Batch   BatchOf // that its documents are for; none in a book
	// Spread has the author's pages say how far runs and vessels lie apart, which
	// takes a second for each protocol.
	Spread bool
	// News are the protocols that have a page of what is new, by their names.
	News []string
	// Past are the protocols that have a page of their versions, by their names.
	Past []string
	// Prose makes what authors wrote in Markdown ready for pages (package prose).
	Prose func(markdown string) Prose
	// Unreviewed has pages with safety texts say that no native reader has looked their
	// translation over.
	Unreviewed bool
	// Only are the templates to make ready, by file name, where not all of them are needed.
	Only []string
	// AnySize has sheets carry a form by which they are worked out for another number.
	AnySize  bool
	Rescaled *Rescaled // what its documents are worked out for; nil for a book
	// Own are templates and a stylesheet of the farm's own by file name
	// (Replaceable), in place of the program's.
	Own map[string][]byte

	set *set // templates made ready for the voice
}

// Tongue is a language that a book is printed in.
type Tongue struct {
	Tag    string // BCP 47
	Name   string // in that language
	Folder string // in the book, "" for the first
}

// Method is the name and the fingerprint of a protocol's method: what is the
// same as long as no step, amount or critical limit has changed.
type Method struct {
	Protocol string
	Short    string // for headers and footers
	Full     string
}

// Addresses of pages in a book, relative to its root.
const (
	HomePath        = "index.html"
	StylePath       = "look/book.css"
	LimitsPath      = "reference/limits.html"
	SpeciesPath     = "library/species.html"
	IngredientsPath = "library/ingredients.html"
	VesselsPath     = "library/vessels.html"
	SterilizersPath = "library/sterilizers.html"
	// TroubleEntriesPath is the library's; the cards of a protocol are at TroublesPath.
	TroubleEntriesPath = "library/troubles.html"
)

// ProtocolPath is the page of a protocol.
func ProtocolPath(name string) string { return name + "/index.html" }

// SheetPath is the worker's sheet for a number of vessels.
func SheetPath(name string, vessels int) string {
	return ofSize(name, "sheet", vessels)
}

// WorkingPath is the page that tells how that sheet was worked out.
func WorkingPath(name string, vessels int) string {
	return ofSize(name, "working", vessels)
}

// GuidePath is a page of the farm's or of the program's own.
func GuidePath(name string) string { return "guides/" + name + ".html" }

// bookName is the farm's name; a made-up farm says so.
func (e Edition) bookName() string {
	if e.Farm.Invented {
		return e.say("book.name.invented", "farm", e.Farm.Name)
	}
	return e.say("book.name", "farm", e.Farm.Name)
}

// LargeType is how many times as large letters are in large type (design choice: from 1.3
// on it is a help, and above 1.4 a sheet has more pages than anybody wants to turn).
// The stylesheet prints it ("Large type" in book.css: change both).
const LargeType = 1.35

// lettering is how many times as large as usual letters are.
func (e Edition) lettering() float64 {
	if e.Farm.LargeType {
		return LargeType
	}
	return 1
}

// say says a message of the book's own.
func (e Edition) say(id string, pairs ...any) string { return e.Voice.Say(words.Message(id, pairs...)) }

// show prints an amount in the voice's units.
func (e Edition) show(a unit.Amount) string { return a.Show(e.Voice.Units()) }

// workedFor says for which air the figures hold.
func (e Edition) workedFor() protocol.Message {
	if p := e.Farm.StationPressure; p != nil {
		return words.Message("book.worked_for.pressure", "pressure",
			unit.Amount{Kind: unit.AbsolutePressureOf, Value: float64(*p)})
	}
	var z float64
	if e.Farm.Altitude != nil {
		z = float64(*e.Farm.Altitude)
	}
	return words.Message("book.worked_for.altitude", "altitude", unit.Height(z, e.Voice.Units()))
}

// spot is a place in a file, in parts between which a line may end.
type spot struct{ Parts []string }

// String is the whole place: file:line:column.
func (s spot) String() string { return strings.Join(s.Parts, "") }

// spot finds where a value was given. A flag of the command line stands for
// itself.
func (e Edition) spot(o working.Origin) spot {
	p := protocol.Place{File: o.Document}
	if e.Place != nil && !strings.HasPrefix(o.Document, "--") {
		if found := e.Place(o); found.File != "" {
			p = found
		}
	}
	return spotOf(p)
}

func spotOf(p protocol.Place) spot {
	parts := strings.SplitAfter(p.File, "/")
	if p.Line > 0 {
		at := ":" + strconv.Itoa(p.Line)
		if p.Column > 0 {
			at += ":" + strconv.Itoa(p.Column)
		}
		parts = append(parts, at)
	}
	return spot{parts}
}
