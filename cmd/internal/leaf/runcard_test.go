package leaf_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// The page says what the card says, in its order, with what hurts on top and
// with what each answer asks for at its foot.
func TestSterilizerCardOnThePage(t *testing.T) {
	for _, name := range []string{"enoki-850", "lions-mane-950", "maitake-quart"} {
		e, told, method := demo(t, name, 48)
		data, err := leaf.SterilizerCard(e, told.Batch, method)
		require.NoError(t, err)
		doc, err := html.Parse(bytes.NewReader(data))
		require.NoError(t, err)
		card := procedure.RunCardOf(told.Batch)
		page := flatText(doc)
		plain := strings.NewReplacer(unit.Space, " ")
		find := inOrder(t, page, name)
		for _, s := range card.Safety {
			find(e.Voice.Say(s.Text))
		}
		for _, f := range card.Figures {
			find(e.Voice.Say(f.Name))
			find(e.Voice.Say(f.Value))
		}
		articles := under(doc, "article")
		require.Len(t, articles, len(card.Faults), name)
		for i, f := range card.Faults {
			for _, m := range []string{e.Voice.Say(f.Title), e.Voice.Say(f.See), e.Voice.Say(f.Do), e.Voice.Say(f.Then), e.Voice.Say(f.Decider)} {
				find(m)
				assert.Contains(t, flatText(articles[i]), plain.Replace(m), "%s: %s", name, f.Name)
			}
		}
		for _, m := range card.Meanings {
			find(e.Voice.Say(m.Name))
			find(e.Voice.Say(m.Means))
		}
		assert.Contains(t, page, told.Batch.Process.Sterilizer.Name)
		assert.Contains(t, page, method.Short, "the fingerprint says which protocol it belongs to")
	}
}

// The steps of a run lead to the card, and no others; a sheet that stands alone
// leads nowhere.
func TestStepsOfARunLeadToTheSterilizerCard(t *testing.T) {
	e, told, method := demo(t, "enoki-850", 48)
	data, err := leaf.Sheet(e, told, method)
	require.NoError(t, err)
	doc, err := html.Parse(bytes.NewReader(data))
	require.NoError(t, err)
	items := map[string]*html.Node{}
	for _, li := range under(doc, "li") {
		for _, a := range li.Attr {
			if a.Key == "id" {
				items[a.Val] = li
			}
		}
	}
	led := 0
	for _, s := range told.Steps {
		var b bytes.Buffer
		require.NoError(t, html.Render(&b, items["step-"+strconv.Itoa(s.Number)]))
		want := 0
		switch s.ID {
		case work.Vent, work.Sterilize, work.PressureOff, work.Unload:
			want = 1
		}
		assert.Equal(t, want, strings.Count(b.String(), `href="sterilizer-card.html"`), s.ID)
		led += want
	}
	assert.Equal(t, 4, led)
	lone, err := leaf.LoneSheet(e, told, method)
	require.NoError(t, err)
	assert.NotContains(t, string(lone), "sterilizer-card.html")
}
