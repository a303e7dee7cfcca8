package words

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/unit"
)

func inSpanish(t *testing.T, tag string) *Voice {
	t.Helper()
	v, err := In(tag, unit.Metric)
	require.NoError(t, err)
	return v
}

// Six people translated the messages side by side. Whoever reads two pages must not ask
// whether two sentences mean the same thing.
func TestSameSentenceIsSaidTheSame(t *testing.T) {
	en, es := English(unit.Metric), inSpanish(t, "es")
	said := map[string]string{}
	for _, id := range IDs() {
		original := en.Template(id)
		if len(strings.Fields(original)) < 6 {
			continue // a word or two may be a noun here and a verb there
		}
		if before, ok := said[original]; ok {
			assert.Equal(t, es.Template(before), es.Template(id), "%s and %s are the same in English: %s", before, id, original)
		}
		said[original] = id
	}
}

// A text that sends the reader to a heading names it as it stands there.
func TestQuotedHeadingsAreTheHeadings(t *testing.T) {
	en, es := English(unit.Metric), inSpanish(t, "es")
	quoted := regexp.MustCompile(`“([^”]+)”`)
	headings, found := map[string]string{}, 0
	for _, id := range IDs() {
		headings[en.Template(id)] = id
	}
	for _, id := range IDs() {
		for _, q := range quoted.FindAllStringSubmatch(en.Template(id), -1) {
			if heading, ok := headings[q[1]]; ok {
				found++
				assert.Contains(t, es.Template(id), "“"+es.Template(heading)+"”", "%s sends to %s", id, heading)
			}
		}
	}
	assert.Greater(t, found, 5)
}

// One word for one thing: the glossary that the translators were given. Words that stand
// for the thing in English, what it is in Spanish, and what it is not.
func TestOneWordForOneThing(t *testing.T) {
	en, es := English(unit.Metric), inSpanish(t, "es")
	for english, is := range map[string]struct{ word, not string }{
		`\bcollars?\b`:      {`collar(ín|ines)`, `cuellos? de papel`},
		`\bslowest\b`:       {`más lent[oa]`, `punto más lento`},
		`\btargets?\b`:      {`metas?`, `objetivo`},
		`\bgerms?\b`:        {`microbios?`, `g[eé]rmen(es)?`},
		`\bgoggles\b`:       {`gafas de protección`, `gafas protectoras|lentes`},
		`\bstale air\b`:     {`viciado`, `estancado`},
		`\brelief valve\b`:  {`válvula de alivio`, `válvula de seguridad`},
		`\bfleece\b`:        {`tela`, `velo`},
		`\bclean bench\b`:   {`campana`, `cabina`},
		`\bgauge pressure`:  {`presión manométrica`, `presión relativa`},
		`\bheadspace\b`:     {`espacio libre`, `cámara de aire`},
		`\bcontrol vessels`: {`testigos?`, `controles`},
	} {
		meant, word, not := regexp.MustCompile(`(?i)`+english), regexp.MustCompile(`(?i)`+is.word), regexp.MustCompile(`(?i)\b(`+is.not+`)\b`)
		for _, id := range IDs() {
			if !es.Has(id) || !meant.MatchString(en.Template(id)) {
				continue
			}
			said := es.Template(id)
			assert.Regexp(t, word, said, "%s: %s", id, en.Template(id))
			assert.NotRegexp(t, not, said, id)
		}
	}
}

// Titles of steps are said alike: as what is to be done.
func TestTitlesOfStepsAreInfinitives(t *testing.T) {
	es := inSpanish(t, "es")
	title := regexp.MustCompile(`^(step|grain)\.[\w-]+\.title(\.\w+)?$`)
	found := 0
	for _, id := range IDs() {
		if title.MatchString(id) {
			found++
			assert.Regexp(t, `^\pL+(ar|er|ir)\b`, es.Template(id), id)
		}
	}
	assert.Greater(t, found, 30)
}

// A number in a sentence gets the decimal sign of the page (CLDR: a comma in Spain, a
// point in Mexico), a number from a code of law, a version or a line to type does not.
func TestNumbersInSentences(t *testing.T) {
	caption := Message("book.verdict.caption")
	assert.Contains(t, inSpanish(t, "es").Say(caption), "121,1 °C")
	assert.Contains(t, inSpanish(t, "es-MX").Say(caption), "121.1 °C")
	es, mx := inSpanish(t, "es"), inSpanish(t, "es-MX")
	for text, want := range map[string]string{
		"de 0.5 a 1.25 kg (2.8 lb).":                "de 0,5 a 1,25 kg (2,8 lb).",
		"pH 7-7.5, −0.9 %":                          "pH 7-7,5, −0,9 %",
		"21 CFR 211.100 y 29 CFR 1910.1000":         "21 CFR 211.100 y 29 CFR 1910.1000",
		"Food Code 4-501.114":                       "Food Code 4-501.114",
		"ANSI Z358.1, sección 8.2.1":                "ANSI Z358.1, sección 8.2.1",
		"doi 10.1016/j.jfoodeng.2017.05.026":        "doi 10.1016/j.jfoodeng.2017.05.026",
		"escriba `mass = \"6.6 kg\"`, o sea 6.6 kg": "escriba `mass = \"6.6 kg\"`, o sea 6,6 kg",
		"```\nmass = \"6.6 kg\"\n```\n2.5 L":        "```\nmass = \"6.6 kg\"\n```\n2,5 L",
		"El 5. Lea 3.":                              "El 5. Lea 3.",
	} {
		assert.Equal(t, want, es.Decimals(text))
		assert.Equal(t, text, mx.Decimals(text))
		assert.Equal(t, text, English(unit.Metric).Decimals(text))
	}
	assert.Equal(t, "2,5\u00a0veces", unit.Amount{Kind: unit.FactorOf, Value: 2.5}.Show(es.Units()))
	assert.Equal(t, "2.5\u00a0times", unit.Amount{Kind: unit.FactorOf, Value: 2.5}.Show(English(unit.Metric).Units()))
}

// What can be said of a source in Spanish is; a citation stays, and is told to be in the
// language that it was written in.
func TestSources(t *testing.T) {
	es := inSpanish(t, "es")
	for source, want := range map[string][2]string{
		"common practice, no source": {"práctica común, sin fuente", ""},
		"0.08 to 0.12, from memory":  {"0,08 a 0,12, de memoria", ""},
		"ISO 2859-1, table 1":        {"ISO 2859-1, table 1", "en"},
		"":                           {"", ""},
	} {
		said, language := es.Source(source)
		assert.Equal(t, want, [2]string{said, language})
	}
	said, language := English(unit.Metric).Source("common practice, no source")
	assert.Equal(t, [2]string{"common practice, no source", ""}, [2]string{said, language})
	english := regexp.MustCompile(`(?i)\b(common practice|no source|from memory|design choice|confirmed|balance of|definition of)\b`)
	for id := range es.catalog {
		source, is := strings.CutPrefix(id, sourceID)
		if !is {
			continue
		}
		said, _ := es.Source(source)
		assert.NotEqual(t, source, said)
		assert.NotRegexp(t, english, said, source)
	}
}
