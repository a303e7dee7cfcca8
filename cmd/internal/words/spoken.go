package words

import (
	"fmt"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/unit"
)

// tongue is what a language does to words.
type tongue struct {
	tag   string              // BCP 47
	form  func(n int) form    // the plural form of a whole number
	upper func(string) string // in capitals
}

// form is a plural form, numbered as x/text numbers them.
type form uint8

// The plural forms of CLDR.
const (
	other form = iota
	zero
	one
	two
	few
	many
)

// inOriginal is what English does to words.
var inOriginal = tongue{tag: Original, upper: strings.ToUpper, form: func(n int) form {
	if n == 1 {
		return one
	}
	return other
}}

// English returns the voice of the English catalog.
func English(units unit.System) *Voice {
	return &Voice{units: units, tongue: inOriginal, catalog: english()}
}

// forms lists the plural forms that whole numbers take in a language, in the order
// in which a template has their words: that of CLDR, zero, one, two, few, many, other.
// English and Spanish have one and other, Polish has one, few and many.
func (t tongue) forms() []form {
	met := map[form]bool{}
	const enough = 1000 // no language of CLDR tells whole numbers below a million apart by more than their last two digits
	for n := range enough {
		met[t.form(n)] = true
	}
	return slices.DeleteFunc([]form{zero, one, two, few, many, other}, func(f form) bool { return !met[f] })
}

// Spoken is how a voice speaks, to be handed to a program that has the tables of no
// other language: the part of it that works sheets out in a page.
type Spoken struct {
	Tag       string
	US, Comma bool
	Times     string `json:",omitempty"`
	Forms     string // the plural forms of 0 to 199, a digit each: of larger numbers the last two digits tell
}

// handed is how many plural forms are handed over.
const handed = 200

// Spoken is how the voice speaks.
func (v *Voice) Spoken() Spoken {
	s := Spoken{Tag: v.tongue.tag, US: v.units.IsUS(), Comma: v.units.HasComma(), Times: v.units.Times()}
	for n := range handed {
		s.Forms += string(rune('0' + v.tongue.form(n)))
	}
	return s
}

// Voice is the voice that was handed over. The catalog is that of its language (Catalog),
// or empty for the original. It makes a message ready when it first says it, so one
// voice is for one who speaks at a time.
func (s Spoken) Voice(catalog string) (*Voice, error) {
	if len(s.Forms) != handed || strings.Trim(s.Forms, "012345") != "" {
		return nil, fmt.Errorf("words: no plural forms of %q", s.Tag)
	}
	v := &Voice{units: unit.Metric, tongue: tongue{tag: s.Tag, upper: strings.ToUpper, form: func(n int) form {
		if n >= handed {
			n = handed/2 + n%(handed/2)
		}
		return form(s.Forms[n] - '0')
	}}}
	if s.US {
		v.units = unit.US
	}
	if s.Comma {
		v.units = v.units.WithComma()
	}
	v.units = v.units.WithTimes(s.Times)
	v.catalog, v.forms = map[string][]piece{}, v.tongue.forms()
	if catalog == "" {
		v.texts = original
		return v, nil
	}
	list, err := entries(catalog)
	if err != nil {
		return nil, fmt.Errorf("words: %w", err)
	}
	v.texts = []map[string]string{list}
	return v, nil
}

// Catalog is the catalog of a voice's language as text; empty for the original, which
// every program has. It is no method: a program that keeps all methods of a voice, as
// one with templates does, would have all catalogs.
func Catalog(v *Voice) string {
	text, err := catalogs.ReadFile("catalog/" + v.Base() + ".txt")
	if err != nil {
		return ""
	}
	return string(text)
}
