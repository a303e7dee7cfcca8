package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/unit"
)

// A capital is put by the language's rules: behind the signs that open a Spanish
// question, and on no figure.
func TestCapital(t *testing.T) {
	v := English(unit.Metric)
	for text, want := range map[string]string{
		"": "", "the hold": "The hold", "¿qué?": "¿Qué?", "“so”": "“So”", "12 kg of it": "12 kg of it", "éste": "Éste", "—": "—", "⟦so⟧": "⟦So⟧",
	} {
		assert.Equal(t, want, v.Capital(text))
	}
}

// A sentence ends once, also where a bracket or a quote closes behind its end, and one
// that goes on below it with its colon.
func TestSentence(t *testing.T) {
	v := voice(unit.Metric, map[string]string{
		"line": "the hold is short", "whole": "The hold is short.", "asked": "is it short?", "quoted": "it says “stop.”", "on": "all of this:", "none": "", "shape.sentence": "{text:text}.",
	})
	for id, want := range map[string]string{
		"line": "The hold is short.", "whole": "The hold is short.", "asked": "Is it short?", "quoted": "It says “stop.”", "on": "All of this:", "none": "",
	} {
		assert.Equal(t, want, v.Sentence(Message(id)), id)
	}
}

func TestListsAndPhrases(t *testing.T) {
	v := English(unit.Metric)
	assert.Equal(t, "", v.List(nil))
	assert.Equal(t, "bran", v.List([]string{"bran"}))
	assert.Equal(t, "bran, gypsum, water", v.List([]string{"bran", "gypsum", "water"}))
	assert.Equal(t, "a, b; c", v.Phrases([]string{"a, b", "c"}))
}

// What the pseudo-language adds to a text stands before the signs that end it.
func TestPseudoKeepsTheEndOfASentence(t *testing.T) {
	said := Pseudo(unit.Metric).Say(Message("shape.sentence", "text", "so"))
	assert.Equal(t, PseudoOpen+"so."+PseudoClose, said)
	assert.Regexp(t, `[^.]\.$`, stretched("Keep bad ones closed."))
	assert.Regexp(t, `[^:]:$`, stretched("The week before:"))
}
