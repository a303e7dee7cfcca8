package leaf

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// What is too much for a page is left to the sheet by the rule, and nothing else:
// no step is lost from the order, a critical limit stays whatever happens, and
// letters never get smaller. A card that does not fit at the end has lost all that
// the rule may take.
func TestCardsAreShortenedByTheRule(t *testing.T) {
	checks.Cases(t, 20)
	drawn(t, func(t *testing.T, e Edition, p *process.Process) {
		if protocol.Worst(p.Findings) == protocol.Error || p.Input.Protocol.Name != "enoki-850" {
			return
		}
		proc := told(t, p)
		cards := map[work.Station]wallCard{}
		for _, at := range stationsOf(proc) {
			only := stepsAt(proc, at)
			card := e.wallCard(proc, at, Method{})
			card.Steps, card.Pictures = nil, nil
			for _, st := range e.stations(only) {
				for _, s := range st.Steps {
					card.Steps = append(card.Steps, wallStep{Number: s.Number, Title: s.Title, Time: s.Time, Later: s.Later, Critical: s.Critical, Amounts: e.besideLimit(s.Step), Limit: s.Limit})
				}
			}
			for _, i := range e.illustrations(only) {
				card.Pictures = append(card.Pictures, i.Picture)
			}
			cards[at] = card
		}
		rapid.Check(t, func(t *rapid.T) {
			at := rapid.SampledFrom(stationsOf(proc)).Draw(t, "station")
			full := cards[at]
			full.Steps = nil
			for range rapid.IntRange(1, 12).Draw(t, "times") {
				for _, s := range cards[at].Steps {
					s.Number = len(full.Steps) + 1
					full.Steps = append(full.Steps, s)
				}
			}
			card := full
			e.fit(&card)
			next, bare, critical := 1, 0, 0
			for i, s := range card.Steps {
				if s.Rest.ID != "" {
					if s.Number != next {
						t.Fatalf("a line for the steps from %d stands where step %d should", s.Number, next)
					}
					next = len(full.Steps) + 1
					if i+1 < len(card.Steps) {
						next = card.Steps[i+1].Number
					}
					for _, left := range full.Steps[s.Number-1 : next-1] {
						if left.Critical {
							t.Fatalf("the critical step %d was left to the sheet", left.Number)
						}
					}
					continue
				}
				if s.Number != next {
					t.Fatalf("step %d stands where step %d should", s.Number, next)
				}
				next++
				if s.bare {
					bare++
				}
				if was := full.Steps[s.Number-1]; was.Critical {
					critical++
					if s.Limit.ID != was.Limit.ID || len(s.Amounts) != len(was.Amounts) {
						t.Fatalf("the critical step %d lost its figures", s.Number)
					}
				}
			}
			if next != len(full.Steps)+1 {
				t.Fatalf("the card ends before step %d", next)
			}
			fits := e.fits(card, 1)
			if shorter := e.fits(full, 1); shorter && (bare > 0 || len(card.Pictures) < len(full.Pictures)) {
				t.Fatalf("the card was shortened, and the whole of it fits")
			}
			if !fits && (critical+leftLines(card) != len(card.Steps) || len(card.Pictures) > 0) {
				t.Fatalf("the card does not fit, and not all was left to the sheet")
			}
			if card.Large < 1 || !fits && card.Large > 1 {
				t.Fatalf("letters of size %d", card.Large)
			}
			if fits && card.Short != (bare > 0) {
				t.Fatalf("%d steps are named only, and the card says %v", bare, card.Short)
			}
		})
	})
}

func leftLines(c wallCard) int {
	n := 0
	for _, s := range c.Steps {
		if s.Rest.ID != "" {
			n++
		}
	}
	return n
}

// Texts are as long as the font makes them: the widths of some sentences in
// 100 px, measured in Chromium, over their lengths.
func TestTextsAreAsWideAsTheFontMakesThem(t *testing.T) {
	plain := typeface{100 / pt, 1, regular} // 100 mm
	for text, want := range map[string]float64{
		"when a limit on this card is not met, or you are not sure. Then call, and wait.": 0.419,
		"An airtight pack can grow a deadly poison. Use packs with holes.":                0.443,
		"15.0 psi 120 min 25 °C 16.0 g 2400 ppm":                                          0.470,
	} {
		assert.InEpsilon(t, want, plain.long(text)/100/float64(len([]rune(text))), 0.03, text)
	}
	heavy := typeface{100 / pt, 1, bold}
	assert.GreaterOrEqual(t, heavy.long("Clean the rims and fit the lids Open the door and unload")/100/56, 0.474)
	// Two words of some 20 mm each in 30 mm are two lines, of one each.
	text := typeface{13, 1.2, regular}
	assert.InDelta(t, 2*13*1.2*pt, text.high("substrate substrate", 30), 1e-9)
	assert.InDelta(t, 13*1.2*pt, text.high("substrate substrate", 60), 1e-9)
}
