//go:build !js

package leaf

import (
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// mostPlaces is how many pages the index names for one title: more are no help
// on paper, and the search has them all.
const mostPlaces = 10

// indexPage lists every word of a title by its letter.
type indexPage struct {
	frame
	Search  string
	Words   int
	Letters []indexLetter
}

// indexLetter is the words that begin with one letter.
type indexLetter struct {
	ID, Letter string
	Words      []indexWord
}

// indexWord is one word with the titles that have it.
type indexWord struct {
	Word     string
	Original bool // it stands on this page in the language of our own texts
	Lines    []indexLine
}

// indexLine is one title with the pages that it stands on.
type indexLine struct {
	title  string
	Lead   string // the title, where neither the word nor the link says it
	Places []indexPlace
	More   int // pages that are not named
}

// indexPlace is a link. Its text is the title of the page; where that is the
// title of the line too, it is what kind of page that is.
type indexPlace struct{ Href, Page, Kind string }

// Index sets the printed index.
func Index(e Edition, t Terms) ([]byte, error) {
	page := indexPage{
		frame:  e.frame(IndexPath, "index-of-words", e.say("book.index"), e.say("book.index.id"), ""),
		Search: SearchPath,
	}
	small := map[string]bool{}
	// A glossary has the original behind its words, "quien esté a cargo (person in charge)".
	for _, v := range []*words.Voice{e.Voice, words.English(unit.Metric)} {
		for _, w := range strings.Fields(v.Say(words.Message("book.index.small"))) {
			small[w] = true
		}
	}
	lines := e.indexLines(t)
	byWord, ofPage := map[string][]indexLine{}, map[string]bool{}
	for _, line := range lines {
		for _, w := range indexedBy(line.title, small) {
			byWord[w] = append(byWord[w], line)
		}
		for _, w := range indexedBy(e.withoutOriginal(line.title), small) {
			ofPage[w] = true
		}
	}
	e.fromPlural(byWord)
	all := slices.Collect(maps.Keys(byWord))
	fold := folding()
	slices.SortFunc(all, func(a, b string) int {
		if c := strings.Compare(fold(a), fold(b)); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
	page.Words = len(all)
	for _, w := range all {
		id, letter := e.letterOf(w)
		if n := len(page.Letters); n == 0 || page.Letters[n-1].ID != id {
			page.Letters = append(page.Letters, indexLetter{ID: id, Letter: letter})
		}
		word := indexWord{Word: w, Original: !ofPage[w], Lines: byWord[w]}
		for i, line := range word.Lines {
			linked := len(line.Places) == 1 && line.Places[0].Kind != ""
			if !linked && fold(line.title) != fold(w) {
				word.Lines[i].Lead = e.say("shape.lead", "title", line.title)
			}
		}
		last := &page.Letters[len(page.Letters)-1]
		last.Words = append(last.Words, word)
	}
	return e.html("index", page)
}

// indexLines puts the places of one title together, and sorts by title.
func (e Edition) indexLines(t Terms) []indexLine {
	at, fold := map[string]int{}, folding()
	var out []indexLine
	for _, x := range t.list {
		key := fold(x.Title)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, indexLine{title: x.Title})
		}
		place := indexPlace{Href: x.Href, Page: x.Page}
		if x.Page == x.Title {
			place.Kind = e.say("book.search.kind." + x.Kind)
		}
		if line := &out[i]; len(line.Places) < mostPlaces {
			line.Places = append(line.Places, place)
		} else {
			line.More++
		}
	}
	slices.SortStableFunc(out, func(a, b indexLine) int { return strings.Compare(fold(a.title), fold(b.title)) })
	return out
}

// indexedBy lists the words of a title that somebody may look it up by: not the
// small ones, no numbers, no units.
func indexedBy(title string, small map[string]bool) []string {
	var out []string
	for _, w := range strings.FieldsFunc(title, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsNumber(r) && !unicode.IsMark(r) && r != '\'' && r != '’' && r != '-'
	}) {
		w = strings.Trim(w, "'’-")
		// "The vessel's mouth" is looked up by the vessel.
		w = strings.TrimSuffix(strings.TrimSuffix(w, "'s"), "’s")
		key := w
		// A name in capitals stays what it is: CO2, RH.
		if w != strings.ToUpper(w) {
			key = strings.ToLower(w)
		}
		first, _ := utf8.DecodeRuneInString(key)
		if !unicode.IsLetter(first) || utf8.RuneCountInString(key) < 2 || small[strings.ToLower(key)] || measures[w] || slices.Contains(out, key) {
			continue
		}
		out = append(out, key)
	}
	return out
}

// measures are the units of titles: "850 mL bottle" is looked up by the bottle.
var measures = func() map[string]bool {
	out := map[string]bool{}
	for _, k := range []unit.Kind{unit.MassOf, unit.VolumeOf, unit.LengthOf, unit.GaugePressureOf, unit.TimeOf, unit.LightOf, unit.PartsPerMillion} {
		for _, name := range unit.Names(k) {
			out[name] = true
		}
	}
	return out
}()

// withoutOriginal is a title in another language without what stands in brackets at its
// end: a word of the glossary has its original there.
func (e Edition) withoutOriginal(title string) string {
	if open := strings.LastIndex(title, " ("); open >= 0 && strings.HasSuffix(title, ")") && e.Voice.Tag() != words.Original {
		return title[:open]
	}
	return title
}

// fromPlural puts the lines of "bottles" to those of "bottle" where both are
// words of a title. How a plural ends, and what it is made of, is the language's.
func (e Edition) fromPlural(byWord map[string][]indexLine) {
	fold := folding()
	for _, w := range slices.Sorted(maps.Keys(byWord)) {
		one := e.singular(w, byWord)
		if one == "" {
			continue
		}
		for _, line := range byWord[w] {
			if !slices.ContainsFunc(byWord[one], func(l indexLine) bool { return l.title == line.title }) {
				byWord[one] = append(byWord[one], line)
			}
		}
		slices.SortStableFunc(byWord[one], func(a, b indexLine) int { return strings.Compare(fold(a.title), fold(b.title)) })
		delete(byWord, w)
	}
}

// singular is the word of which another is the plural, "" where there is none: the first
// that the endings of the language make of it, "ces=z" for raíces and raíz.
func (e Edition) singular(plural string, byWord map[string][]indexLine) string {
	for _, ending := range strings.Fields(e.say("book.index.plurals")) {
		many, one, _ := strings.Cut(ending, "=")
		if stem, ok := strings.CutSuffix(plural, many); ok && stem != "" {
			if _, both := byWord[stem+one]; both {
				return stem + one
			}
		}
	}
	return ""
}

// letterOf is the letter that a word stands under, and its id.
func (e Edition) letterOf(word string) (id, letter string) {
	first, _ := utf8.DecodeRuneInString(folded(word))
	if !unicode.IsLetter(first) {
		return "letter-0", e.say("book.index.signs")
	}
	return "letter-" + string(first), string(unicode.ToUpper(first))
}
