package words

import (
	"regexp"
	"strings"

	"bottlecrop/cmd/internal/unit"
)

// sourceID begins the id of what a source is called in another language: the rest of the
// id is the source as it was first written. They stand in the catalogs of the other
// languages alone, and only where there is something to translate: a citation stays what
// it is.
const sourceID = "source."

// Source is where a figure comes from in the voice's language: "common practice, no
// source", "balance of masses". Where there are no words for it in that language, it is
// a citation and stays in the language that it was written in, which is told.
func (v *Voice) Source(text string) (said, language string) {
	if v.Tag() == Original || text == "" {
		return text, ""
	}
	if pieces, ok := v.pieces(sourceID + text); ok {
		var b strings.Builder
		for _, p := range pieces {
			b.WriteString(v.literal(p))
		}
		return b.String(), ""
	}
	return text, Original
}

// Decimals puts the voice's decimal sign into a text of ours, which is written with
// points whatever its language: one file serves es and es-MX. What is typed (between
// back quotes), sections of a code of law, versions and numbers with letters at them keep
// their points.
func (v *Voice) Decimals(text string) string {
	if v.units.Decimal("0.5") == "0.5" {
		return text
	}
	return numberWithPoint.ReplaceAllStringFunc(text, func(found string) string {
		end := strings.TrimRight(found, ".,-")
		if !plainNumber.MatchString(end) {
			return found
		}
		return strings.ReplaceAll(end, ".", ",") + found[len(end):]
	})
}

// numberWithPoint finds the words of a text that have a digit, and what keeps its points
// whatever stands in it; plainNumber tells which of them are a number, or two with a
// hyphen between: 0.5, 7-7.5, −0.9.
var (
	numberWithPoint = regexp.MustCompile("(?s)```.*?```|`[^`]*`|(?:CFR|§|doi)[ " + unit.Space + `]\S+|[\pL\d][\pL\d.,-]*`)
	plainNumber     = regexp.MustCompile(`^\d+\.\d+$|^\d+(\.\d{1,2})?-\d+(\.\d{1,2})?$`)
)
