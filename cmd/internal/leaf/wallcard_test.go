package leaf_test

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// A wall card says what the sheet says of its station: the cautions up front, the
// steps in their order, or that they are on the sheet, each critical limit in full
// with what to do when it is not met. It has no step of another station, and links to
// the sheet.
func TestWallCard(t *testing.T) {
	plain := strings.NewReplacer(unit.Space, " ")
	for _, name := range []string{"enoki-850", "beech-850", "maitake-quart"} {
		e, told, method := demo(t, name, 48)
		passed := 0
		for _, at := range work.Stations() {
			data, err := leaf.WallCard(e, told, at, method)
			require.NoError(t, err)
			doc, err := html.Parse(bytes.NewReader(data))
			require.NoError(t, err)
			page := flatText(doc)
			what := name + ", " + string(at)
			inOrder(t, page, what)(e.Voice.Say(words.Message("station." + string(at))))
			for _, h := range told.Hazards {
				if carries(told, at, h) {
					assert.Contains(t, page, plain.Replace(e.Voice.Say(h.Text)), "%s, %s", name, at)
				}
			}
			find := inOrder(t, page, what)
			for _, s := range told.Steps {
				title := plain.Replace(e.Voice.Say(s.Title))
				if s.Station != at {
					continue
				}
				passed++
				if !s.Critical && leftOut(page, s.Number) {
					continue
				}
				find(title)
				if s.Critical {
					find(e.Voice.Say(s.Limit))
				}
			}
			for _, s := range told.Steps {
				if s.Station == at && s.Critical {
					find(e.Voice.Say(s.IfOff))
				}
			}
			assert.Contains(t, page, method.Short)
			assert.Contains(t, string(data), `href="sheet-48.html"`)
			assert.Equal(t, at == work.Sterilizing, strings.Contains(string(data), `href="sterilizer-card.html"`), "%s: the card for a run that goes wrong hangs at the sterilizer", at)
		}
		assert.Equal(t, len(told.Steps), passed, "%s: each step is on one card", name)
	}
}

var onTheSheet = regexp.MustCompile(`Steps? (\d+)(?: to (\d+))?: on the sheet`)

// leftOut reports whether a card says that a step is on the sheet.
func leftOut(page string, step int) bool {
	for _, m := range onTheSheet.FindAllStringSubmatch(page, -1) {
		from, _ := strconv.Atoi(m[1])
		to, err := strconv.Atoi(m[2])
		if err != nil {
			to = from
		}
		if from <= step && step <= to {
			return true
		}
	}
	return false
}

func carries(p procedure.Procedure, at work.Station, h procedure.Safety) bool {
	for _, s := range p.Steps {
		for _, x := range s.Safety {
			if s.Station == at && strings.TrimPrefix(x.Text.ID, "safety.") == strings.TrimPrefix(h.Text.ID, "hazard.") {
				return true
			}
		}
	}
	return false
}

// The list of cards leads to each of them, in the order in which a batch passes
// the stations, and tells them from the card for a run that goes wrong.
func TestWallCards(t *testing.T) {
	e, told, method := demo(t, "enoki-850", 48)
	data, err := leaf.WallCards(e, told, method)
	require.NoError(t, err)
	from := 0
	for _, at := range work.Stations() {
		i := strings.Index(string(data)[from:], `href="card-`+string(at)+`-48.html"`)
		require.GreaterOrEqual(t, i, 0, at)
		from += i
	}
	assert.Contains(t, string(data), `href="sterilizer-card.html"`)
	assert.Panics(t, func() { _, _ = leaf.WallCard(e, told, "attic", method) }, "no such station")
}
