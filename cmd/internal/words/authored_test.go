package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/unit"
)

var facts = map[string]any{
	"hold": unit.Amount{Kind: unit.TimeOf, Value: 5400, Unit: "min"}, "cold": unit.Amount{Kind: unit.TemperatureOf, Value: 277.15},
	"vessels": 48, "many": "bottles",
}

func TestAuthoredSentences(t *testing.T) {
	v := English(unit.Metric)
	for sentence, want := range map[string]string{
		"Plain.":                    "Plain.",
		"Hold {hold}.":              "Hold 90\u00a0min.",
		"{vessels} { many } each":   "48 bottles each",
		"{{hold}} is {hold}":        "{hold} is 90\u00a0min",
		"a }} b":                    "a } b",
		"  Two\n lines,\ttwo  gaps": "Two lines, two gaps",
		"{{{hold}}}":                "{90\u00a0min}",
	} {
		assert.Equal(t, want, v.Say(Authored(sentence, facts)), sentence)
	}
	assert.Equal(t, "At 39.2\u00a0°F", English(unit.US).Say(Authored("At {cold}", facts)))
	assert.Equal(t, "One\n\n- {two}\n", v.Say(AuthoredProse("One\n\n- {{two}}\n", facts)))
	assert.Equal(t, "Hold {hold}.", Written(Authored("Hold {hold}.", facts)))
	assert.Empty(t, Written(Message("limit.below")))
	assert.Panics(t, func() { v.Say(Authored("Hold {hodl}.", facts)) })
	assert.Panics(t, func() { v.Say(Authored("Hold {hold.", facts)) })
}

func TestNamesOfSentences(t *testing.T) {
	names, err := Names("{a} and {{b}} and {c_d}, {a}")
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "c_d", "a"}, names)
	for _, bad := range []string{"{a", "a}", "{a {b}", "{}", "{ }", "{a\n}", "{{a}", "}"} {
		_, err := Names(bad)
		var alone *Unmatched
		require.ErrorAs(t, err, &alone, bad)
		assert.NotEmpty(t, alone.Near)
	}
}

// A sentence of anything: its names are found or a brace is told of, and doubled
// braces give it back as it was.
func TestAnySentence(t *testing.T) {
	v := English(unit.Metric)
	double := func(s string) (out string) {
		for _, r := range s {
			out += string(r)
			if r == '{' || r == '}' {
				out += string(r)
			}
		}
		return out
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("ab {}\n_é"))).Draw(t, "text")
		names, err := Names(text)
		if err == nil {
			all := map[string]any{}
			for _, n := range names {
				all[n] = "x"
			}
			v.Say(AuthoredProse(text, all))
		}
		if got := v.Say(AuthoredProse(double(text), nil)); got != text {
			t.Fatalf("%q became %q", text, got)
		}
	})
}
