package words

import (
	"embed"
	"errors"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"bottlecrop/cmd/internal/unit"
)

// Original is the language that our own texts are written in: those of the catalogs
// in Go, of the library and of the program's guides.
const Original = "en"

// catalogs are the other languages, one file each: "id = template" a line, in the order
// of the ids; lines that begin with # are remarks. \n is a line end.
//
//go:embed catalog/*.txt
var catalogs embed.FS

// Languages lists the languages that there is a catalog of, the original first.
func Languages() []string {
	out := []string{Original}
	files, err := catalogs.ReadDir("catalog")
	if err != nil {
		panic(err) // it is compiled in
	}
	for _, f := range files {
		out = append(out, strings.TrimSuffix(f.Name(), path.Ext(f.Name())))
	}
	return out
}

// ErrNoLanguage says that no catalog speaks a language.
var ErrNoLanguage = errors.New("words: no catalog of that language")

// In returns the voice of a language by its BCP 47 tag: "es" is that of Spain, with a
// decimal comma; "es-MX", "es-US" and "es-419" have the decimal point of America. The
// words are the same. ErrNoLanguage says that there is no catalog, another error that
// the tag is none.
func In(tag string, units unit.System) (*Voice, error) {
	t, err := language.Parse(tag)
	if err != nil {
		return nil, fmt.Errorf("words: %q is no tag of a language (BCP 47): %w", tag, err)
	}
	base, _ := t.Base()
	spoken, ok := read(base.String())
	if !ok {
		return nil, fmt.Errorf("%w: %s", ErrNoLanguage, tag)
	}
	v := &Voice{units: units.WithPoint().WithTimes(""), tag: t, catalog: spoken}
	if decimal(t) == "," {
		v.units = v.units.WithComma()
	}
	if base.String() != Original {
		v.units = v.units.WithTimes(v.Say(Message("unit.times")))
	}
	return v, nil
}

// decimal is the sign before decimals (CLDR, by x/text).
func decimal(t language.Tag) string {
	half := message.NewPrinter(t).Sprint(number.Decimal(0.5))
	return strings.Trim(half, "05")
}

// read gives the messages of a language, compiled once.
func read(base string) (map[string][]piece, bool) {
	if base == Original {
		return english(), true
	}
	if !slices.Contains(Languages(), base) {
		return nil, false
	}
	once, _ := compiled.LoadOrStore(base, sync.OnceValue(func() map[string][]piece {
		text, err := catalogs.ReadFile("catalog/" + base + ".txt")
		if err != nil {
			panic(err) // it is compiled in
		}
		list, err := entries(string(text))
		if err != nil {
			panic(fmt.Sprintf("words: catalog/%s.txt: %v", base, err))
		}
		return compile(formsOf(language.Make(base)), list)
	}))
	return once.(func() map[string][]piece)(), true
}

var compiled sync.Map // by base language, functions that compile it once

// entries reads the lines of a catalog.
func entries(text string) (map[string]string, error) {
	out := map[string]string{}
	for i, line := range strings.Split(text, "\n") {
		if line = strings.TrimSuffix(line, "\r"); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		id, template, ok := strings.Cut(line, " = ")
		if !ok {
			if id, ok = strings.CutSuffix(line, " ="); !ok {
				return nil, fmt.Errorf("line %d: %q is not id = template", i+1, line)
			}
		}
		if _, twice := out[id]; twice {
			return nil, fmt.Errorf("line %d: message %s stands twice", i+1, id)
		}
		out[id] = strings.ReplaceAll(template, `\n`, "\n")
	}
	return out, nil
}

// formsOf lists the plural forms that whole numbers take in a language, in the order
// in which a template has their words: that of CLDR, zero, one, two, few, many, other.
// English and Spanish have one and other, Polish has one, few and many.
func formsOf(t language.Tag) []plural.Form {
	met := map[plural.Form]bool{}
	const enough = 1000 // no language of CLDR tells whole numbers below a million apart by more than their last two digits
	for n := range enough {
		met[formOf(t, n)] = true
	}
	order := []plural.Form{plural.Zero, plural.One, plural.Two, plural.Few, plural.Many, plural.Other}
	return slices.DeleteFunc(order, func(f plural.Form) bool { return !met[f] })
}

// formOf is the plural form of a whole number.
func formOf(t language.Tag, n int) plural.Form {
	return plural.Cardinal.MatchPlural(t, n, 0, 0, 0, 0)
}

// Tag is the voice's language as a page states it (BCP 47).
func (v *Voice) Tag() string { return v.tag.String() }

// Lacks lists the ids of messages that a catalog does not have, and Idle those that it
// has and nobody says; both sorted. A catalog of ours has neither.
func (v *Voice) Lacks() (lacks, idle []string) {
	for _, id := range slices.Sorted(maps.Keys(english())) {
		if !v.Has(id) {
			lacks = append(lacks, id)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(v.catalog)) {
		if _, ok := english()[id]; !ok && !strings.HasPrefix(id, sourceID) {
			idle = append(idle, id)
		}
	}
	return lacks, idle
}

// Template is a message as it stands in the voice's catalog, with its arguments in
// braces by their names: for those who look a translation over.
func (v *Voice) Template(id string) string {
	var b strings.Builder
	for _, p := range v.catalog[id] {
		switch {
		case p.name == "":
			b.WriteString(p.text)
		case p.words == nil:
			b.WriteString("{" + p.name + "}")
		default:
			b.WriteString("{" + p.name)
			for _, form := range formsOf(v.tag) {
				b.WriteString("|" + p.words[form])
			}
			b.WriteString("}")
		}
	}
	return b.String()
}
