package procedure

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// readBesideTheSheet is what a worker reads beside the steps, by the beginnings of the
// messages' ids. Left out is what is for the person in charge: sources, which law
// holds, and after whom a record is made. Least is how many sentences are long enough
// to have a grade.
var readBesideTheSheet = map[string]struct {
	begin, out []string
	text       string // for the places of a text
	least      int
}{
	"cleaning": {[]string{"book.hygiene."}, []string{"book.hygiene.source.", "book.hygiene.law", "book.hygiene.known", "book.hygiene.bench.class"}, "enoki", 30},
	"records, cards, load maps, trainings": {
		[]string{"book.record", "record.", "book.cards", "book.bottle_labels", "book.load_map", "book.training", "training."},
		[]string{"book.record.keep", "book.record.source", "record.yield.efficiency"}, "bottles", 50}, // the last is a formula with its name in the trade
	"the card at a room's door": {[]string{"book.roomcard."}, nil, "enoki", 30},
}

// What is read with wet hands, or on a clipboard, reads as easily as a sheet.
func TestReadingGradeOfPages(t *testing.T) {
	voice := words.English(unit.Metric)
	for what, page := range readBesideTheSheet {
		read := 0
		for _, id := range words.IDs() {
			begins := func(with string) bool { return strings.HasPrefix(id, with) }
			if !slices.ContainsFunc(page.begin, begins) || slices.ContainsFunc(page.out, begins) {
				continue
			}
			m := protocol.Message{ID: id, Args: map[string]any{}}
			for _, a := range words.Arguments(id) {
				name, kind, found := strings.Cut(a, ":")
				require.True(t, found, a)
				m.Args[name] = map[string]any{"text": page.text, "count": 9, "amount": unit.Amount{Kind: unit.TimeOf, Value: 600},
					"message": words.Message("record.n", "n", 9)}[kind]
			}
			said := voice.Say(m)
			for _, one := range split(said) {
				assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s", id, one)
			}
			if len(strings.Fields(said)) >= wordsFew {
				read++
				assert.LessOrEqual(t, grade(said), gradeMost, "%s: %s", id, said)
			}
		}
		assert.Greater(t, read, page.least, what)
	}
}
