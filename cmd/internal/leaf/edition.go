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
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/batch"
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

// frame is what stands around the content of every page.
type frame struct {
	Kind        string // class of the body
	Title       string
	BookName    string
	Root        string // way back to the book's root: "", "../"
	ID          string // of the document
	Fingerprint string
	NotInForce  string // why nobody may work from it; empty where it is in force
	Standing    string // what is wrong with its approval, in capitals; empty where nothing is
	StandingWhy string
	NewsHref    string   // of the page of what is new; empty where there is none, and on that page
	Unreviewed  string   // that its safety texts were not looked over; empty where they were, or are the original
	marginal    string   // the same at the head of each sheet of paper, in capitals
	Control     []string // what the farm keeps of it as a document
	Version     string
	Invented    bool
	LargeType   bool
	Places      []place
	Tongues     []tongue // the same page in other languages
	PageRule    template.CSS
	Policy      string
	Lone        bool         // stands on its own: no links to other pages
	Style       template.CSS // the whole stylesheet, for a lone page
	Own         string       // the farm's own templates by name, "" where the book is set with the program's
	Scripts     []string     // files of the book that the page runs, relative to its root
	FootToo     *half        // its foot in the other language, of a page in two
}

// named is what a page calls itself.
func (f frame) named() string { return f.Title }

// place is one of the links that every page has.
type place struct {
	Href, Text string
	Current    bool
}

// tongue is the same page in another language.
type tongue struct{ Href, Tag, Name string }

// tongues of the page at a path.
func (e Edition) tongues(path string) []tongue {
	var out []tongue
	up := strings.Repeat("../", strings.Count(path, "/"))
	if e.Folder != "" {
		up += "../"
	}
	for _, t := range e.Tongues {
		if t.Folder == e.Folder {
			continue
		}
		href := up + path
		if t.Folder != "" {
			href = up + t.Folder + "/" + path
		}
		out = append(out, tongue{href, t.Tag, t.Name})
	}
	return out
}

// aside are the kinds of pages that are about no protocol.
var aside = map[string]bool{"rooms": true, "room-card": true, "guide": true, "library": true, "limits": true, "search": true, "index-of-words": true, "results-of-batches": true, "trace-of-batches": true, "review": true, "recall": true, "season": true, "week": true, "hygiene": true}

// frame of a page at a path of the book.
func (e Edition) frame(path, kind, title, id, fingerprint string) frame {
	f := frame{
		Kind: kind, Title: title, BookName: e.bookName(), ID: id, Fingerprint: fingerprint,
		Version: e.Version, Invented: e.Farm.Invented, LargeType: e.Farm.LargeType, Own: e.ownFiles(),
		Root: strings.Repeat("../", strings.Count(path, "/")), Tongues: e.tongues(path),
	}
	f.Places = []place{
		{f.Root + HomePath + "#grow", e.say("book.place.grow"), !aside[kind]},
		{f.Root + HomePath + "#guides", e.say("book.place.guides"), kind == "guide"},
		{f.Root + HomePath + "#library", e.say("book.place.library"), kind == "library"},
		{f.Root + LimitsPath, e.say("book.place.limits"), kind == "limits"},
		{f.Root + SearchPath, e.say("book.place.search"), kind == "search"},
	}
	if e.Unreviewed && carriesSafety(kind, path) {
		f.unreviewed(e)
	}
	f.foot(e)
	return f
}

// carriesSafety reports whether a page has safety texts: cautions, hazards, what a limit
// says of people. Guides are asked for theirs.
func carriesSafety(kind, path string) bool {
	switch kind {
	case "sheet", "facing", "wall-card", "sterilizer-card", "room-card", "hygiene", "release", "shift", "troubles", "evidence", "limits":
		return true
	case "library":
		return path != SpeciesPath
	case "protocol":
		return strings.HasSuffix(path, "/index.html")
	}
	return false
}

// foot makes the page rule, for what the frame now says of the document.
func (f *frame) foot(e Edition) {
	f.PageRule = template.CSS("@page{" + e.size() + f.margins(e) + "}")
	f.Policy = policy(f.PageRule, f.Kind)
}

// margins are what stands in the margins of each sheet of paper.
func (f *frame) margins(e Edition) string {
	out := e.margins(f.ID, f.Fingerprint, f.Standing)
	if f.marginal != "" {
		out += "@top-left{content:" + cssString(f.marginal) + ";font-weight:700;font-size:9pt}"
	}
	return out
}

// unreviewed has the page say that no native reader has looked its safety texts over.
func (f *frame) unreviewed(e Edition) {
	f.Unreviewed, f.marginal = e.say("book.review.unreviewed"), e.say("book.review.margin")
}

// frameOf is the frame of a page about a protocol. Each of them says when nobody
// may work from it, also at the head of each sheet of paper.
func (e Edition) frameOf(pr protocol.Protocol, path, kind, title, id string, m Method) frame {
	f := e.frame(path, kind, title, id, m.Short)
	f.NotInForce = pr.NotInForce
	f.Control = e.control(pr)
	if path != ChangesPath(pr.Name) && hasNews(e, pr.Name) {
		f.NewsHref = local(ChangesPath(pr.Name))
	}
	f.Standing, f.StandingWhy = e.approvalOf(pr, m)
	f.rescaled(e)
	f.foot(e)
	return f
}

// batchFrame is what the documents of a batch have in common.
type batchFrame struct {
	frame
	ProtocolTitle string
	Size          int
	Many          string // what that many vessels are called
}

// frameOfBatch frames a document of a batch. What it says of itself are the messages
// title and id under a name, with further arguments where they ask for some.
func (e Edition) frameOfBatch(b *batch.Batch, path, kind, says string, m Method, more ...any) batchFrame {
	pr := b.Process.Input.Protocol
	title := e.say("book."+says+".title", append([]any{"title", pr.Title, "size", e.sizeOf(b)}, more...)...)
	id := e.say("book."+says+".id", append([]any{"document", pr.Name, "n", b.Vessels}, more...)...)
	return batchFrame{e.frameOf(pr, path, kind, title, id, m), pr.Title, b.Vessels, b.Process.Vessel.Called(b.Vessels)}
}

// sizeOf is "for 48 bottles".
func (e Edition) sizeOf(b *batch.Batch) string {
	return e.say("book.sheet.size", "n", b.Vessels, "vessels", b.Process.Vessel.Called(b.Vessels))
}

// bookName is the farm's name; a made-up farm says so.
func (e Edition) bookName() string {
	if e.Farm.Invented {
		return e.say("book.name.invented", "farm", e.Farm.Name)
	}
	return e.say("book.name", "farm", e.Farm.Name)
}

// size is the paper of a page, as its page rule has it.
func (e Edition) size() string {
	size := "size:" + e.Farm.Paper + ";"
	if e.Farm.LargeType {
		size += "font-size:11.5pt;"
	}
	return size
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

// margins are what stands at the foot of each sheet of paper, and at its head where
// nobody may trust it.
func (e Edition) margins(id, fingerprint, standing string) string {
	const page, pages = "\x01", "\x02"
	counter := e.say("book.page_of", "page", page, "pages", pages)
	var parts []string
	for counter != "" {
		i := strings.IndexAny(counter, page+pages)
		if i < 0 {
			parts = append(parts, cssString(counter))
			break
		}
		if i > 0 {
			parts = append(parts, cssString(counter[:i]))
		}
		if counter[i:i+1] == page {
			parts = append(parts, "counter(page)")
		} else {
			parts = append(parts, "counter(pages)")
		}
		counter = counter[i+1:]
	}
	head := ""
	if standing != "" {
		head = "@top-center{content:" + cssString(standing) + ";font-weight:700;font-size:13pt}"
	}
	return fmt.Sprintf("%s@bottom-left{content:%s}@bottom-center{content:%s}@bottom-right{content:%s}",
		head, cssString(id), cssString(fingerprint), strings.Join(parts, " "))
}

// cssString quotes a text for CSS. All but letters, digits and a few harmless
// signs is escaped, so that no farm's name can end the string or the element.
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', strings.ContainsRune(" ,.-_:", r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, `\%x `, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// policy is the document's content security: the book's own stylesheet and
// font, the document's own page rule, and what its kind needs besides; nothing
// else. Chromium takes a book that was opened from the disk as its own origin;
// file: says the same to browsers that do not, and adds nothing over a network.
func policy(rule template.CSS, kind string) string {
	more, forms := "", "'none'"
	switch kind {
	case "home": // has the field to search by
		forms = "'self' file:"
	case "search":
		more, forms = "script-src 'self' file:; ", "'self' file:"
	case "guide": // has the farm's pictures
		more = "img-src 'self' file:; "
	}
	return "default-src 'none'; style-src 'self' file: " + hashOf(rule) +
		"; font-src 'self' file:; " + more + "base-uri 'none'; form-action " + forms
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
