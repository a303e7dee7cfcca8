package protocol

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

type shelfOf struct {
	Count int    `toml:"count"`
	Note  string `toml:"note" prose:"true"`
}

type toldOf struct {
	shelfOf
	Plain   shelfless            `toml:"plain"`
	By      string               `toml:"by" prose:"name"`
	ID      string               `toml:"id"`
	Shelves []shelfOf            `toml:"shelf"`
	ByID    map[string]*shelfOf  `toml:"by_id"`
	Lines   []string             `toml:"lines" prose:"caution"`
	Numbers map[string][]float64 `toml:"numbers"`
	Alone   *string              `toml:"alone" prose:"true"`
}

type shelfless struct {
	IDs []string `toml:"ids"`
}

// Prose is found wherever it stands, with the path of its key, in the order of the file
// and of the alphabet; a copy with other words leaves the original as it is.
func TestProseIsFoundAndToldAnew(t *testing.T) {
	alone := "alone"
	v := []toldOf{{
		Plain: shelfless{[]string{"x"}}, By: "head grower", ID: "a",
		Shelves: []shelfOf{{1, "first"}, {2, ""}, {3, "third"}},
		ByID:    map[string]*shelfOf{"z": {9, "last"}, "b": {8, "before"}, "nil": nil},
		Lines:   []string{"Stop.", "Ask."}, Numbers: map[string][]float64{"n": {1}}, Alone: &alone,
	}}
	var found []string
	Prose(v, func(key, text string, name bool) {
		if name {
			text += " (name)"
		}
		found = append(found, strings.TrimPrefix(key, "[0].")+"="+text)
	})
	assert.Equal(t, []string{"by=head grower (name)", "shelf[0].note=first", "shelf[2].note=third", "by_id.b.note=before", "by_id.z.note=last", "lines[0]=Stop.", "lines[1]=Ask.", "alone=alone"}, found)
	var cautions []string
	Cautions(v, func(_, text string) { cautions = append(cautions, text) })
	assert.Equal(t, v[0].Lines, cautions)

	got := Retold(v, func(text string, name bool) string {
		if name {
			return text
		}
		return strings.ToUpper(text)
	})[0]
	assert.Equal(t, "head grower", got.By)
	assert.Equal(t, []shelfOf{{1, "FIRST"}, {2, ""}, {3, "THIRD"}}, got.Shelves)
	assert.Equal(t, map[string]*shelfOf{"z": {9, "LAST"}, "b": {8, "BEFORE"}, "nil": nil}, got.ByID)
	assert.Equal(t, []string{"STOP.", "ASK."}, got.Lines)
	assert.Equal(t, "ALONE", *got.Alone)
	assert.Equal(t, v[0].Plain, got.Plain)
	assert.Equal(t, v[0].Numbers, got.Numbers)
	assert.Equal(t, "first", v[0].Shelves[0].Note)
	assert.Equal(t, "last", v[0].ByID["z"].Note)
	assert.Equal(t, "Stop.", v[0].Lines[0])
	assert.Equal(t, "alone", alone)
}
