//go:build !js

package words

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"golang.org/x/text/cases"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"bottlecrop/cmd/internal/unit"
)

// What is in this file knows all languages, by the tables of x/text. The part of the
// program that a book carries is handed a voice (Spoken), and has no room for them.

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
	v := &Voice{units: units.WithPoint().WithTimes(""), tongue: tongueOf(t), catalog: spoken}
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
		return compile(tongueOf(language.Make(base)).forms(), list)
	}))
	return once.(func() map[string][]piece)(), true
}

var compiled sync.Map // by base language, functions that compile it once

// tongueOf is what a language does to words.
func tongueOf(t language.Tag) tongue {
	return tongue{tag: t.String(), form: func(n int) form { return formOf(t, n) }, upper: cases.Upper(t).String}
}

// formOf is the plural form of a whole number.
func formOf(t language.Tag, n int) form {
	return form(plural.Cardinal.MatchPlural(t, n, 0, 0, 0, 0))
}
