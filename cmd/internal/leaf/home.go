package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// GuideLink is a guide as the home page lists it.
type GuideLink struct{ Name, Title string }

// FarmPage is a page that is the farm's and no protocol's, as the home page and
// the search list it.
type FarmPage struct {
	Path, Title string
	For         protocol.Message // what it is for or holds, in a few words
	Known       string           // what else it is found by; may be empty
	Today       string           // the message that says what for on any day; "" where it is for none
}

// homePage is where a reader of the book begins.
type homePage struct {
	frame
	Lead    protocol.Message
	Today   []today
	Entries []homeEntry
	Farm    []homePart
	Guides  []link
	Library []homePart
}

// homePart is a page to look things up in.
type homePart struct {
	link
	Holds protocol.Message // how much
}

// today is a page that somebody needs on any day of work, and what it is for.
type today struct {
	link
	For string
}

type homeEntry struct {
	Number            int
	Title, Href       string
	Scientific        string
	Days              string
	Sizes             []link
	SizesID           string
	Name, Fingerprint string
	NotInForce        string
	Findings          string
	FindingsHref      string
	Beside            []link // the other pages of the protocol
}

// Home sets the book's first page: what is grown, the pages of the farm, the
// guides, the library.
func Home(e Edition, recipes []Recipe, farm []FarmPage, guides []GuideLink, lib protocol.Library) ([]byte, error) {
	page := homePage{
		frame: e.frame(HomePath, "home", e.bookName(), e.say("book.home.id"), ""),
		Lead:  e.workedFor(),
	}
	page.Today = e.today(recipes, farm, guides)
	for i, r := range recipes {
		p := r.Process
		pr := p.Input.Protocol
		h := homeEntry{
			Number: i + 1, Title: pr.Title, Href: ProtocolPath(pr.Name),
			Scientific: p.Species.Scientific,
			Days:       e.days(p),
			SizesID:    "sizes-" + strconv.Itoa(i+1), Name: pr.Name, Fingerprint: r.Method.Short,
			NotInForce:   pr.NotInForce,
			FindingsHref: ProtocolPath(pr.Name) + "#findings",
			Findings:     e.Voice.Say(findingCount(r.Findings)),
		}
		h.Beside = e.otherPages(pr.Name, "", func(path string) string { return path })
		for _, b := range r.Batches {
			h.Sizes = append(h.Sizes, link{SheetPath(pr.Name, b.Vessels), strconv.Itoa(b.Vessels)})
		}
		page.Entries = append(page.Entries, h)
	}
	for _, p := range farm {
		page.Farm = append(page.Farm, homePart{link{p.Path, p.Title}, p.For})
	}
	for _, g := range guides {
		page.Guides = append(page.Guides, link{GuidePath(g.Name), g.Title})
	}
	page.Library = append(e.libraryLinks(lib), homePart{
		link{LimitsPath, e.say("book.limits")}, words.Message("book.limits.rows", "n", len(limit.All())),
	}, homePart{link{IndexPath, e.say("book.index")}, words.Message("book.index.holds")})
	return e.html("home", page)
}

// todays are the guides that somebody may need on any day, with what for.
var todays = []struct{ guide, why string }{
	{"when-to-stop-and-ask", "book.today.stop"}, {"how-to-use-this-book", "book.today.use"},
}

// today lists what a working day begins with, and where help is.
func (e Edition) today(recipes []Recipe, farm []FarmPage, guides []GuideLink) []today {
	var out []today
	if len(recipes) > 0 {
		out = append(out, today{link{ShiftPath, e.say("book.shift")}, e.say("book.today.shift")},
			today{link{"#grow", e.say("book.home.sheets")}, e.say("book.today.sheet")})
	}
	for _, p := range farm {
		if p.Today != "" {
			out = append(out, today{link{p.Path, p.Title}, e.say(p.Today)})
		}
	}
	for _, t := range todays {
		for _, g := range guides {
			if g.Name == t.guide {
				out = append(out, today{link{GuidePath(g.Name), g.Title}, e.say(t.why)})
			}
		}
	}
	return out
}
