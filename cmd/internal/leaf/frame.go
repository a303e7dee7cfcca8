package leaf

import (
	"fmt"
	"html/template"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
)

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

// size is the paper of a page, as its page rule has it.
func (e Edition) size() string {
	size := "size:" + e.Farm.Paper + ";"
	if e.Farm.LargeType {
		size += "font-size:11.5pt;"
	}
	return size
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
