//go:build !js

package leaf

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// kinds are the kinds of terms, in the order in which a search lists them.
var kinds = []string{"protocol", "farm", "step", "trouble", "species", "ingredient", "vessel", "sterilizer", "word", "guide", "section", "limit"}

// Terms are all that can be looked up in a book.
type Terms struct{ list []term }

// Gist picks that out of how a batch of the protocol is told.
func (e Edition) Gist(r Recipe, told procedure.Procedure) Gist {
	g := Gist{terms: e.protocolTerms(r, told)}
	if i := slices.IndexFunc(told.Steps, func(s procedure.Step) bool { return s.ID == work.StartShift }); i >= 0 {
		g.start = told.Steps[i]
	}
	return g
}

// Terms gathers what can be looked up: protocols and their steps, the pages of
// the farm, the library, the limits, the guides and their parts. Sheets are not
// among it: a step is found once for each protocol, whatever its sizes.
func (e Edition) Terms(gists []Gist, farm []FarmPage, guides []GuideParts, lib protocol.Library) Terms {
	var all []term
	for _, p := range farm {
		all = append(all, term{"farm", p.Title, e.Voice.Capital(e.Voice.Say(p.For)), p.Title, p.Path, p.Known, ""})
	}
	for _, g := range gists {
		all = append(all, g.terms...)
	}
	all = append(all, e.libraryTerms(lib)...)
	for _, g := range guides {
		all = append(all, g.terms(e.Voice)...)
	}
	all = append(all, e.limitTerms()...)
	// The order decides between two results that fit equally well.
	fold := folding()
	slices.SortStableFunc(all, func(a, b term) int {
		if c := slices.Index(kinds, a.Kind) - slices.Index(kinds, b.Kind); c != 0 {
			return c
		}
		if c := strings.Compare(fold(a.Title), fold(b.Title)); c != 0 {
			return c
		}
		return strings.Compare(fold(a.Page), fold(b.Page))
	})
	return Terms{all}
}

// stepHref is where a step of a protocol is looked up: on its smallest sheet.
func stepHref(r Recipe, s procedure.Step) string {
	return SheetPath(r.Method.Protocol, r.Batches[0].Vessels) + "#step-" + strconv.Itoa(s.Number)
}

func (e Edition) protocolTerms(r Recipe, told procedure.Procedure) []term {
	p := r.Process
	pr := p.Input.Protocol
	about := p.Species.Common + " " + p.Vessel.Name
	known := []string{pr.Name, p.Species.Common, p.Species.Scientific, p.Vessel.Name, p.Sterilizer.Name}
	for _, part := range p.Parts {
		known = append(known, part.Name)
	}
	out := []term{{"protocol", pr.Title, p.Species.Scientific, pr.Title, ProtocolPath(pr.Name), strings.Join(append(known, pr.Summary), " "), about}}
	if len(r.Batches) == 0 {
		return out
	}
	for _, s := range told.Steps {
		where := e.say("book.search.station", "station", e.say("station."+string(s.Station)), "role", e.say("role."+string(s.Role)))
		out = append(out, term{"step", e.Voice.Say(s.Title), where, pr.Title, stepHref(r, s), e.stepWords(s), about})
	}
	for _, at := range stationsOf(told) {
		out = append(out, term{"section", e.say("book.wall.find", "station", e.say("station."+string(at))), e.say("book.wall.kind"), pr.Title,
			wallCardPath(pr.Name, at, r.Batches[0].Vessels), e.say("book.wall.find.words"), about})
	}
	if p.Grain != nil {
		out = append(out, term{"section", e.say("book.grain.backwards"), e.say("book.grain.kind"), pr.Title, GrainPath(pr.Name) + "#backwards", p.Grain.Of.Name + " " + p.Grain.Into.Name, about})
	}
	return append(out, term{"trouble", e.say("book.fault.find"), e.say("book.fault.kind"), pr.Title, SterilizerCardPath(pr.Name), e.faultWords(r), about})
}

// faultWords is all that can go wrong in a run of the sterilizer.
func (e Edition) faultWords(r Recipe) string {
	var all []string
	for _, f := range procedure.RunCardOf(r.Batches[0]).Faults {
		all = append(all, e.Voice.Say(f.Title), e.Voice.Say(f.See))
	}
	return strings.Join(all, " ")
}

// stepWords is all that a step says.
func (e Edition) stepWords(s procedure.Step) string {
	said := []protocol.Message{s.Limit, s.Check, s.IfOff, s.Why, s.Wrong}
	said = append(said, s.Do...)
	for _, x := range s.Safety {
		said = append(said, x.Text)
	}
	for _, x := range s.Amounts {
		said = append(said, x.What)
	}
	for _, x := range s.Looks {
		said = append(said, x.Of, x.Text)
	}
	all := e.proseLines(s.Prose)
	for _, m := range said {
		all = append(all, e.Voice.Say(m))
	}
	return strings.Join(all, " ")
}

func (e Edition) libraryTerms(lib protocol.Library) []term {
	var out []term
	add := func(kind, path, id, name, text, notes string) {
		out = append(out, term{kind, e.Voice.Capital(name), text, e.say("book.library." + kind), path + "#" + EntryAnchor(id), id + " " + notes, ""})
	}
	for _, id := range slices.Sorted(maps.Keys(lib.Species)) {
		s := lib.Species[id]
		add(speciesKind, SpeciesPath, id, s.Common, s.Scientific, s.Notes)
	}
	for _, id := range slices.Sorted(maps.Keys(lib.Ingredients)) {
		x := lib.Ingredients[id]
		add(ingredientKind, IngredientsPath, id, x.Name, e.say("book.library.ingredient."+x.Role), x.Notes)
	}
	for _, id := range slices.Sorted(maps.Keys(lib.Vessels)) {
		x := lib.Vessels[id]
		add(vesselKind, VesselsPath, id, x.Name, e.Voice.Capital(x.Lid), x.Notes)
	}
	for _, id := range slices.Sorted(maps.Keys(lib.Sterilizers)) {
		x := lib.Sterilizers[id]
		add(sterilizerKind, SterilizersPath, id, x.Name, "", x.Notes)
	}
	for _, id := range slices.Sorted(maps.Keys(lib.Troubles)) {
		x := lib.Troubles[id]
		known := []string{x.Notes}
		for _, c := range x.Causes {
			known = append(known, c.Cause)
		}
		add(troubleKind, TroubleEntriesPath, id, x.Title, x.Looks, strings.Join(known, " "))
	}
	return out
}

// limitTerms has one term for each quantity that a limit is about.
func (e Edition) limitTerms() []term {
	var out []term
	seen := map[string]bool{}
	for _, row := range limit.All() {
		if seen[row.Quantity] {
			continue
		}
		seen[row.Quantity] = true
		var known []string
		for _, of := range limit.Of(row.Quantity) {
			known = append(known, of.ID, e.say("limit."+of.ID+".why"), e.say("limit."+of.ID+".hint"))
		}
		text := e.Voice.Capital(e.Voice.Say(e.rangeInWords(row, limit.MeasureOf(row.Quantity))))
		out = append(out, term{"limit", e.Voice.Capital(e.general(row.Quantity)), text, e.say("book.limits"),
			LimitsPath + "#" + quantityAnchor(row.Quantity), strings.Join(known, " "), ""})
	}
	return out
}

// terms of a guide in a voice: the page, and each part of it that has a heading.
func (t GuideParts) terms(v *words.Voice) []term {
	out := []term{{"guide", t.Title, "", t.Title, GuidePath(t.Name), t.Parts[0].Text, ""}}
	for _, p := range t.Parts[1:] {
		x := term{"section", p.Title, "", t.Title, GuidePath(t.Name) + "#" + p.ID, p.Text, ""}
		if p.Word {
			// What a word means is said at once; who wants more follows it.
			x.Kind, x.Text = "word", v.Capital(strings.TrimSpace(p.Text))
		}
		out = append(out, x)
	}
	return out
}

// wordsOf lists the words of a text, lower case, sorted, each once, those left
// out that stand in the other text. Numbers are none: nobody looks for the
// 16 g of a step, and they would make every protocol's step an entry of its own.
// The script folds the words further.
func wordsOf(text, but string) string {
	split := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
			return !unicode.IsLetter(r) && !unicode.IsNumber(r) && !unicode.IsMark(r)
		})
	}
	known := map[string]bool{}
	for _, w := range split(but) {
		known[w] = true
	}
	var out []string
	for _, w := range split(text) {
		if !known[w] && strings.ContainsFunc(w, unicode.IsLetter) {
			known[w] = true
			out = append(out, w)
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

// folded is a text as it is sorted and compared: lower case, without accents.
func folded(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFKD.String(s))
}

// folding is folded for a sort, which asks for the same texts again and again.
func folding() func(string) string {
	known := map[string]string{}
	return func(s string) string {
		f, ok := known[s]
		if !ok {
			f = folded(s)
			known[s] = f
		}
		return f
	}
}

// found is one entry of the search index: terms that differ only in their page.
type found struct {
	Kind   int      `json:"kind"` // of searchIndex.Kinds
	Title  string   `json:"title"`
	Text   string   `json:"text"`
	Words  string   `json:"words"`
	Places [][2]any `json:"places"` // number of the page in searchIndex.Pages, address
}

type foundKind struct {
	Name  string `json:"name"`
	Named bool   `json:"named"` // its page is named beside it: it does not follow from the kind
}

// foundPage is a page that something stands on.
type foundPage struct {
	Title string `json:"title"`
	Words string `json:"words"` // what else it is found by, with all that stands on it
}

type searchIndex struct {
	Kinds   []foundKind `json:"kinds"`
	Pages   []foundPage `json:"pages"`
	Entries []found     `json:"entries"`
}

// SearchIndex is the data of the search page: a script that sets one name, so
// that a page opened from the disk, which may not fetch, can have it too.
func (e Edition) SearchIndex(t Terms) ([]byte, error) {
	index := searchIndex{}
	for _, k := range kinds {
		index.Kinds = append(index.Kinds, foundKind{e.say("book.search.kind." + k), k == "step" || k == "section" || k == "word"})
	}
	// Many protocols say the same: what was taken apart is not taken apart again.
	known := map[[3]string]string{}
	wordsOf := func(text, more, but string) string {
		w, ok := known[[3]string{text, more, but}]
		if !ok {
			w = wordsOf(text+" "+more, but)
			known[[3]string{text, more, but}] = w
		}
		return w
	}
	pages, at := map[foundPage]int{}, map[[4]string]int{}
	for _, x := range t.list {
		of := foundPage{x.Page, wordsOf(x.About, "", x.Page)}
		page, ok := pages[of]
		if !ok {
			page = len(index.Pages)
			pages[of] = page
			index.Pages = append(index.Pages, of)
		}
		key := [4]string{x.Kind, x.Title, x.Text, wordsOf(x.Text, x.Words, x.Title)}
		i, ok := at[key]
		if !ok {
			i = len(index.Entries)
			at[key] = i
			index.Entries = append(index.Entries, found{Kind: slices.Index(kinds, x.Kind), Title: x.Title, Text: x.Text, Words: key[3]})
		}
		index.Entries[i].Places = append(index.Entries[i].Places, [2]any{page, x.Href})
	}
	data, err := json.Marshal(index)
	if err != nil {
		return nil, err
	}
	return slices.Concat([]byte("\"use strict\";\nconst searchIndex = "), data, []byte(";\n")), nil
}

// searchPage is the page with the field and, once its script runs, the results.
type searchPage struct {
	frame
	Terms int
	Shown int // results that are shown at most
	Index string
}

// mostFound is how many results a search shows: who sees more reads none.
const mostFound = 40

// Search sets the search page.
func Search(e Edition, t Terms) ([]byte, error) {
	page := searchPage{
		frame: e.frame(SearchPath, "search", e.say("book.search.title"), e.say("book.search.id"), ""),
		Shown: mostFound, Index: IndexPath,
	}
	titles := map[string]bool{}
	for _, x := range t.list {
		titles[x.Kind+"\x00"+x.Title] = true
	}
	page.Terms = len(titles)
	page.Scripts = []string{SearchIndexPath, searchScript}
	return e.html("search", page)
}
