package procedure

import (
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// The most that a step, and each text of it, may ask of its reader: the project
// asks for the sixth to eighth grade; and no sentence of more words than one
// breath. The formula says nothing about a text of a few words, where one long
// word decides.
const (
	gradeMost = 8.5
	wordsMost = 24
	wordsFew  = 8
)

// grade is the Flesch–Kincaid grade level, 0.39·words/sentences +
// 11.8·syllables/words − 15.59 (Kincaid et al. 1975, Research Branch Report
// 8-75). A number with its unit counts as one word of two syllables.
func grade(text string) float64 {
	sentences, count, syllables := 0, 0, 0
	for _, s := range split(text) {
		sentences++
		for _, w := range strings.Fields(s) {
			count++
			syllables += syllablesOf(w)
		}
	}
	return 0.39*float64(count)/float64(sentences) + 11.8*float64(syllables)/float64(count) - 15.59
}

var end = regexp.MustCompile(`[.!?]\s+|[.!?]$`)

// split cuts a text into its sentences. The point of 15.0 ends none.
func split(text string) []string {
	var out []string
	for _, s := range end.Split(text, -1) {
		if strings.TrimSpace(s) != "" {
			out = append(out, s)
		}
	}
	return out
}

// syllablesOf counts groups of vowels, without the silent ones at the end of
// closed, smoke and whole, but with that of bottle.
func syllablesOf(word string) int {
	w := strings.ToLower(strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }))
	if w == "" || unicode.IsDigit(rune(w[0])) {
		return 2
	}
	w = strings.TrimSuffix(w, "'s")
	n, before := 0, false
	for _, r := range w {
		vowel := strings.ContainsRune("aeiouy", r)
		if vowel && !before {
			n++
		}
		before = vowel
	}
	consonantBefore := func(end string) bool {
		rest, ok := strings.CutSuffix(w, end)
		return ok && rest != "" && !strings.ContainsRune("aeiouy", rune(rest[len(rest)-1]))
	}
	switch {
	case strings.HasSuffix(w, "le") && len(w) > 2 && consonantBefore("le"): // bottle
	case consonantBefore("e"): // scale
		n--
	case consonantBefore("ed") && !strings.HasSuffix(w, "ted") && !strings.HasSuffix(w, "ded"): // closed
		n--
	case strings.HasSuffix(w, "les") && len(w) > 3 && consonantBefore("les"): // bottles
	case consonantBefore("es") && !regexp.MustCompile(`(s|x|z|ch|sh|g|c)es$`).MatchString(w): // scales
		n--
	}
	return max(n, 1)
}

func TestSyllables(t *testing.T) {
	for word, want := range map[string]int{ // a dictionary's, from memory
		"scale": 1, "bottle": 2, "bottles": 2, "closed": 1, "heated": 2, "cracked": 1, "moisture": 2, "alcohol": 3,
		"sterilize": 3, "humidity": 4, "inoculate": 4, "temperature": 4, "the": 1, "rims": 1, "boxes": 2, "rule": 1, "rules": 1,
	} {
		assert.Equal(t, want, syllablesOf(word), word)
	}
	// By hand: 6 words, 1 sentence, 6 syllables.
	assert.InDelta(t, 0.39*6+11.8-15.59, grade("The cat sat on the mat."), 1e-9)
	assert.Len(t, split("Keep it at 15.0 psi. Then wait."), 2)
}

// TestReadingGrade measures what a worker reads at each step.
func TestReadingGrade(t *testing.T) {
	graded := map[string]bool{} // what was said before, by another setting
	for _, s := range settings() {
		if s.vessels != 400 {
			continue
		}
		voice := words.English(s.units)
		p := s.build(t)
		for _, x := range p.Steps {
			list := append([]protocol.Message{x.Limit, x.Check, x.IfOff, x.Why, x.Wrong, x.Ask, x.Answer}, x.Do...)
			for _, l := range x.Looks {
				list = append(list, l.Text)
			}
			for _, h := range x.Safety {
				list = append(list, h.Text)
			}
			for _, q := range x.More {
				list = append(list, q.Ask, q.Answer)
			}
			var text []string
			for _, m := range list {
				said := voice.Say(m)
				text = append(text, said)
				if graded[said] {
					continue
				}
				graded[said] = true
				if len(strings.Fields(said)) >= wordsFew {
					assert.LessOrEqual(t, grade(said), gradeMost, "%s: %s", m.ID, said)
				}
				for _, one := range split(said) {
					assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s", m.ID, one)
				}
			}
			if all := strings.Join(text, " "); !graded[all] {
				graded[all] = true
				assert.LessOrEqual(t, grade(all), gradeMost, "%s, %s", s.protocol.Name, x.ID)
			}
		}
		for _, h := range p.Hazards {
			said := voice.Say(h.Text)
			assert.LessOrEqual(t, grade(said), gradeMost, said)
		}
	}
}
