package words

import (
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"bottlecrop/cmd/internal/unit"
)

// The forms that we count by ourselves are those of CLDR, by x/text.
func TestFormsAreThoseOfTheLibrary(t *testing.T) {
	assert.Equal(t, []plural.Form{plural.Other, plural.Zero, plural.One, plural.Two, plural.Few, plural.Many},
		[]plural.Form{plural.Form(other), plural.Form(zero), plural.Form(one), plural.Form(two), plural.Form(few), plural.Form(many)})
	english := tongueOf(language.English)
	assert.Equal(t, english.tag, inOriginal.tag)
	for n := range 2000 {
		assert.Equal(t, english.form(n), inOriginal.form(n), n)
	}
}

// A voice that was handed over says what the voice says that it is of: numbers, plural
// forms, capitals and every message of the catalog.
func TestSpokenVoiceSaysTheSame(t *testing.T) {
	for _, tag := range []string{"en", "en-GB", "es", "es-419", "es-MX"} {
		for _, units := range []unit.System{unit.Metric, unit.US} {
			want, err := In(tag, units)
			require.NoError(t, err)
			got, err := want.Spoken().Voice(Catalog(want))
			require.NoError(t, err)
			assert.Equal(t, want.Tag(), got.Tag())
			assert.Equal(t, want.Units(), got.Units(), tag)
			for id, pieces := range want.catalog {
				have, _ := got.pieces(id)
				if !assert.Equal(t, pieces, have, "%s: %s", tag, id) {
					break
				}
			}
			for n := range 1_000_001 {
				if want.tongue.form(n) != got.tongue.form(n) {
					t.Fatalf("%s: %d has another form", tag, n)
				}
				if n == 2000 && units == unit.US { // once is enough for large numbers
					break
				}
			}
			for r := range rune(0x250) { // Latin letters; ß alone has no capital of one letter
				if text := string(r) + "x"; unicode.IsLetter(r) && r != 'ß' && r != 'ŉ' && r != 'ǰ' {
					assert.Equal(t, want.Capital(text), got.Capital(text), text)
				}
			}
		}
	}
	_, err := Spoken{Tag: "en", Forms: "12"}.Voice("")
	assert.Error(t, err)
}
