package procedure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// What the page on cleaning says to a worker reads as easily as a sheet. Sources, and
// which law holds, are for the person in charge.
func TestReadingGradeOfCleaning(t *testing.T) {
	voice := words.English(unit.Metric)
	read := 0
	for _, id := range words.IDs() {
		if !strings.HasPrefix(id, "book.hygiene.") || strings.HasPrefix(id, "book.hygiene.source.") ||
			id == "book.hygiene.law" || id == "book.hygiene.known" || id == "book.hygiene.bench.class" {
			continue
		}
		m := protocol.Message{ID: id, Args: map[string]any{}}
		for _, a := range words.Arguments(id) {
			name, kind, found := strings.Cut(a, ":")
			require.True(t, found, a)
			m.Args[name] = map[string]any{"text": "enoki", "count": 9, "amount": unit.Amount{Kind: unit.TimeOf, Value: 600}}[kind]
		}
		said := voice.Say(m)
		if len(strings.Fields(said)) < wordsFew {
			continue
		}
		read++
		assert.LessOrEqual(t, grade(said), gradeMost, "%s: %s", id, said)
		for _, one := range split(said) {
			assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s", id, one)
		}
	}
	assert.Greater(t, read, 30)
}
