package leaf_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// small is a farm with a mixer for half a load, many hands and a shift of 10.5 h.
func small(air float64) func(*process.Input) {
	return func(in *process.Input) {
		in.Farm.Mixer.Capacity = 30
		in.Farm.Shift = &protocol.Shift{Length: 10.5 * unit.Hour, Air: unit.FromCelsius(air), People: 8}
	}
}

// The times of 400 enoki on that farm, by hand in minutes. A load is 102 bottles
// of 56.4 kg, so two mixes.
//
//	weigh    5 + 2 x 10 = 25
//	make     mix 10 + 2 x 35, moisture 2 x 10, fill 5, holes 2, and 1.15 x 102 / 8 = 14.7: 121.7
//	mix      the second after 60.8: at 85.8, on the sheet 1 h 25 min
//	cycle    10 + 0.6, run 170, until zero 30, lid 10, cracked 10, out 5 + 0.6: 236.3, so a load every 240
//	10.5 h   25 + 121.7 + 236.3 = 383, and 623 for two, which is within 630: two loads a day
var times = []string{
	"Day 1, mix 1, for load 1: mix at 25 min, steam on by 4 h 25 min",
	"Day 1, mix 2, for load 1: mix at 1 h 25 min, steam on by 4 h 25 min",
	"Day 1, mix 3, for load 2: mix at 4 h 25 min, steam on by 8 h 25 min",
	"Day 1, mix 4, for load 2: mix at 5 h 25 min, steam on by 8 h 25 min",
	"Day 2, mix 5, for load 3: mix at 25 min, steam on by 4 h 25 min",
	"Day 2, mix 6, for load 3: mix at 1 h 25 min, steam on by 4 h 25 min",
	"Day 2, mix 7, for load 4: mix at 4 h 25 min, steam on by 8 h 25 min",
	"Day 2, mix 8, for load 4: mix at 5 h 25 min, steam on by 8 h 25 min",
}

func TestMixesAndLoadsInText(t *testing.T) {
	e, p, method := changed(t, "enoki-850", 400, small(20))
	text, err := leaf.SheetText(e, p, method)
	require.NoError(t, err)
	assert.Contains(t, text, "\n  "+strings.Join(times, "\n  ")+"\n")
	assert.Contains(t, text, "\nWhere it is over 25 °C, have steam on within 2 h of the water.\n")
	assert.Contains(t, text, "2 days of work")

	// In a warm room every mix has 2 h, and nothing more need be said. 14 bottles
	// take 80 + 20 + 7 + 2 = 109: the second mix is 54.5 after the first.
	e, p, method = changed(t, "enoki-850", 12, func(in *process.Input) { small(28)(in); in.Farm.Mixer.Capacity = 4 })
	text, err = leaf.SheetText(e, p, method)
	require.NoError(t, err)
	assert.Contains(t, text, "  Mix 2, for load 1: mix at 1 h 20 min, steam on by 2 h 25 min\n")
	assert.NotContains(t, text, "Where it is over 25 °C, have steam")

	e, p, method = demo(t, "enoki-850", 12)
	text, err = leaf.SheetText(e, p, method)
	require.NoError(t, err)
	assert.NotContains(t, text, "steam on by", "one mix needs no list")
}

// cells are the texts of a table's cells, row by row.
func cells(table *html.Node) [][]string {
	var out [][]string
	for n := range table.Descendants() {
		switch {
		case n.Type == html.ElementNode && n.Data == "tr":
			out = append(out, nil)
		case n.Type == html.ElementNode && (n.Data == "td" || n.Data == "th"):
			var text strings.Builder
			for x := range n.Descendants() {
				if x.Type == html.TextNode {
					text.WriteString(strings.ReplaceAll(x.Data, unit.Space, " "))
				}
			}
			out[len(out)-1] = append(out[len(out)-1], text.String())
		}
	}
	return out
}

func tables(t *testing.T, page []byte, class string) [][][]string {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(string(page)))
	require.NoError(t, err)
	var out [][][]string
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode || n.Data != "table" {
			continue
		}
		for _, a := range n.Attr {
			if a.Key == "class" && a.Val == class {
				out = append(out, cells(n))
			}
		}
	}
	return out
}

func TestMixesAndLoadsOnThePage(t *testing.T) {
	e, p, method := changed(t, "enoki-850", 400, small(20))
	page, err := leaf.Sheet(e, p, method)
	require.NoError(t, err)
	plan := tables(t, page, "plan")
	require.Len(t, plan, 1)
	assert.Equal(t, []string{"Day", "Load", "Mix", "Mix at", "Steam on by"}, plan[0][0])
	require.Len(t, plan[0], 1+len(times))
	for i, row := range plan[0][1:] {
		assert.Equal(t, times[i], "Day "+row[0]+", mix "+row[2]+", for load "+row[1]+": mix at "+row[3]+", steam on by "+row[4])
	}
	// The record: two loads of two mixes beside each other, then the runs.
	page, err = leaf.Record(e, p, method)
	require.NoError(t, err)
	log := tables(t, page, "log")[3:] // behind the goods, the tools and the people
	for i, loads := range [][]string{{"Load 1, day 1", "Load 2, day 1"}, {"Load 3, day 2", "Load 4, day 2"}} {
		assert.Equal(t, append([]string{"", ""}, loads...), log[i][0])
	}
	assert.Equal(t, []string{"Ingredient", "Target", "Mix 5", "Mix 6", "Mix 7", "Mix 8"}, log[1][1])
	runs := log[slices.IndexFunc(log, func(rows [][]string) bool { return slices.Contains(rows[0], "Hold start") })]
	assert.Equal(t, []string{"Load", "Planned"}, runs[0][:2])
	assert.Equal(t, "Load 4, day 2", runs[4][0])
}

// Three mixes a load: a table holds one load, so that no load is torn apart. Of
// five a load, the first four stand together.
func TestRecordKeepsTheMixesOfALoadTogether(t *testing.T) {
	for _, c := range []struct {
		mixer unit.Mass
		want  [][]string
	}{
		{20, [][]string{{"Mix 1", "Mix 2", "Mix 3"}, {"Mix 4", "Mix 5", "Mix 6"}}},
		{10, [][]string{{"Mix 1", "Mix 2", "Mix 3", "Mix 4", "Mix 5"}, {"Mix 6", "Mix 7", "Mix 8", "Mix 9", "Mix 10"}}},
		{8, [][]string{{"Mix 1", "Mix 2", "Mix 3", "Mix 4", "Mix 5"}, {"Mix 6"}, {"Mix 7", "Mix 8", "Mix 9", "Mix 10", "Mix 11"}, {"Mix 12"}}},
	} {
		e, p, method := changed(t, "enoki-850", 160, func(in *process.Input) { small(20)(in); in.Farm.Mixer.Capacity = c.mixer })
		page, err := leaf.Record(e, p, method)
		require.NoError(t, err)
		for i, columns := range c.want {
			assert.Equal(t, columns, tables(t, page, "log")[3+i][1][2:])
		}
	}
}
