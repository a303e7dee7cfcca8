package procedure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// The card at a room's door is read with wet hands and a crate in them: short sentences
// of the sheets' grade.
func TestRoomCardIsWrittenForWorkers(t *testing.T) {
	v := words.English(unit.Metric)
	n := 0
	for _, id := range words.IDs() {
		if !strings.HasPrefix(id, "book.roomcard.") {
			continue
		}
		n++
		var args []any
		for _, a := range words.Arguments(id) {
			name, kind, _ := strings.Cut(a, ":")
			args = append(args, name, map[string]any{
				"amount": unit.Amount{Kind: unit.PartsPerMillion, Value: 5e-3, Unit: "ppm"}, "text": "Enoki", "count": 240,
				"message": words.Message("book.stage.fruiting"),
			}[kind])
		}
		said := v.Say(words.Message(id, args...))
		if len(strings.Fields(said)) >= wordsFew {
			assert.LessOrEqual(t, grade(said), gradeMost, "%s: %s", id, said)
		}
		for _, one := range split(said) {
			assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s", id, one)
		}
	}
	assert.Greater(t, n, 50)
}
