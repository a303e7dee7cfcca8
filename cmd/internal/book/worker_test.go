package book_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// printedHold is a hold in words or in a table's row: "hold for 120 min at
// least", "Hold 120 min", "Hold again from zero: 120 min".
var printedHold = regexp.MustCompile(`(?i)\bhold(?:s|ing)?\b\D{0,25}?(\d+)[ \x{a0}]min\b`)

// No page that a worker reads has anything of the modeled dose, nor a percentile,
// nor any hold but the protocol's: somebody would run the shorter one. The
// trainer may speak of the dose, and never of another hold either. It holds with
// the spread asked for as well.
func TestWorkersPagesHaveOneHold(t *testing.T) {
	in := demo(t, unit.Metric)
	spread := demo(t, unit.Metric)
	spread.Spread = true
	i := slices.IndexFunc(spread.Entries, func(e book.Entry) bool { return e.Process.Input.Protocol.Name == "enoki-850" })
	require.GreaterOrEqual(t, i, 0)
	spread.Entries = spread.Entries[i : i+1]
	for i, in := range []book.Input{in, spread} {
		docs := demoPages(t, unit.Metric)
		if i == 1 {
			docs = pages(t, renderedOnly(t, in, func(path string) bool {
				return path == "start-of-shift.html" || strings.HasPrefix(path, "enoki-850/")
			}))
		}
		plain := func(path string) string {
			doc := docs[path]
			require.NotNil(t, doc, path)
			page := text(doc)
			for _, word := range []string{"F0", "F₀", "lethal", "Lethal", "D-value", "z-value", "log reduction", "percentile", "th to 95th", "bad runs", "isotherm"} {
				assert.NotContains(t, page, word, path)
			}
			return page
		}
		plain("start-of-shift.html")
		for _, e := range in.Entries {
			name := e.Process.Input.Protocol.Name
			worker := []string{leaf.ReleasePath(name), leaf.SterilizerCardPath(name), leaf.TroublesPath(name)}
			for _, b := range e.Batches {
				worker = append(worker, leaf.SheetPath(name, b.Vessels))
			}
			hold := fmt.Sprint(int(e.Process.Value("hold") / unit.Minute))
			told := 0
			one := func(path, page string) {
				for _, m := range printedHold.FindAllStringSubmatch(page, -1) {
					assert.Equal(t, hold, m[1], "%s: %q", path, m[0])
					told++
				}
			}
			for _, path := range worker {
				one(path, plain(path))
			}
			assert.GreaterOrEqual(t, told, len(e.Batches)+1, "%s: the pattern finds the hold", name)
			one(leaf.TrainerPath(name), text(docs[leaf.TrainerPath(name)]))

			// The author's page does name another hold: what is looked for is there.
			author := text(docs[leaf.ProtocolPath(name)])
			slow := strconv.Itoa(int(e.Process.Value("hold_slow") / unit.Minute))
			assert.Regexp(t, `(^|\D)`+slow+`[ \x{a0}]min`, author, name)
		}
	}
}

// A warning that stands on a sheet is about people, and its advice is for the
// author: nobody at the sterilizer is told to run it with less pressure than the
// band, which would leave the load unsterile.
func TestWarningsOfASheetKeepItsBand(t *testing.T) {
	lowering := regexp.MustCompile(`(?i)\b(set|turn|run|hold|use)\b[^.]*\b(less|lower|down)\b[^.]*\b(gauge|pressure)\b`)
	require.Regexp(t, lowering, "Set less gauge pressure, or ask the maker.")
	in := smallRated(t, demo(t, unit.Metric), 2000, 14*psi, psi, 180*unit.Minute)
	warned := 0
	docs := pages(t, renderedOnly(t, in, func(path string) bool { return strings.Contains(path, "/sheet-") }))
	for _, e := range in.Entries {
		name := e.Process.Input.Protocol.Name
		for _, b := range e.Batches {
			page := text(docs[leaf.SheetPath(name, b.Vessels)])
			assert.NotRegexp(t, lowering, page, name)
			if slices.ContainsFunc(b.Findings, func(f protocol.Finding) bool { return f.Rule == "gauge.near" }) {
				assert.Contains(t, page, "keep to the band of the sheet", name)
				warned++
			}
		}
	}
	assert.Positive(t, warned)
}
