package review

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

func spanish(t *testing.T) []Text {
	t.Helper()
	es, err := words.In("es", unit.Metric)
	require.NoError(t, err)
	return Messages(words.English(unit.Metric), es)
}

// Every message that can hurt somebody if it is wrong is in the list, translated; and
// each beginning in the table is that of some message.
func TestMessages(t *testing.T) {
	listed := map[string]bool{}
	for _, x := range spanish(t) {
		listed[x.ID] = true
		assert.NotEmpty(t, x.Original, x.ID)
		assert.NotEmpty(t, x.Told, x.ID)
	}
	for _, id := range words.IDs() {
		for _, begins := range []string{"hazard.", "safety.", "fault."} {
			if strings.HasPrefix(id, begins) {
				assert.True(t, listed[id], id)
			}
		}
	}
	for _, row := range limit.All() {
		assert.Equal(t, row.Safety, listed["limit."+row.ID+".why"], row.ID)
	}
	for _, begins := range messages {
		found := false
		for id := range listed {
			found = found || strings.HasPrefix(id, begins)
		}
		assert.True(t, found, "no message begins with %s", begins)
	}
}

// The fingerprint stands for each text, and for nothing else: not for the order in which
// they were found, not for the decimal sign of a country.
func TestFingerprint(t *testing.T) {
	texts := spanish(t)
	pages := []Page{{"a", []byte("> **WARNING** x"), []byte("> **ADVERTENCIA** y")}, {"b", []byte("1"), []byte("2")}}
	print := New(texts, pages).Fingerprint()
	assert.Regexp(t, `^[0-9a-f]{4}-[0-9a-f]{4}$`, print)
	turned := append([]Text{texts[len(texts)-1]}, texts[:len(texts)-1]...)
	assert.Equal(t, print, New(turned, []Page{pages[1], pages[0]}).Fingerprint())
	mx, err := words.In("es-MX", unit.US)
	require.NoError(t, err)
	assert.Equal(t, print, New(Messages(words.English(unit.US), mx), pages).Fingerprint())
	for i, change := range []func(*Set){
		func(s *Set) { s.Texts[3].Told += "." },
		func(s *Set) { s.Texts[3].Original += "." },
		func(s *Set) { s.Texts = s.Texts[1:] },
		func(s *Set) { s.Pages[1].Told = []byte("3") },
		func(s *Set) { s.Pages = s.Pages[1:] },
	} {
		s := New(texts, pages)
		change(&s)
		assert.NotEqual(t, print, s.Fingerprint(), "change %d", i)
	}
	assert.True(t, New(nil, nil).Empty())
}

func TestAuthored(t *testing.T) {
	say := func(text string) string { return map[string]string{"hot": "caliente"}[text] }
	p := protocol.Protocol{NotInForce: "not yet", Title: "no caution"}
	assert.Equal(t, []Text{{"a.toml: not_in_force", "en", "not yet", ""}}, Authored("a.toml", "", "en", p, say))
	lock := protocol.Sterilizer{LidLock: "hot", Name: "no caution"}
	assert.Equal(t, []Text{{"lib: sterilizer.x.lid_lock", "en", "hot", "caliente"}}, Authored("lib", "sterilizer.x", "en", lock, say))
	trouble := protocol.Trouble{Title: "mold", Looks: "green", Safety: "mold"}
	assert.Len(t, Authored("lib", "trouble.x", "en", trouble, say), 2, "the card of a trouble with a caution is looked over whole")
	trouble.Safety = ""
	assert.Empty(t, Authored("lib", "trouble.x", "en", trouble, say))
}

func TestIsSafety(t *testing.T) {
	for text, want := range map[string]bool{
		"# A\n\n> **WARNING** x": true, "> **PRECAUCIÓN** x": true, "# A\r\n> **DANGER** x\r\n": true,
		"> a quote": false, "**WARNING** x": false, "> **Bold** x": false,
	} {
		assert.Equal(t, want, IsSafety([]byte(text)), text)
	}
}
