package site_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// systems are the units in which the guides give a measure, and how one of the
// metric system is written in the other: NIST Special Publication 811, appendix B
// (from memory).
var systems = []struct {
	metric, us string
	convert    func(float64) float64
}{
	{"kg", "lb", by(1 / 0.45359237)},
	{"g", "oz", by(1 / 28.349523125)},
	{"L", "fl oz", by(1000 / 29.5735295625)},
	{"mL", "fl oz", by(1 / 29.5735295625)},
	{"L", "gallons", by(1 / 3.785411784)},
	{"L", "cubic feet", by(1 / 28.316846592)},
	{"m", "ft", by(1 / 0.3048)},
	{"mm", "in", by(1 / 25.4)},
	{"m/s", "ft/min", by(60 / 0.3048)},
	{"kPa", "psi", by(1 / 6.894757)},
	{"°C", "°F", func(c float64) float64 { return c*1.8 + 32 }},
}

func by(factor float64) func(float64) float64 {
	return func(x float64) float64 { return x * factor }
}

const measured = `(\d+(?:/\d+|\.\d+)?)(?: to (\d+(?:\.\d+)?))?`

// number reads 1.5 and 1/32.
func number(t *testing.T, s string) float64 {
	t.Helper()
	over, under, fraction := strings.Cut(s, "/")
	x, err := strconv.ParseFloat(over, 64)
	require.NoError(t, err)
	if fraction {
		d, err := strconv.ParseFloat(under, 64)
		require.NoError(t, err)
		x /= d
	}
	return x
}

// Both systems say the same: to 3 %, or half a unit of the last digit where that
// is more; a temperature to 1 °F.
func TestMeasuresAgreeInBothSystems(t *testing.T) {
	pairs := 0
	for name, text := range pages(t) {
		for _, s := range systems {
			between := `\s*(?:\(|, (?:or )?(?:about )?|are about )`
			for _, pattern := range []struct {
				expression string
				metric, us int
			}{
				{measured + ` ` + s.metric + between + measured + ` ` + s.us + `\b`, 1, 3},
				{measured + ` ` + s.us + between + measured + ` ` + s.metric + `\b`, 3, 1},
			} {
				for _, m := range regexp.MustCompile(pattern.expression).FindAllStringSubmatch(text, -1) {
					for i := range 2 {
						metric, us := m[pattern.metric+i], m[pattern.us+i]
						if metric == "" && us == "" {
							continue
						}
						require.True(t, metric != "" && us != "", "%s: %s", name, m[0])
						pairs++
						want, got := s.convert(number(t, metric)), number(t, us)
						give := math.Max(0.03*want, 0.5)
						if strings.Contains(us, ".") {
							give = math.Max(0.03*want, 0.05)
						}
						if strings.Contains(us, "/") {
							give = 0.03 * want
						}
						if s.metric == "°C" {
							give = 1
						}
						assert.InDelta(t, want, got, give, "%s: %s", name, m[0])
					}
				}
			}
		}
	}
	assert.Greater(t, pairs, 20)
	assert.Equal(t, 33.0, math.Round(by(1/0.45359237)(15)), "15 kg")
}

// A page that gives a measure in metric units gives it in the others as well, at
// least once.
func TestMeasuresStandInBothSystems(t *testing.T) {
	metric := regexp.MustCompile(measured + ` (kg|g|mL|L|m|mm|m/s|kPa|°C)(?:[ ,.;:)|]|$)`)
	for name, text := range pages(t) {
		text, _, _ = strings.Cut(text, "\n## Sources\n")
		flat := strings.ReplaceAll(text, "\n", " ")
		done := map[string]bool{}
		for _, m := range metric.FindAllStringSubmatch(flat, -1) {
			said := strings.TrimRight(m[0], " ,.;:)|")
			if done[said] {
				continue
			}
			done[said] = true
			ok := false
			for _, s := range systems {
				if s.metric != m[3] {
					continue
				}
				there, back := regexp.QuoteMeta(said)+`(?: \(| are about |, or |, (?:about )?)`+measured+` `+s.us, s.us+`(?: \(| are about |, (?:about )?)`+regexp.QuoteMeta(said)
				ok = ok || regexp.MustCompile(there).MatchString(flat) || regexp.MustCompile(back).MatchString(flat)
			}
			assert.True(t, ok, "%s: %s is given in one system only", name, said)
		}
	}
}

// term is an entry of the glossary.
type term struct{ name, text string }

func glossary(t *testing.T) []term {
	t.Helper()
	text, _, ok := strings.Cut(pages(t)["glossary.md"], "\n## Sources\n")
	require.True(t, ok)
	var out []term
	for _, block := range strings.Split(text, "\n\n") {
		name, said, ok := strings.Cut(strings.TrimSpace(block), "\n: ")
		if ok {
			out = append(out, term{strings.TrimSpace(name), said})
		}
	}
	require.NotEmpty(t, out)
	return out
}

// The glossary can be looked up by hand: in the order of the alphabet, each word
// once, and none explained by itself alone.
func TestGlossaryIsInOrder(t *testing.T) {
	words := glossary(t)
	assert.Greater(t, len(words), 100)
	key := func(s string) string {
		return strings.NewReplacer("-", "", ":", "", " ", "", ",", "", "₂", "2").Replace(strings.ToLower(s))
	}
	for i, w := range words {
		if i > 0 {
			assert.Less(t, key(words[i-1].name), key(w.name), "%s stands before %s", words[i-1].name, w.name)
		}
		assert.Regexp(t, `[.”]$`, w.text, w.name)
		assert.GreaterOrEqual(t, len(strings.Fields(w.text)), 4, w.name)
	}
}

// A word that a definition points to has a definition.
func TestGlossaryPointsToItsOwnWords(t *testing.T) {
	known := map[string]bool{}
	for _, w := range glossary(t) {
		known[w.name] = true
	}
	pointer := regexp.MustCompile(`See \*([^*]+)\*`)
	seen := 0
	for _, w := range glossary(t) {
		for _, m := range pointer.FindAllStringSubmatch(w.text, -1) {
			seen++
			assert.True(t, known[m[1]], "%s points to %s", w.name, m[1])
		}
	}
	assert.Positive(t, seen)
}
