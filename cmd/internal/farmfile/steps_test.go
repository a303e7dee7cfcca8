package farmfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

const ownSteps = `
[[step]]
id = "shake"
after = "inspect"
takes = "10 min"
title = "Shake"
when = "On day 10"
do = ["Lift one.", "Shake it."]
limit = "No lump"
check = "Look at it."
if_off = "Shake again."
why = "It grows faster."

[[step.caution]]
signal = "caution"
text = "It is heavy. Use both hands."

[[step]]
id = "scrape"
check = "See whether it is level."

[[skip]]
step = "tap-down"
reason = "Our filling machine shakes the bottles."
who = "head grower"
on = "2026-03-01"
`

func withSteps(t *testing.T, pairs ...string) *Folder {
	src := changed(t, "protocols/enoki.toml") // all of it
	text := string(src) + ownSteps
	for i := 0; i < len(pairs); i += 2 {
		require.Equal(t, 1, strings.Count(text, pairs[i]), pairs[i])
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return clean(t, farmOf(t, map[string][]byte{"protocols/enoki.toml": []byte(text)}))
}

// What workers read and in which order is the method; who skipped a step and why
// is not, nor in which order the entries stand in the file.
func TestStepsAreOfTheMethod(t *testing.T) {
	plain := clean(t, farmOf(t, nil)).Fingerprint("enoki")
	same := withSteps(t).Fingerprint("enoki")
	assert.NotEqual(t, plain, same)
	seen := map[string]string{same: "as it is"}
	for _, change := range [][2]string{
		{`"Lift one.", "Shake it."`, `"Shake it.", "Lift one."`},
		{`check = "Look at it."`, `check = "Look at each."`},
		{`takes = "10 min"`, `takes = "11 min"`},
		{`after = "inspect"`, `before = "inspect"`},
		{`text = "It is heavy. Use both hands."`, `text = "It is heavy. Use a cart for it."`},
		{`why = "It grows faster."`, "why = \"It grows faster.\"\nprose = \"More.\""},
		{"[[skip]]\nstep = \"tap-down\"", "[[skip]]\nstep = \"trim\""},
	} {
		f := withSteps(t, change[0], change[1]).Fingerprint("enoki")
		assert.Empty(t, seen[f], "%s gives the fingerprint of %s", change[1], seen[f])
		seen[f] = change[1]
	}
	for _, change := range [][2]string{
		{`who = "head grower"`, `who = "owner"`},
		{`on = "2026-03-01"`, `on = "2026-03-02"`},
		{"Our filling machine shakes the bottles.", "The filler shakes every bottle."},
		{`takes = "10 min"`, `takes = "600 s"`},
	} {
		assert.Equal(t, same, withSteps(t, change[0], change[1]).Fingerprint("enoki"), change[1])
	}
	entry := "[[step]]\nid = \"scrape\"\ncheck = \"See whether it is level.\"\n"
	moved := withSteps(t, entry, "", "\n[[step]]\nid = \"shake\"", "\n"+entry+"\n[[step]]\nid = \"shake\"")
	assert.Equal(t, same, moved.Fingerprint("enoki"))
}

// A protocol that is based on another has its steps and skips, until it writes
// its own list, which may be empty.
func TestStepsAreInherited(t *testing.T) {
	enoki := append(changed(t, "protocols/enoki.toml"), ownSteps...)
	for own, want := range map[string][2]int{"": {2, 1}, "step = []\n": {0, 1}, "skip = []\n": {2, 0}} {
		child := "format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\n" + own
		f := clean(t, farmOf(t, map[string][]byte{"protocols/enoki.toml": enoki, "protocols/child.toml": []byte(child)}))
		p := f.Protocols[0]
		require.Equal(t, "child", p.Name)
		assert.Equal(t, want, [2]int{len(p.Steps), len(p.Skips)}, own)
	}
}

// Every step is decided by a key, kept for a reason that has words, or may be
// skipped; the words of the last are not the book's alone.
func TestEveryStepIsKeptOrMayGo(t *testing.T) {
	var free []string
	for _, id := range work.Steps() {
		_, decided := decidedBy[id]
		assert.False(t, decided && work.Kept(id) != "", id)
		if !decided && work.Kept(id) == "" {
			free = append(free, string(id))
			assert.False(t, work.Fixed(id), id)
		}
	}
	assert.Equal(t, []string{"check-moisture", "tap-down", "inspect-bore", "early-fruit", "trim", "retire"}, free)
	assert.Len(t, decidedBy, 6)
}

// A step's texts are listed under the keys that they stand under.
func TestLinesAreKeys(t *testing.T) {
	f := withSteps(t)
	for i, s := range f.Protocols[0].Steps {
		for _, l := range s.Lines() {
			_, n, whole := f.documents["protocols/enoki.toml"].find("step[" + string(rune('0'+i)) + "]." + l.Key)
			assert.True(t, whole && n != nil, l.Key)
		}
	}
	assert.Equal(t, []protocol.Line{{Key: "check", Text: "See whether it is level."}}, f.Protocols[0].Steps[1].Lines())
}
