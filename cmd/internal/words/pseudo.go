package words

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bottlecrop/cmd/internal/unit"
)

// The brackets around every message of the pseudo-language. None of our own messages
// has them.
const (
	PseudoOpen  = "⟦"
	PseudoClose = "⟧"
)

// Stretch is how much longer the pseudo-language is than English, at least: what
// translators reckon with for sentences (design choice).
const Stretch = 1.4

// Pseudo returns the voice of a language that nobody speaks, for tests: English with
// accents, stretched, each message in brackets. What stands on a page outside of
// brackets is in no catalog; what is cut off or overlaps has no room for other
// languages. Its tag is the one that CLDR has for such a language.
func Pseudo(units unit.System) *Voice {
	out := map[string][]piece{}
	for id, pieces := range english() {
		out[id] = disguised(pieces)
	}
	return &Voice{units: units, tongue: tongue{"en-XA", inOriginal.form, inOriginal.upper}, catalog: out}
}

func disguised(pieces []piece) []piece {
	if len(pieces) == 0 {
		return nil
	}
	out := make([]piece, 0, len(pieces)+2)
	out = append(out, piece{text: PseudoOpen})
	for _, p := range pieces {
		p.text = stretched(p.text)
		if p.words != nil {
			words := map[form]string{}
			for f, w := range p.words {
				words[f] = stretched(w)
			}
			p.words = words
		}
		out = append(out, p)
	}
	return append(out, piece{text: PseudoClose})
}

var accented = map[rune]rune{
	'a': 'á', 'e': 'é', 'i': 'í', 'o': 'ó', 'u': 'ú', 'n': 'ñ', 'c': 'ç', 'y': 'ý',
	'A': 'Á', 'E': 'É', 'I': 'Í', 'O': 'Ó', 'U': 'Ú', 'N': 'Ñ', 'C': 'Ç', 'Y': 'Ý',
}

// stretched puts accents on letters and makes words longer, the way that longer words
// do: a text that may end at each of its blanks would hide what overflows.
func stretched(text string) string {
	letters := utf8.RuneCountInString(text)
	more := int(float64(letters)*(Stretch-1) + 0.999)
	if letters == 1 {
		more = 0 // a letter by itself is a mark, in any language
	}
	var b strings.Builder
	for _, r := range text {
		a, ok := accented[r]
		if !ok {
			b.WriteRune(r)
			continue
		}
		b.WriteRune(a)
		if more > 0 && !unicode.IsUpper(r) {
			b.WriteRune(a)
			more--
		}
	}
	longer := b.String()
	if first := strings.IndexFunc(text, unicode.IsLetter); first >= 0 && more > 0 {
		// The last word takes what is left, before the signs that end the text.
		at := len(strings.TrimRightFunc(longer, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }))
		longer = longer[:at] + strings.Repeat("é", more) + longer[at:]
	}
	return longer
}

// Undisguised reports whether a text has letters outside of the brackets of the
// pseudo-language, and the first of them with what stands around.
func Undisguised(text string) (string, bool) {
	depth := 0
	var outside []rune
	for _, r := range text {
		switch string(r) {
		case PseudoOpen:
			depth++
			continue
		case PseudoClose:
			depth--
			continue
		}
		if depth == 0 {
			outside = append(outside, r)
		}
	}
	at := slices.IndexFunc(outside, unicode.IsLetter)
	if at < 0 {
		return "", false
	}
	return strings.TrimSpace(string(outside)), true
}
