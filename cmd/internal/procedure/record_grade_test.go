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

// What records, cards, load maps and trainings say to a worker reads as easily as a
// sheet. Which law holds, and after whom a record is made, is for the person in charge.
func TestReadingGradeOfRecords(t *testing.T) {
	voice := words.English(unit.Metric)
	forTheOffice := map[string]bool{"book.record.keep": true, "book.record.source": true, "record.yield.efficiency": true} // the last is a formula with its name in the trade
	read := 0
	for _, id := range words.IDs() {
		part, _, _ := strings.Cut(strings.TrimPrefix(id, "book."), ".")
		switch part {
		case "record", "cards", "bottle_labels", "load_map", "training", "training_key":
		default:
			continue
		}
		if forTheOffice[id] {
			continue
		}
		m := protocol.Message{ID: id, Args: map[string]any{}}
		for _, a := range words.Arguments(id) {
			name, kind, found := strings.Cut(a, ":")
			require.True(t, found, a)
			m.Args[name] = map[string]any{"text": "bottles", "count": 9, "amount": unit.Amount{Kind: unit.TimeOf, Value: 600},
				"message": words.Message("record.n", "n", 9)}[kind]
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
	assert.Greater(t, read, 50)
}
