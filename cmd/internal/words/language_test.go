package words

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"bottlecrop/cmd/internal/unit"
)

// lacking lists the ids of messages that a catalog does not have, and idle those that it
// has and nobody says; both sorted. A catalog of ours has neither.
func lacking(v *Voice) (lacks, idle []string) {
	for _, id := range slices.Sorted(maps.Keys(english())) {
		if !v.Has(id) {
			lacks = append(lacks, id)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(v.catalog)) {
		if _, ok := english()[id]; !ok && !strings.HasPrefix(id, sourceID) {
			idle = append(idle, id)
		}
	}
	return lacks, idle
}

// Every language says every message, with the arguments of the original and no other.
func TestCatalogsAreComplete(t *testing.T) {
	require.Equal(t, []string{"en", "es"}, Languages())
	for _, name := range Languages() {
		v, err := In(name, unit.Metric)
		require.NoError(t, err)
		lacks, idle := lacking(v)
		assert.Empty(t, lacks, "%s has no words for these", name)
		assert.Empty(t, idle, "%s has words for these, which nobody says", name)
		for _, id := range IDs() {
			assert.Equal(t, Arguments(id), argumentsOf(v.catalog[id]), "%s: %s", name, id)
		}
	}
}

// A translator finds a message by its id.
func TestCatalogsAreSorted(t *testing.T) {
	for _, name := range Languages()[1:] {
		text, err := catalogs.ReadFile("catalog/" + name + ".txt")
		require.NoError(t, err)
		var ids []string
		for line := range strings.Lines(string(text)) {
			if id, _, ok := strings.Cut(line, " ="); ok && !strings.HasPrefix(line, "#") {
				ids = append(ids, id)
			}
			assert.Equal(t, strings.TrimRight(line, " \n")+"\n", line, "no blanks at the end")
		}
		assert.True(t, slices.IsSorted(ids), "%s: %s", name, firstUnsorted(ids))
	}
}

func firstUnsorted(ids []string) string {
	for i := range len(ids) - 1 {
		if ids[i] > ids[i+1] {
			return ids[i+1]
		}
	}
	return ""
}

// A sentence that is the same in Spanish was most likely forgotten.
func TestSpanishIsNoEnglish(t *testing.T) {
	es, err := In("es", unit.Metric)
	require.NoError(t, err)
	text := func(pieces []piece) string {
		var b strings.Builder
		for _, p := range pieces {
			b.WriteString(p.text)
		}
		return b.String()
	}
	for _, id := range IDs() {
		said := text(english()[id])
		// What is typed is the same in all languages.
		if !strings.Contains(said, "bottlecrop ") && len(regexp.MustCompile(`\pL{2,}`).FindAllString(said, -1)) >= 3 {
			assert.NotEqual(t, said, text(es.catalog[id]), id)
		}
	}
	for _, id := range IDs() {
		said := text(es.catalog[id])
		for _, mark := range []struct{ ends, begins string }{{"?", "¿"}, {"!", "¡"}} {
			if strings.HasSuffix(said, mark.ends) {
				assert.Contains(t, said, mark.begins, id)
			}
		}
	}
}

// CLDR by x/text: Spanish of Spain writes 1,5; of Mexico, of the United States and of
// Latin America as a whole 1.5.
func TestTags(t *testing.T) {
	half := unit.Amount{Kind: unit.MassOf, Value: 1.5}
	for tag, want := range map[string]string{
		"en": "1.5\u00a0kg", "en-US": "1.5\u00a0kg", "es": "1,5\u00a0kg", "es-ES": "1,5\u00a0kg", "es-MX": "1.5\u00a0kg", "es-US": "1.5\u00a0kg", "es-419": "1.5\u00a0kg", "es-AR": "1,5\u00a0kg",
	} {
		v, err := In(tag, unit.Metric)
		require.NoError(t, err, tag)
		assert.Equal(t, want, half.Show(v.Units()), tag)
		assert.Equal(t, tag, v.Tag())
	}
	_, err := In("fr", unit.Metric)
	require.ErrorIs(t, err, ErrNoLanguage)
	_, err = In("no tag", unit.Metric)
	require.Error(t, err)
	assert.NotErrorIs(t, err, ErrNoLanguage)
}

// Plural rules of CLDR 32, chart "Language Plural Rules", for whole numbers.
func TestPluralFormsOfLanguages(t *testing.T) {
	for tag, want := range map[string][]form{
		"en": {one, other}, "es": {one, other},
		"pl": {one, few, many}, "ru": {one, few, many},
		"vi": {other}, "ar": {zero, one, two, few, many, other},
	} {
		assert.Equal(t, want, tongueOf(language.Make(tag)).forms(), tag)
	}
	polish := &Voice{tongue: tongueOf(language.Polish), catalog: compile(tongueOf(language.Polish).forms(), map[string]string{"x": "{n:count|butelka|butelki|butelek}", "y": "{n:count||pusta|puste|pustych}"})}
	for n, want := range map[int]string{1: "1\u00a0butelka", 3: "3\u00a0butelki", 5: "5\u00a0butelek", 22: "22\u00a0butelki", 112: "112\u00a0butelek"} {
		assert.Equal(t, want, polish.Say(Message("x", "n", n)))
	}
	assert.Equal(t, "puste", polish.Say(Message("y", "n", 4)))
}

func TestEntriesOfACatalog(t *testing.T) {
	got, err := entries("# remark\n\na.b = x = y\r\nempty =\nlines = one\\ntwo\n")
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"a.b": "x = y", "empty": "", "lines": "one\ntwo"}, got)
	_, err = entries("a = b\nnothing here\n")
	require.ErrorContains(t, err, `line 2: "nothing here"`)
	_, err = entries("a = b\na = c\n")
	require.ErrorContains(t, err, "line 2: message a stands twice")
}

// The pseudo-language has every message in brackets, longer by what Stretch says.
func TestPseudo(t *testing.T) {
	v := Pseudo(unit.Metric)
	assert.Equal(t, "en-XA", v.Tag())
	lacks, idle := lacking(v)
	assert.Empty(t, lacks)
	assert.Empty(t, idle)
	said := v.Say(Message("results.one_in", "n", "50"))
	assert.True(t, strings.HasPrefix(said, PseudoOpen) && strings.HasSuffix(said, PseudoClose), said)
	rest, found := Undisguised(said + " rest " + said)
	assert.True(t, found)
	assert.Equal(t, "rest", rest)
	_, found = Undisguised(said + " 12 · " + said)
	assert.False(t, found)
	plain, long := 0, 0
	for _, id := range IDs() {
		for i, p := range english()[id] {
			plain += len([]rune(p.text))
			long += len([]rune(v.catalog[id][i+1].text))
		}
	}
	assert.GreaterOrEqual(t, float64(long), Stretch*float64(plain))
	assert.Less(t, float64(long), 1.1*Stretch*float64(plain))
}
