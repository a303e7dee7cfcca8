package words

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"bottlecrop/cmd/internal/protocol"
)

// Capital begins a text with a capital letter, by the rules of the language: for a name
// or a finding that stands by itself, in a table or a list, and in the middle of a
// sentence elsewhere (CLDR calls it titlecase-firstword, for lists). Signs that open a
// text are passed over, "¿qué?" becomes "¿Qué?". What begins with a figure stays.
func (v *Voice) Capital(text string) string {
	at := strings.IndexFunc(text, func(r rune) bool { return !opens(r) })
	if at < 0 {
		return text
	}
	_, n := utf8.DecodeRuneInString(text[at:])
	return text[:at] + v.tongue.upper(text[at:at+n]) + text[at+n:]
}

// opens reports whether a sign stands before the first word of a text: brackets,
// quotes, and the Spanish marks.
func opens(r rune) bool {
	return unicode.In(r, unicode.Ps, unicode.Pi) || strings.ContainsRune(`¿¡"'`, r)
}

// closes reports whether a sign stands behind the end of a sentence that it is a part of.
func closes(r rune) bool {
	return unicode.In(r, unicode.Pe, unicode.Pf) || strings.ContainsRune(`"'`, r)
}

// Sentence says a message that is written as a line of a list, such as a finding, as a
// sentence: with a capital, and with the language's sign at its end where it has none.
// One that ends with a colon goes on below it.
func (v *Voice) Sentence(m protocol.Message) string {
	text := v.Capital(v.Say(m))
	last, _ := utf8.DecodeLastRuneInString(strings.TrimRightFunc(text, closes))
	if text == "" || last == ':' || unicode.Is(unicode.Sentence_Terminal, last) {
		return text
	}
	return v.Say(Message("shape.sentence", "text", text))
}

// List puts names into one line.
func (v *Voice) List(names []string) string { return v.joined("shape.list", names) }

// Phrases puts into one line what may itself have commas.
func (v *Voice) Phrases(parts []string) string { return v.joined("shape.phrases", parts) }

func (v *Voice) joined(id string, parts []string) string {
	out := ""
	for i, p := range parts {
		if i == 0 {
			out = p
			continue
		}
		out = v.Say(Message(id, "before", out, "last", p))
	}
	return out
}
