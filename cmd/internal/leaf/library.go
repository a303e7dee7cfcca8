package leaf

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// Kinds of entries, as protocol.Library names them.
const (
	speciesKind    = "species"
	ingredientKind = "ingredient"
	vesselKind     = "vessel"
	sterilizerKind = "sterilizer"
	troubleKind    = "trouble"
)

// libraryPage lists all entries of one kind.
type libraryPage struct {
	frame
	Lead    string
	Caution safety
	Entries int
	Shelves []shelf
}

// shelf is the entries of one kind that belong together.
type shelf struct {
	ID, Name string
	Items    []item
}

// item is one entry with all that is known of it.
type item struct {
	ID, Anchor  string
	Name, Latin string
	Facts       []fact
	Notes       []string
	Known       []fact // source, status
	Place       spot
	Whose       string
	Uses        []link
	Strains     []item
	Causes      []libraryCause // of a trouble
}

// EntryAnchor is where an entry stands on the page of its kind.
func EntryAnchor(id string) string { return "entry-" + id }

// entryLink is the address of an entry, from a page in a folder of the book.
func entryLink(page, id string) string { return "../" + page + "#" + EntryAnchor(id) }

// Library sets the pages of the library, by their addresses.
func Library(e Edition, lib protocol.Library, recipes []Recipe) (map[string][]byte, error) {
	l := librarian{e, lib, map[string][]link{}}
	for _, r := range recipes {
		l.note(r)
	}
	out := map[string][]byte{}
	for _, p := range []struct {
		path, kind string
		entries    int
		shelves    []shelf
	}{
		{SpeciesPath, speciesKind, len(lib.Species), l.allSpecies()},
		{IngredientsPath, ingredientKind, len(lib.Ingredients), l.ingredients()},
		{VesselsPath, vesselKind, len(lib.Vessels), l.vessels()},
		{SterilizersPath, sterilizerKind, len(lib.Sterilizers), l.sterilizers()},
		{TroubleEntriesPath, troubleKind, len(lib.Troubles), l.troubles()},
	} {
		title := e.say("book.library." + p.kind)
		page := libraryPage{
			frame: e.frame(p.path, "library", title, e.say("book.library.id", "kind", title), ""),
			Lead:  e.say("book.library.lead." + p.kind), Entries: p.entries, Shelves: p.shelves,
		}
		if p.kind == sterilizerKind {
			page.Caution = safety{procedure.Warning, []safetyText{{
				e.say("book.library.plate"), []string{e.say("book.library.plate.avoid")}}}}
		}
		data, err := e.html("library", page)
		if err != nil {
			return nil, err
		}
		out[p.path] = data
	}
	return out, nil
}

// librarian fills the pages of a library.
type librarian struct {
	Edition
	lib  protocol.Library
	uses map[string][]link // by kind.id
}

// note remembers which entries a protocol uses.
func (l librarian) note(r Recipe) {
	pr := r.Process.Input.Protocol
	to := link{"../" + ProtocolPath(pr.Name), pr.Title}
	add := func(kind, id string) { l.uses[kind+"."+id] = append(l.uses[kind+"."+id], to) }
	add(speciesKind, r.Process.Species.ID)
	add(vesselKind, r.Process.Vessel.ID)
	add(sterilizerKind, r.Process.Model.ID)
	for _, p := range r.Process.Parts {
		add(ingredientKind, p.ID)
	}
	if len(r.Batches) > 0 { // the cards are the same for each size
		for _, c := range procedure.Cards(r.Batches[0]) {
			l.uses[troubleKind+"."+c.ID] = append(l.uses[troubleKind+"."+c.ID],
				link{"../" + TroublesPath(pr.Name) + "#" + troubleAnchor(c.ID), pr.Title})
		}
	}
}

// entry is what all kinds of entries have.
func (l librarian) entry(kind, id, name string, k protocol.Known) item {
	x := item{ID: id, Anchor: EntryAnchor(id), Name: l.Voice.Capital(name), Uses: l.uses[kind+"."+id]}
	if k.Notes != "" {
		x.Notes = append(x.Notes, k.Notes)
	}
	x.Known = []fact{
		{Name: l.say("book.library.source"), Value: k.Source, Cited: true},
		{Name: l.say("book.library.status"), Value: k.Status, Cited: true},
	}
	if l.lib.ComesWithProgram(kind, id) {
		x.Whose = l.say("book.library.program")
	} else if o := l.lib.Entries[kind+"."+id]; o != (working.Origin{}) {
		x.Whose = l.say("book.library.farm")
		x.Place = l.spot(o)
	}
	return x
}

func (l librarian) fact(name, value string) fact {
	return fact{Name: l.say("book.library." + name), Value: value}
}

func (l librarian) amount(k unit.Kind, v float64) string {
	return l.show(unit.Amount{Kind: k, Value: v})
}

// span is a range of amounts, its unit once where both ends have it.
func (l librarian) span(k unit.Kind, low, high float64) string {
	a, b := l.figure(unit.Amount{Kind: k, Value: low}), l.figure(unit.Amount{Kind: k, Value: high})
	first := a.String()
	if a.Unit == b.Unit {
		first = a.Number
	}
	return l.say("book.library.span", "low", first, "high", b.String())
}

// sort puts entries into shelves, in the order of the shelves' ids, and within
// a shelf by name.
func (l librarian) sort(kind string, ids []string, of map[string][]item) []shelf {
	var out []shelf
	for _, id := range ids {
		items := of[id]
		if len(items) == 0 {
			continue
		}
		slices.SortFunc(items, func(a, b item) int {
			if c := strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)); c != 0 {
				return c
			}
			return strings.Compare(a.ID, b.ID)
		})
		out = append(out, shelf{ID: "shelf-" + id, Name: l.say("book.library." + kind + "." + id), Items: items})
	}
	return out
}

// libraryLinks lists the pages of a library.
func (e Edition) libraryLinks(lib protocol.Library) []homePart {
	count := func(path, kind string, n int) homePart {
		return homePart{link{path, e.say("book.library." + kind)}, words.Message("book.library.entries", "n", n)}
	}
	return []homePart{
		count(SpeciesPath, speciesKind, len(lib.Species)),
		count(IngredientsPath, ingredientKind, len(lib.Ingredients)),
		count(VesselsPath, vesselKind, len(lib.Vessels)),
		count(SterilizersPath, sterilizerKind, len(lib.Sterilizers)),
		count(TroubleEntriesPath, troubleKind, len(lib.Troubles)),
	}
}
