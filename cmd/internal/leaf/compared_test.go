package leaf_test

import (
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

// compared compares a protocol of the demo farm with itself after some edits of its
// files: pairs of a text and what stands in its place.
func compared(t *testing.T, name string, vessels int, v *words.Voice, edits ...string) (leaf.Edition, leaf.Compared) {
	t.Helper()
	files := fstest.MapFS{}
	root := os.DirFS("../../..")
	require.NoError(t, fs.WalkDir(root, "protocols", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".toml") || strings.Contains(path, "/languages/") {
			return err
		}
		data, err := fs.ReadFile(root, path)
		files[path] = &fstest.MapFile{Data: data}
		return err
	}))
	read := func() (change.Side, *farmfile.Folder) {
		folder, _ := farmfile.Read(files, protocols.Library)
		for _, p := range folder.Protocols {
			if p.Name == name {
				return change.Side{Farm: folder.Farm, Library: folder.Library, Protocol: p}, folder
			}
		}
		t.Fatalf("the farm has no %s that can be read", name)
		return change.Side{}, nil
	}
	before, was := read()
	for i := 0; i < len(edits); i += 2 {
		times := 0
		for _, path := range []string{protocol.FarmDocument, protocol.Document(name)} {
			text := string(files[path].Data)
			times += strings.Count(text, edits[i])
			files[path] = &fstest.MapFile{Data: []byte(strings.Replace(text, edits[i], edits[i+1], 1))}
		}
		require.Equal(t, 1, times, edits[i])
	}
	after, is := read()
	report, err := change.Compare(before, after, vessels, v)
	require.NoError(t, err)
	number, _, err := change.Rise(before, after, []int{vessels}, v)
	require.NoError(t, err)
	return leaf.Edition{Farm: is.Farm, Voice: v, Version: "1.2.3", Place: is.Place, News: []string{name}},
		leaf.Compared{Report: report, Rise: number, Before: "what was", After: "what is", PlaceBefore: was.Place, PlaceAfter: is.Place}
}

// longHold is the hold of the demo's enoki, which stands on line 61.
const longHold = "# Many hold such a bottle for 90 min. The figures alone do not show that this is\n# enough, nor that 120 min is: see the author's page.\nhold = \"120 min\""

// Values of a file are said as people say them, with the place of their key.
func TestWhatWasWrittenOtherwise(t *testing.T) {
	e, c := compared(t, "enoki-850", 48, words.English(unit.Metric),
		longHold, `hold = "150 min"`, `use_within = "24 h"`, `use_within = "20 h"`, `altitude = "420 m"`, `altitude = "500 m"`, `invented = true`, `invented = false`,
		`reads = "0.1 g"`, `reads = "0.2 g"`, `soy-hull = "0.42 USD/kg"`, `soy-hull = "0.50 USD/kg"`,
		"[collar]\nwhen_stems_reach = \"25 mm\"\nheight = \"130 mm\"\n", "", `density = "0.68 kg/L"`, `mass = "537.2 g"`)
	text, err := leaf.CompareText(e, c, true)
	require.NoError(t, err)
	for _, want := range []string{
		"sterilization.hold 120 min → 150 min", "sterilization.use_within 24 h → 20 h", // from six hours on nobody counts in minutes
		"altitude 420 m → 500 m", "invented yes → no", "reads 0.1 g → 0.2 g", "price.soy-hull 0.42 USD/kg → 0.5 USD/kg",
		"collar written → not written", "fill.density 0.68 kg/L → not written", "fill.mass not written → 537.2 g",
	} {
		assert.Contains(t, strings.Join(strings.Fields(text), " "), want)
	}
	assert.NotContains(t, text, "more figure", "all of them were asked for")
	for _, l := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len([]rune(l)), leaf.Columns)
	}
	short, err := leaf.CompareText(e, c, false)
	require.NoError(t, err)
	assert.Contains(t, short, "--all prints them")
	assert.Less(t, len(short), len(text))
}

// A change is said by how much and, where that means something, by how many per cent: a
// temperature has no zero to reckon from, and a share moves by points.
func TestByHowMuchAFigureMoves(t *testing.T) {
	e, c := compared(t, "enoki-850", 48, words.English(unit.Metric),
		longHold, `hold = "132 min"`, "[fruiting]\n# The collar holds the CO2 that draws stems up. The room stays low enough to\n# work in.\nair = \"8 °C\"", "[fruiting]\nair = \"9 °C\"",
		`moisture_wb = "65 %"`, `moisture_wb = "64 %"`)
	text, err := leaf.CompareMarkdown(e, c, true)
	require.NoError(t, err)
	assert.Contains(t, text, "| hold at set pressure | 120 min | 132 min | +12 min, +10 % |")
	assert.Regexp(t, `\| [^|]*temperature[^|]*fruiting[^|]* \| 8 °C \| 9 °C \| \+1 K \|`, text)
	assert.Contains(t, text, "| 65 % | 64 % | −1 points |")
}

// Everything that a comparison can say is in the catalog, in both languages and systems
// of units.
func TestEveryPartAndGroupHasWords(t *testing.T) {
	spanish, err := words.In("es", unit.US)
	require.NoError(t, err)
	for _, v := range []*words.Voice{words.English(unit.Metric), spanish} {
		for _, p := range change.Parts() {
			assert.NotEmpty(t, v.Say(words.Message("compare.part."+string(p))))
		}
		for _, g := range change.GroupsInOrder() {
			assert.NotEmpty(t, v.Say(words.Message("compare.group."+string(g))))
			assert.NotEmpty(t, v.Say(words.Message("compare.group."+string(g)+".what")))
		}
	}
	e, c := compared(t, "enoki-850", 48, spanish, longHold, "#\n#\nhold = \"130 min\"")
	text, err := leaf.CompareText(e, c, false)
	require.NoError(t, err)
	assert.Contains(t, text, "Seguridad")
	assert.Contains(t, text, "por [1]")
}

// The page begins with the steps to read again, each once, with a link to where it stands
// on the sheet; whoever works needs to read no further.
func TestPageOfWhatIsNew(t *testing.T) {
	e, c := compared(t, "enoki-850", 48, words.English(unit.Metric),
		longHold, "#\n#\nhold = \"130 min\"", "[collar]\nwhen_stems_reach = \"25 mm\"\nheight = \"130 mm\"\n", "")
	page, err := leaf.Changes(e, c, leaf.Method{Protocol: "enoki-850", Short: "0123-abcd", Full: "0123abcd"})
	require.NoError(t, err)
	text := string(page)
	again := text[strings.Index(text, `<section class="again"`):strings.Index(text, `aria-labelledby="all"`)]
	assert.Equal(t, 1, strings.Count(again, `href="sheet-48.html#step-12"`))
	assert.Contains(t, again, "at least 130\u00a0min")
	assert.Contains(t, again, "<del>")
	assert.Contains(t, again, "Do not do this step any more")
	assert.NotContains(t, again, "Fit the collars</a>", "a step that is gone is nowhere to be read")
	assert.NotContains(t, again, "trainer")
	assert.NotContains(t, again, "[1]")
	assert.Contains(t, text, "protocols/<wbr>enoki-850.toml<wbr>:61")
	same, err := leaf.Changes(e, leaf.Compared{Report: &change.Report{Before: c.Report.After, After: c.Report.After, Vessels: 48}, PlaceBefore: c.PlaceAfter, PlaceAfter: c.PlaceAfter}, leaf.Method{Protocol: "enoki-850"})
	require.NoError(t, err)
	assert.Contains(t, string(same), "No step reads otherwise. Work as before.")
	assert.NotContains(t, string(same), `class="again-steps"`)
}
