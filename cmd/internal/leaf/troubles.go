package leaf

import (
	"maps"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// TroublesPath is the page of a protocol's cards: what to do when something is
// off.
func TroublesPath(name string) string { return name + "/troubles.html" }

// troubleAnchor is where a card stands on it.
func troubleAnchor(id string) string { return "trouble-" + id }

// troublesPage is the cards of a protocol, each one block that a farm prints
// and hangs up where it is needed.
type troublesPage struct {
	frame
	ProtocolTitle string
	Beside        []link
	Cards         int
	Stations      []cardStation
}

// cardStation is the cards that are reached for at one station.
type cardStation struct {
	ID, Name string
	Cards    []card
}

type card struct {
	procedure.Card
	Anchor  string
	Safety  []safety
	Decider string
	Source  string // its entry in the library
}

// Troubles sets the cards of a protocol. They hold for every size of batch.
func Troubles(e Edition, b *batch.Batch, method Method) ([]byte, error) {
	pr := b.Process.Input.Protocol
	page := troublesPage{
		frame: e.frameOf(pr, TroublesPath(pr.Name), "troubles", e.say("book.trouble.title", "title", pr.Title),
			e.say("book.trouble.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Beside:        e.otherPages(pr.Name, TroublesPath(pr.Name), local),
	}
	for _, c := range procedure.Cards(b) {
		name := e.say("station." + string(c.Station()))
		if n := len(page.Stations); n == 0 || page.Stations[n-1].Name != name {
			page.Stations = append(page.Stations, cardStation{ID: "at-" + string(c.Station()), Name: name})
		}
		x := card{
			Card: c, Anchor: troubleAnchor(c.ID),
			Decider: e.say("role." + string(c.Decides)), Source: entryLink(TroubleEntriesPath, c.ID),
		}
		for _, s := range c.Safety {
			first, rest := Sentences(e.Voice.Say(s.Text))
			x.Safety = together(x.Safety, s.Signal, safetyText{first, rest})
		}
		last := &page.Stations[len(page.Stations)-1]
		last.Cards = append(last.Cards, x)
		page.Cards++
	}
	return e.html("troubles", page)
}

// cardsOf links each step of a batch to the cards for what may be seen there.
func cardsOf(b *batch.Batch) map[work.StepID][]link {
	out := map[work.StepID][]link{}
	page := local(TroublesPath(b.Process.Input.Protocol.Name))
	for _, c := range procedure.Cards(b) {
		for _, id := range c.Steps {
			out[id] = append(out[id], link{page + "#" + troubleAnchor(c.ID), c.Title})
		}
	}
	return out
}

// libraryCause is one cause as the library has it, for all protocols.
type libraryCause struct {
	Cause, Check, Do string
	Facts            []fact
}

// troubles stand by the station where they are seen first, in the order of the
// cycle.
func (l librarian) troubles() []shelf {
	order := work.Steps()
	first := func(t protocol.Trouble) int {
		at := len(order) - 1 // a trouble that is seen nowhere stands last
		for _, id := range t.SeenAt {
			if i := slices.Index(order, work.StepID(id)); i >= 0 {
				at = min(at, i)
			}
		}
		return at
	}
	list := slices.Collect(maps.Values(l.lib.Troubles))
	slices.SortFunc(list, func(a, b protocol.Trouble) int {
		if d := first(a) - first(b); d != 0 {
			return d
		}
		return strings.Compare(a.Title+a.ID, b.Title+b.ID)
	})
	var out []shelf
	for _, t := range list {
		station := string(work.StationOf(order[first(t)]))
		if n := len(out); n == 0 || out[n-1].ID != "shelf-"+station {
			out = append(out, shelf{ID: "shelf-" + station, Name: l.say("station." + station)})
		}
		last := &out[len(out)-1]
		last.Items = append(last.Items, l.trouble(t))
	}
	return out
}

func (l librarian) trouble(t protocol.Trouble) item {
	x := l.entry(troubleKind, t.ID, t.Title, t.Known)
	x.Facts = append([]fact{
		{Name: l.say("book.library.trouble.seen_at"), Value: strings.Join(t.SeenAt, ", "), Key: true},
		l.fact("trouble.decides", l.say("role."+t.Decides)),
	}, l.applies(t.Applies)...)
	if t.Safety != "" {
		x.Facts = append(x.Facts, l.fact("trouble.safety", l.say("hazard."+t.Safety)))
	}
	x.Notes = append([]string{t.Looks}, x.Notes...)
	for _, c := range t.Causes {
		y := libraryCause{Cause: c.Cause, Check: c.Check, Do: c.Do, Facts: l.applies(c.Applies)}
		if len(c.Reads) > 0 {
			y.Facts = append(y.Facts, l.fact("trouble.reads", l.each("read", c.Reads)))
		}
		x.Causes = append(x.Causes, y)
	}
	x.Known = append([]fact{{Name: l.say("book.trouble.prevent"), Value: t.Prevent}}, x.Known...)
	return x
}

// applies says for which protocols an entry or a cause is true.
func (l librarian) applies(a protocol.Applies) []fact {
	var out []fact
	names := func(ids []string) string {
		var list []string
		for _, id := range ids {
			list = append(list, l.lib.Species[id].Common)
		}
		return l.Voice.List(list)
	}
	if len(a.Species) > 0 {
		out = append(out, l.fact("trouble.species", names(a.Species)))
	}
	if len(a.Except) > 0 {
		out = append(out, l.fact("trouble.except", names(a.Except)))
	}
	if len(a.Where) > 0 {
		out = append(out, l.fact("trouble.where", l.each("where", a.Where)))
	}
	return out
}

// each lists words of the library.
func (l librarian) each(kind string, ids []string) string {
	var list []string
	for _, id := range ids {
		list = append(list, l.say("book.library."+kind+"."+id))
	}
	return l.Voice.List(list)
}
