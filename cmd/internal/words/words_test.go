package words

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

var forms = inOriginal.forms()

// voice speaks a small catalog of its own.
func voice(units unit.System, catalog map[string]string) *Voice {
	return &Voice{units: units, tongue: inOriginal, catalog: compile(forms, catalog)}
}

func TestTemplatesThatDoNotParse(t *testing.T) {
	for template, why := range map[string]string{
		"a {name:text":            "a brace is not closed",
		"{":                       "a brace is not closed",
		"{}":                      "{} is not {name:text}",
		"{name}":                  "{name} is not {name:text}",
		"{:text}":                 "{:text} is not {name:text}",
		"{name:}":                 "{name:} is not {name:text}",
		"{name:number}":           "{name:number} is not {name:text}",
		"{name: text}":            "{name: text} is not {name:text}",
		"{name:text|a|b}":         "a count has 2 words, one for each plural form of its language, and nothing else has any",
		"{mass:amount||a|b}":      "a count has 2 words, one for each plural form of its language, and nothing else has any",
		"{n:count|jar}":           "a count has 2 words, one for each plural form of its language, and nothing else has any",
		"{n:count|x|jar|jars}":    "a count has 2 words, one for each plural form of its language, and nothing else has any",
		"{n:count||jar|jars|few}": "a count has 2 words, one for each plural form of its language, and nothing else has any",
		"fine {n:count} {n:many}": "{n:many} is not {name:text}",
	} {
		_, err := parse(template, forms)
		require.Error(t, err, template)
		assert.Contains(t, err.Error(), why)
		assert.Contains(t, err.Error(), template[:1], "the error shows the template")
		assert.Panics(t, func() { voice(unit.Metric, map[string]string{"x": template}) }, template)
	}
}

func TestAnIDStandsOnce(t *testing.T) {
	assert.PanicsWithValue(t, "words: message a stands twice", func() {
		compile(forms, map[string]string{"a": "one"}, map[string]string{"a": "two"})
	})
}

func TestSayWithTypedArguments(t *testing.T) {
	catalog := map[string]string{
		"plain":   "No argument at all.",
		"text":    "The {name:text} is {name:text}.",
		"amount":  "Weigh {mass:amount} at {warm:amount}.",
		"message": "So: {what:message}",
		"only":    "{name:text}",
		"count":   "{n:count} of {all:count|jar|jars}, and {n:count||it is|they are} full",
		"empty":   "",
	}
	v := voice(unit.Metric, catalog)
	assert.Equal(t, "No argument at all.", v.Say(Message("plain")))
	assert.Equal(t, "No argument at all.", v.Say(Message("plain", "unused", "x")), "a caller may hand over more than is said")
	assert.Equal(t, "The rod is rod.", v.Say(Message("text", "name", "rod")))
	assert.Equal(t, "{name:text}", v.Say(Message("only", "name", "{name:text}")), "what is handed over is no template")
	assert.Equal(t, "", v.Say(protocol.Message{}))
	assert.Equal(t, "", v.Say(Message("empty")))

	inner := Message("text", "name", "lid")
	assert.Equal(t, "So: So: The lid is lid.", v.Say(Message("message", "what", Message("message", "what", inner))))
	assert.Equal(t, "So: ", v.Say(Message("message", "what", protocol.Message{})))

	// The same message in both systems; 1 lb = 0.45359237 kg (NIST SP 811, B.8).
	weigh := Message("amount",
		"mass", unit.Amount{Kind: unit.MassOf, Value: 2.2679618500, Step: 0.01},
		"warm", unit.Amount{Kind: unit.TemperatureOf, Value: float64(unit.FromCelsius(25))})
	assert.Equal(t, "Weigh 2.27\u00a0kg at 25\u00a0°C.", v.Say(weigh))
	pounds := weigh
	pounds.Args = maps.Clone(weigh.Args)
	pounds.Args["mass"] = unit.Amount{Kind: unit.MassOf, Value: 2.2679618500}
	us := voice(unit.US, catalog)
	assert.Equal(t, "Weigh 5\u00a0lb at 77\u00a0°F.", us.Say(pounds))
	assert.Equal(t, unit.US, us.Units())
	// An amount with a unit of its own keeps it, as a dial does.
	assert.Equal(t, "Weigh 80\u00a0oz at 77\u00a0°F.", v.Say(Message("amount",
		"mass", unit.Amount{Kind: unit.MassOf, Value: 2.2679618500, Unit: "oz"},
		"warm", unit.Amount{Kind: unit.TemperatureOf, Value: float64(unit.FromCelsius(25)), Unit: "°F"})))
}

func TestPluralForms(t *testing.T) {
	v := voice(unit.Metric, map[string]string{
		"with":    "{n:count|jar|jars}",
		"without": "{n:count||jar is|jars are} full",
		"bare":    "{n:count}",
		"nothing": "{n:count|| |}",
	})
	for n, want := range map[int][3]string{
		0:     {"0\u00a0jars", "jars are full", "0"},
		1:     {"1\u00a0jar", "jar is full", "1"},
		2:     {"2\u00a0jars", "jars are full", "2"},
		11:    {"11\u00a0jars", "jars are full", "11"},
		21:    {"21\u00a0jars", "jars are full", "21"},
		12345: {"12345\u00a0jars", "jars are full", "12345"},
	} {
		assert.Equal(t, want[0], v.Say(Message("with", "n", n)))
		assert.Equal(t, want[1], v.Say(Message("without", "n", n)))
		assert.Equal(t, want[2], v.Say(Message("bare", "n", n)))
	}
	assert.Equal(t, "", v.Say(Message("nothing", "n", 2)))
}

// A book with a hole in a safety sentence must not be made.
func TestSayPanics(t *testing.T) {
	v := voice(unit.Metric, map[string]string{
		"text": "{x:text}", "count": "{x:count|jar|jars}", "amount": "{x:amount}", "message": "{x:message}",
	})
	assert.PanicsWithValue(t, "words: no message absent", func() { v.Say(Message("absent")) })
	values := map[string]any{
		"text": "x", "count": 3, "amount": unit.Amount{Kind: unit.MassOf, Value: 1}, "message": protocol.Message{},
	}
	for id := range values {
		assert.PanicsWithValue(t, "words: message "+id+": no argument x", func() { v.Say(Message(id)) })
		assert.PanicsWithValue(t, "words: message "+id+": no argument x", func() { v.Say(Message(id, "y", 1)) })
		for kind, value := range values {
			if kind == id {
				assert.NotPanics(t, func() { v.Say(Message(id, "x", value)) })
				continue
			}
			assert.Panics(t, func() { v.Say(Message(id, "x", value)) }, "%s with a %s", id, kind)
		}
		for _, wrong := range []any{nil, 1.5, int64(1), true, []string{"x"}, &unit.Amount{}} {
			assert.Panics(t, func() { v.Say(Message(id, "x", wrong)) }, "%s with %T", id, wrong)
		}
	}
	assert.PanicsWithValue(t, "words: message message: argument x: a int is not a message",
		func() { v.Say(Message("message", "x", 1)) })
	assert.Panics(t, func() { v.Say(Message("message", "x", Message("absent"))) }, "a hole inside a hole")
}

func TestCatalogIsListed(t *testing.T) {
	v := English(unit.Metric)
	ids := IDs()
	assert.True(t, slices.IsSorted(ids))
	assert.Len(t, ids, len(english()))
	for _, id := range ids {
		assert.True(t, v.Has(id))
	}
	assert.False(t, v.Has("limit.absent"))
	assert.Equal(t, []string{"allowed:amount", "found:amount", "quantity:message"}, Arguments("limit.below"))
	assert.Empty(t, Arguments("limit.absent"))
	assert.Empty(t, Arguments("quantity.hold"))
}

// asTyped is a range as it is typed at the command line, such as 5%..20% or
// 30..40: its two points are no punctuation of the sentence.
var asTyped = regexp.MustCompile(`\d%?\.\.\d`)

func TestRangesAsTypedAreNoPunctuation(t *testing.T) {
	for text, clean := range map[string]bool{
		"such as 5%..20%": true, "such as 30..40": true, "1.3%..1.5%": true,
		"such as 5%...": false, "30.. 40": false, "so..": false, "5%,.20%": false, "30...40": false,
	} {
		assert.Equal(t, clean, !doubled.MatchString(asTyped.ReplaceAllString(text, "x")), text)
	}
}

// inColumns is a line of a table for a terminal, as far as the second column.
var inColumns = regexp.MustCompile(`(?m)^( +\d+) +`)

// doubled are two marks where a sentence has one.
var doubled = regexp.MustCompile(`[.,;:]{2}`)

// What holds for every template, whoever wrote it.
func TestTemplatesAreClean(t *testing.T) {
	for id, pieces := range english() {
		text := ""
		for _, p := range pieces {
			text += p.text
			if p.name != "" {
				text += "x" // so that a space on either side of an argument is no double
			}
			assert.False(t, strings.ContainsAny(p.text, "{}"), "%s: a brace stands alone in %q", id, p.text)
		}
		// A new line may be set in, and one that begins with a number has it in a column.
		assert.NotRegexp(t, `\S  `, inColumns.ReplaceAllString(text, "$1 "), "%s: a doubled space", id)
		assert.Equal(t, strings.TrimSpace(text), text, "%s: space at an end", id)
		assert.True(t, utf8.ValidString(text), id)
		assert.NotRegexp(t, doubled, asTyped.ReplaceAllString(text, "x"), id)
		assert.NotRegexp(t, `\s[.,;:]( |$)`, text, id)
	}
}

var digits = regexp.MustCompile(`[0-9]`)

// Numbers stand in the table of limits; in a reason they would be a second
// place. These say what a whole is and what nothing is.
var mayCount = map[string]bool{
	"limit.shares.sum.hint": true, "limit.shares.near.hint": true, "limit.shares.near.why": true,
	"limit.mass_change.never.hint": true,
	// What is usual, and no bound of a row; and the part of a data sheet.
	"limit.outdoor.co2.hint": true, "limit.rooms.coil.hint": true, "limit.rooms.leak.why": true, "limit.rooms.wall.hint": true, "limit.bleach.liter.hint": true,
}

// textsOf are the texts of some lists whose ids begin so.
func textsOf(begin string, lists ...map[string]string) map[string]string {
	out := map[string]string{}
	for _, list := range lists {
		for id, text := range list {
			if strings.HasPrefix(id, begin) {
				out[id] = text
			}
		}
	}
	return out
}

func TestLimitsAreWrittenAsSentences(t *testing.T) {
	for id, text := range textsOf("limit.", limitEnglish, limitGrowingEnglish, roomLimitsEnglish, peopleEnglish, hygieneEnglish, goodEnglish) {
		first, _ := utf8.DecodeRuneInString(text)
		if !strings.HasSuffix(id, ".why") && !strings.HasSuffix(id, ".hint") {
			// A clause that follows "warning:".
			assert.True(t, unicode.IsLower(first) || first == '{', "%s: %s", id, text)
			assert.False(t, strings.HasSuffix(text, "."), "%s: %s", id, text)
			continue
		}
		assert.True(t, unicode.IsUpper(first), "%s: %s", id, text)
		assert.True(t, strings.HasSuffix(text, "."), "%s: %s", id, text)
		assert.LessOrEqual(t, strings.Count(text, ". "), 1, "%s: more than two sentences: %s", id, text)
		for _, sentence := range strings.SplitAfter(text, ". ") {
			words := len(strings.Fields(sentence))
			assert.LessOrEqual(t, words, 30, "%s: %d words: %s", id, words, sentence)
			start, _ := utf8.DecodeRuneInString(sentence)
			assert.True(t, unicode.IsUpper(start), "%s: %s", id, sentence)
		}
		assert.True(t, mayCount[id] || !digits.MatchString(text), "%s: a number that has its place elsewhere: %s", id, text)
	}
}

func TestQuantitiesAreWrittenAsPhrases(t *testing.T) {
	for id, text := range textsOf("quantity.", quantityEnglish, quantityBatchEnglish, roomEnglish, peopleEnglish, hygieneEnglish) {
		first, _ := utf8.DecodeRuneInString(text)
		assert.True(t, unicode.IsLower(first) || strings.HasPrefix(text, "CO₂ "), "%s: %s", id, text)
		assert.NotRegexp(t, `[.;:]$`, text, id)
		assert.NotRegexp(t, `^(the|a|an) `, text, "%s: the sentence brings the article", id)
		assert.LessOrEqual(t, len(strings.Fields(text)), 16, id)
	}
}
