package procedure

import (
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/air"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/site"
)

// guides are the pages of site/ as their running text: without marks, headings
// and sources. One block is a paragraph, an item of a list, or a cell of a table.
func guides(t *testing.T) map[string][]string {
	t.Helper()
	names, err := fs.Glob(site.Pages, "*.md")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	link := regexp.MustCompile(`\[([^]]*)\]\([^)]*\)`)
	item := regexp.MustCompile(`^(- |\d+\. |: |> (\*\*[A-Z]+\*\* )?)`)
	out := map[string][]string{}
	for _, name := range names {
		data, err := fs.ReadFile(site.Pages, name)
		require.NoError(t, err)
		// The list of sources is names and titles: nobody works by it.
		text, _, _ := strings.Cut(string(data), "\n## Sources\n")
		for _, line := range strings.Split(text, "\n") {
			if line == "" || strings.HasPrefix(line, "#") || strings.HasPrefix(line, "|---") {
				continue
			}
			cells := []string{item.ReplaceAllString(line, "")}
			if strings.HasPrefix(line, "|") {
				cells = strings.Split(strings.Trim(line, "|"), "|")
			}
			for _, cell := range cells {
				cell = strings.ReplaceAll(link.ReplaceAllString(cell, "$1"), "*", "")
				out[name] = append(out[name], strings.TrimSpace(cell))
			}
		}
	}
	return out
}

// A guide as a whole is to be easier than the sixth to eighth grade that the
// project asks for, which each paragraph keeps: it is read by people who are tired, or
// whose first language is another one. A sentence may hold a list, so it may be
// longer than one of a sheet.
const (
	guideGradeMost = 6.0
	guideWordsMost = 28
)

// TestReadingGradeOfGuides measures each guide as a whole, and each of its
// paragraphs and sentences. The words that the glossary explains are left out,
// its definitions are not: a word alone is no text.
func TestReadingGradeOfGuides(t *testing.T) {
	for name, blocks := range guides(t) {
		var text []string
		for _, b := range blocks {
			if !strings.HasSuffix(b, ".") && len(strings.Fields(b)) < wordsFew {
				continue // a term, a heading of a column, a cell of a few words
			}
			text = append(text, strings.TrimRight(b, ".:!?")+".")
			if len(strings.Fields(b)) >= 2*wordsFew {
				assert.LessOrEqual(t, grade(b), gradeMost, "%s: %s", name, b)
			}
			for _, one := range split(b) {
				assert.LessOrEqual(t, len(strings.Fields(one)), guideWordsMost, "%s: %s", name, one)
			}
		}
		g := grade(strings.Join(text, " "))
		assert.LessOrEqual(t, g, guideGradeMost, name)
		t.Logf("%-30s grade %.1f", name, g)
	}
}

// The figures that a guide and a sheet both name, by a sentence of the guides in
// which the figure stands, in the unit of that sentence. Wherever such a sentence
// stands, in whichever guide, it says what the sheets say.
var inGuides = []struct {
	sentence string   // with a group for each figure
	figures  []string // their names
	more     float64  // added to the figure: two spots or more are one over the limit
	unit     string
}{
	{sentence: `(?i)\b(?:lift|above about|book says|take) ([\d.,]+) kg`, figures: []string{"lift"}, unit: "kg"},
	{sentence: `(?i)\bleave at ([\d,]+) ppm`, figures: []string{"co2_leave"}, unit: "ppm"},
	{sentence: `(?i)^under ([\d,]+) ppm: go in`, figures: []string{"co2_leave"}, unit: "ppm"},
	{sentence: `(?i)\bat ([\d,]+) ppm(?: or more: stay out\. Run|, leave)`, figures: []string{"co2_leave"}, unit: "ppm"},
	{sentence: `(?i)\bit should read near ([\d,]+) ppm`, figures: []string{"co2_outdoors"}, unit: "ppm"},
	{sentence: `(?i)\balarm at ([\d,]+) ppm`, figures: []string{"co2_leave"}, unit: "ppm"},
	{sentence: `(?i)\bnever go in at ([\d,]+) ppm`, figures: []string{"co2_never"}, unit: "ppm"},
	{sentence: `(?i)\bat ([\d,]+) ppm (?:nobody goes in|or more: stay out, keep)`, figures: []string{"co2_never"}, unit: "ppm"},
	{sentence: `(?i)\buse alcohol of (\d+) to (\d+) %`, figures: []string{"alcohol_low", "alcohol_high"}, unit: "%"},
	{sentence: `(?i)\bkeep the surface wet for (\d+) minutes`, figures: []string{"alcohol_wet"}, unit: "min"},
	{sentence: `(?i)\blet it dry for at least (\d+) minute`, figures: []string{"alcohol_dry"}, unit: "min"},
	{sentence: `([\d.]+) L \(\d+ fl oz\)(?: each)? at most`, figures: []string{"alcohol_bottle"}, unit: "L"},
	{sentence: `(?i)\bflush with water for (\d+) minutes`, figures: []string{"flush"}, unit: "min"},
	{sentence: `(?i)\b(?:it runs|flushes both eyes) for (\d+) minutes`, figures: []string{"flush"}, unit: "min"},
	{sentence: `(?i)\b(?:again|rerun) [^.]*within (\d+) hours`, figures: []string{"rerun"}, unit: "h"},
	{sentence: `waited (\d+) hours, or (\d+) hours where`, figures: []string{"wait", "wait_warm"}, unit: "h"},
	{sentence: `hours where it is over (\d+) °C`, figures: []string{"warm"}, unit: "°C"},
	{sentence: `(?i)\blid cracked for at least (\d+) minutes`, figures: []string{"crack"}, unit: "min"},
	{sentence: `while the load is over (\d+) °C`, figures: []string{"bare_hand"}, unit: "°C"},
	{sentence: `(?i)\bclosed glass over (\d+) °C(?: \(\d+ °F\))? by hand`, figures: []string{"closed_glass"}, unit: "°C"},
	{sentence: `(?i)\bplate for (\d+) minutes`, figures: []string{"plate_time"}, unit: "min"},
	{sentence: `(\d+) spots or more`, figures: []string{"colonies"}, more: 1},
	{sentence: `(?i)\bover (\d+) % bad`, figures: []string{"bad_most"}, unit: "%"},
	{sentence: `more than 1 in (\d+) holes`, figures: []string{"one_in"}},
	{sentence: `last rinse reads within (\d+) point`, figures: []string{"ph_give"}},
}

func TestGuidesSayWhatTheSheetsSay(t *testing.T) {
	sizes := map[string]float64{"": 1, "kg": 1, "ppm": 1e-6, "%": 0.01, "min": unit.Minute, "h": unit.Hour, "L": 1e-3, "°C": 1}
	value := map[string]float64{}
	for _, f := range figures {
		value[f.name] = f.value
	}
	value["co2_outdoors"] = air.Outdoor // no sheet has it
	all := guides(t)
	for _, in := range inGuides {
		seen := 0
		sentence := regexp.MustCompile(in.sentence)
		for name, blocks := range all {
			for _, b := range blocks {
				for _, m := range sentence.FindAllStringSubmatch(b, -1) {
					seen++
					for i, figure := range in.figures {
						want, ok := value[figure]
						require.True(t, ok, "no figure %s", figure)
						if in.unit == "°C" {
							want -= celsius(0)
						}
						got, err := strconv.ParseFloat(strings.ReplaceAll(m[i+1], ",", ""), 64)
						require.NoError(t, err, "%s: %s", name, m[0])
						assert.InDelta(t, want/sizes[in.unit]+in.more, got, 1e-9, "%s: %q, and %s on a sheet", name, m[0], figure)
					}
				}
			}
		}
		assert.Positive(t, seen, "no guide says %s: take the sentence out, or mend it", in.sentence)
	}
}
