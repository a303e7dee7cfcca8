package leaf_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// liking changes a protocol into one that does what a species likes, in the
// middle of each range, so that nothing about it is refused.
func liking(id string) func(*process.Input) {
	return func(in *process.Input) {
		s, p := in.Library.Species[id], &in.Protocol
		if s.InBottles == protocol.BottleUnsuited { // refused for good; its cards are judged all the same
			s.InBottles = protocol.BottleFair
			lib := map[string]protocol.Species{}
			for k, v := range in.Library.Species {
				lib[k] = v
			}
			lib[id] = s
			in.Library.Species = lib
		}
		p.Species = id
		p.Incubation.Air = middle(s.Incubation) - 1
		p.Incubation.Ripen = s.Ripen
		p.Substrate.Moisture = middle(s.Moisture)
		p.Pinning.Air, p.Pinning.Humidity, p.Pinning.CO2Most = middle(s.PinAir), middle(s.RHPin), s.CO2Pin.High
		p.Fruiting.Air, p.Fruiting.Humidity, p.Fruiting.CO2Most = middle(s.FruitAir), middle(s.RHFruit), min(s.CO2Fruit.High, 2400e-6)
		p.Pinning.Light, p.Fruiting.Light = middle(s.LightPin), middle(s.LightFruit)
		p.Pinning.LightFor, p.Fruiting.LightFor = s.LightEachDay, s.LightEachDay
		if s.Collar != "wanted" {
			p.Collar = nil
		}
		switch s.Scrape {
		case "optional", "never":
			p.Opening.Scrape, p.Opening.Depth = protocol.ScrapeNever, 0
		default:
			p.Opening.Scrape = s.Scrape
		}
	}
}

func middle[T ~float64](r protocol.Range[T]) T { return (r.Low + r.High) / 2 }

// topics are the seven things that a farm asks a card for, each by the entries
// that may answer it for one species or another.
var topics = map[string][]string{
	"contaminated vessel": {"bad-middle", "bad-lid", "bad-spawn", "bad-load"},
	"no pins":             {"no-pins"},
	"long thin":           {"long-thin", "thin-no-caps", "antlers"},
	"short fat":           {"short-fat", "small-hard"},
	"side pins":           {"side-pins"},
	"dry top":             {"dry-top"},
	"standing water":      {"standing-water"},
	"mites":               {"mites"},
}

func TestEverySpeciesHasItsCards(t *testing.T) {
	_, told, _ := demo(t, "enoki-850", 48)
	lib := told.Batch.Process.Input.Library
	require.Greater(t, len(lib.Species), 10)
	first := map[string]string{} // the likeliest reason for no pins that is not the calendar
	for id := range lib.Species {
		_, p, _ := changed(t, "enoki-850", 48, liking(id))
		cards := procedure.Cards(p.Batch)
		ids := map[string]procedure.Card{}
		for _, c := range cards {
			ids[c.ID] = c
			assert.GreaterOrEqual(t, len(c.Causes), 2, "%s: %s: a card of one cause is none", id, c.ID)
			var known []string
			for _, x := range lib.Troubles[c.ID].Causes {
				known = append(known, x.Cause)
			}
			at := -1
			for _, x := range c.Causes {
				next := slices.Index(known[at+1:], x.Cause)
				require.GreaterOrEqual(t, next, 0, "%s: %s: %s is out of its order", id, c.ID, x.Cause)
				at += next + 1
				assert.NotEmpty(t, x.Check, "%s: %s", id, c.ID)
				assert.NotEmpty(t, x.Do, "%s: %s", id, c.ID)
			}
			said := map[string]bool{}
			for _, x := range c.Causes {
				assert.False(t, said[x.Cause], "%s: %s: twice %s", id, c.ID, x.Cause)
				said[x.Cause] = true
			}
		}
		for topic, answers := range topics {
			n := 0
			for _, a := range answers {
				if _, ok := ids[a]; ok {
					n++
				}
			}
			want := 1
			if topic == "contaminated vessel" {
				want = len(answers)
			}
			assert.Equal(t, want, n, "%s: %s", id, topic)
		}
		first[id] = ids["no-pins"].Causes[1].Cause
	}
	// What comes first differs by species: beech is opened before it is ripe, the
	// warm oysters want no cold, maitake shows a gray mat (entries of the library).
	for id, want := range map[string]string{
		"beech": "ripe", "king-oyster": "ripe", "golden-oyster": "too cold", "phoenix-oyster": "too cold",
		"maitake": "gray mat", "shiitake": "browned", "oyster": "too warm", "enoki-white": "too warm",
	} {
		assert.Contains(t, first[id], want, id)
	}
}

// The page says what the cards say, in their order, with the figures of the
// protocol beside the cause.
func TestCardsOnThePage(t *testing.T) {
	for _, name := range []string{"enoki-850", "lions-mane-950", "maitake-quart"} {
		e, told, method := demo(t, name, 48)
		b := told.Batch
		data, err := leaf.Troubles(e, b, method)
		require.NoError(t, err)
		doc, err := html.Parse(bytes.NewReader(data))
		require.NoError(t, err)
		articles := under(doc, "article")
		cards := procedure.Cards(b)
		require.Len(t, articles, len(cards), name)
		for i, c := range cards {
			said := flatText(articles[i])
			find := inOrder(t, said, name+", "+c.ID)
			for _, x := range c.Causes {
				for _, part := range []string{x.Cause, x.Check, x.Do} {
					find(part)
				}
				for _, m := range x.Reads {
					assert.Contains(t, said, strings.NewReplacer("\u00a0", " ", "CO₂", "CO2").Replace(e.Voice.Say(m)), "%s: %s", name, c.ID)
				}
			}
			assert.Contains(t, said, c.Looks)
			find(c.Prevent)
			safe := strings.Contains(said, "WARNING") || strings.Contains(said, "CAUTION")
			assert.Equal(t, len(c.Safety) > 0, safe, c.ID)
		}
		// The figure is the batch's: the air for pins, as the ledger has it.
		air := unit.Amount{Kind: unit.TemperatureOf, Value: b.Value("stage_pinning_air"), Digits: 3}.Show(unit.Metric)
		assert.Contains(t, flatText(doc), "This protocol: "+strings.ReplaceAll(air, "\u00a0", " ")+" for pins", name)
	}
}

// A step of the sheet leads to the cards for what is seen there, and only where
// there is a page to lead to.
func TestStepsLeadToCards(t *testing.T) {
	e, told, method := demo(t, "enoki-850", 48)
	data, err := leaf.Sheet(e, told, method)
	require.NoError(t, err)
	links := strings.Count(string(data), `href="troubles.html#trouble-`)
	want := 0
	shown := map[string]bool{}
	for _, s := range told.Steps {
		shown[string(s.ID)] = true
	}
	for _, c := range procedure.Cards(told.Batch) {
		for _, id := range c.Steps {
			if shown[string(id)] {
				want++
			}
		}
	}
	assert.Greater(t, want, 20)
	assert.Equal(t, want, links)
	lone, err := leaf.LoneSheet(e, told, method)
	require.NoError(t, err)
	assert.NotContains(t, string(lone), "troubles.html")
}

func under(n *html.Node, tag string) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && d.Data == tag {
			out = append(out, d)
		}
	}
	return out
}

// inOrder looks for one part of a flat text behind the other.
func inOrder(t *testing.T, text, what string) (find func(part string)) {
	return func(part string) {
		t.Helper()
		part = strings.ReplaceAll(part, unit.Space, " ")
		_, after, ok := strings.Cut(text, part)
		require.True(t, ok, "%s: %q is not there, or out of order", what, part)
		text = after
	}
}

// flatText is the text of an element, blanks in a row as one.
func flatText(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
