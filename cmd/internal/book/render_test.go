package book_test

import (
	"bytes"
	"maps"
	"math/big"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// The same input gives the same bytes, however many processors there are. That they
// come in one order, TestBind holds.
func TestRenderIsDeterministic(t *testing.T) {
	first := render(t, unit.Metric)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	all, err := book.Pages(anew(t, words.English(unit.Metric), asWritten, some))
	require.NoError(t, err)
	require.Len(t, all, len(first))
	require.NoError(t, book.Set(t.Context(), checks.Every(5, all), func(_ int, f book.File) error {
		if !bytes.Equal(first[f.Path], f.Data) {
			checks.Same(t, f.Path, string(first[f.Path]), string(f.Data))
		}
		return nil
	}))
}

func TestRenderHasEveryPage(t *testing.T) {
	in := demo(t, unit.Metric)
	files := render(t, unit.Metric)
	want := []string{leaf.HomePath, leaf.StylePath, leaf.GuidePath("pressure-vessels")}
	for _, e := range in.Entries {
		name := e.Process.Input.Protocol.Name
		want = append(want, leaf.ProtocolPath(name), leaf.SterilizerCardPath(name))
		for _, b := range e.Batches {
			want = append(want, leaf.SheetPath(name, b.Vessels), leaf.WorkingPath(name, b.Vessels))
		}
	}
	for _, w := range want {
		assert.Contains(t, files, w)
	}
}

// The printed rows of every sheet add up to the printed totals, digit for
// digit: for each scale, of one mix and of all, and all mixes are one mix times
// their number.
func TestPrintedRowsAddUp(t *testing.T) {
	for _, sys := range systems {
		sheets, singles := 0, 0
		for name, doc := range demoPages(t, sys) {
			tables := all(doc, class("amounts"))
			if len(tables) == 0 || !strings.Contains(name, "/sheet-") { // what is cleaned with is mixed to a mark
				continue
			}
			sheets++
			// One mix is one mass: no sheet prints it twice, with × 1 between.
			one := strings.Contains(text(all(tables[0], tag("caption"))[0]), "for 1"+unit.Space+"mix")
			singles += map[bool]int{true: 1}[one]
			sums := map[string][2]*big.Rat{}
			for _, row := range all(all(tables[0], tag("tbody"))[0], tag("tr")) {
				scale, each, every := amountRow(t, sys, row, one)
				if _, ok := sums[scale]; !ok {
					sums[scale] = [2]*big.Rat{new(big.Rat), new(big.Rat)}
				}
				sums[scale][0].Add(sums[scale][0], each)
				sums[scale][1].Add(sums[scale][1], every)
			}
			totals := all(all(tables[0], tag("tfoot"))[0], tag("tr"))
			assert.Len(t, totals, len(sums), "%s: a total for each scale", name)
			for _, row := range totals {
				scale, each, every := amountRow(t, sys, row, one)
				require.Contains(t, sums, scale, name)
				assert.Zero(t, each.Cmp(sums[scale][0]), "%s, %s: rows of one mix add up to %s, printed is %s", name, scale, sums[scale][0].FloatString(6), each.FloatString(6))
				assert.Zero(t, every.Cmp(sums[scale][1]), "%s, %s: rows of all mixes add up to %s, printed is %s", name, scale, sums[scale][1].FloatString(6), every.FloatString(6))
			}
		}
		assert.GreaterOrEqual(t, singles, 7, "12 are one mix everywhere")
		assert.Equal(t, 7*len(demo(t, sys).Entries[0].Batches), sheets, "seven protocols at their sizes")
	}
}

// amountRow reads one printed row: its scale, and the masses in g or oz as
// exact decimals. Where there is one mix, its mass is the mass of all.
func amountRow(t *testing.T, sys unit.System, row *html.Node, one bool) (scale string, each, every *big.Rat) {
	t.Helper()
	cells := all(row, tag("td"))
	if one {
		require.Len(t, cells, 2)
		each = mass(t, sys, text(cells[0]))
		return scaleOf(cells[1]), each, each
	}
	require.Len(t, cells, 4)
	times, ok := new(big.Rat).SetString(strings.TrimPrefix(text(cells[1]), "× "))
	require.True(t, ok, text(cells[1]))
	each, every = mass(t, sys, text(cells[0])), mass(t, sys, text(cells[2]))
	assert.Zero(t, new(big.Rat).Mul(each, times).Cmp(every), "%s %s is not %s", text(cells[0]), text(cells[1]), text(cells[2]))
	return scaleOf(cells[3]), each, every
}

// scaleOf is the scale that a cell names, without how it is weighed on it.
func scaleOf(cell *html.Node) string {
	scale, _, _ := strings.Cut(text(cell), "\n")
	if sum := all(cell, class("sum")); len(sum) > 0 {
		scale = strings.TrimSpace(strings.TrimSuffix(scale, text(sum[0])))
	}
	return scale
}

func mass(t *testing.T, sys unit.System, printed string) *big.Rat {
	t.Helper()
	number, name, ok := strings.Cut(printed, unit.Space)
	require.True(t, ok, printed)
	v, ok := new(big.Rat).SetString(number)
	require.True(t, ok, printed)
	size, known := map[unit.System]map[string]int64{
		unit.Metric: {"g": 1, "kg": 1000}, unit.US: {"oz": 1, "lb": 16},
	}[sys][name]
	require.True(t, known, printed)
	return v.Mul(v, big.NewRat(size, 1))
}

var printedGauge = regexp.MustCompile(`\d+(\.\d+)?\x{a0}psi\b`)

// What a worker reads has no lethality, no shorter hold, and no gauge above the
// rated pressure; the author's page has the verdict, agrees with the warnings, and
// says that nobody measured it.
func TestWorkersPagesStayPlain(t *testing.T) {
	in := demo(t, unit.Metric)
	docs := demoPages(t, unit.Metric)
	for _, e := range in.Entries {
		name := e.Process.Input.Protocol.Name
		for _, b := range e.Batches {
			page := text(docs[leaf.SheetPath(name, b.Vessels)])
			for _, word := range []string{"F0", "lethal", "Lethal", "D-value", "z-value", "log reduction"} {
				assert.NotContains(t, page, word, name)
			}
			rated := float64(e.Process.Sterilizer.Rated)
			gauges := 0
			for _, m := range printedGauge.FindAllString(page, -1) {
				v, err := unit.Parse(unit.GaugePressureOf, m)
				require.NoError(t, err)
				assert.LessOrEqual(t, v, rated*(1+1e-9), "%s: %s", name, m)
				gauges++
			}
			assert.Positive(t, gauges, name)
		}
		page := text(docs[leaf.ProtocolPath(name)])
		assert.Contains(t, page, "What the slowest place of a vessel gets", name)
		assert.Contains(t, page, "Modeled, not measured", name)
		needs := slices.ContainsFunc(e.Process.Findings, func(f protocol.Finding) bool { return f.Rule == "f0.probe" })
		assert.Equal(t, needs, strings.Contains(page, "Needs a probe run"), "%s: the verdict and the warning differ", name)
	}
}

// A made-up farm says so on every page.
func TestInventedFarmSaysSo(t *testing.T) {
	in := demo(t, unit.Metric)
	require.True(t, in.Farm.Invented)
	for name, doc := range demoPages(t, unit.Metric) {
		assert.Contains(t, text(all(doc, tag("header"))[0]), "made-up", name)
		assert.Contains(t, text(all(doc, tag("footer"))[0]), "made up", name)
	}
	in.Farm.Invented = false
	most := slices.DeleteFunc(slices.Sorted(maps.Keys(paths(t, in))), func(path string) bool {
		return !strings.HasSuffix(path, ".html") || !unsized(path) && !strings.HasSuffix(path, "-400.html")
	})
	for name, doc := range pages(t, renderedOnly(t, in, at(checks.Every(5, most)...))) {
		assert.NotContains(t, text(all(doc, tag("header"))[0]), "made-up", name)
		assert.NotContains(t, text(all(doc, tag("footer"))[0]), "made up", name)
	}
}

// A finding about people's safety stands on the sheet; any other only on the
// protocol's page, with its place.
func TestFindingsStandWhereTheyBelong(t *testing.T) {
	in := demo(t, unit.Metric)
	e := &in.Entries[0]
	name := e.Process.Input.Protocol.Name
	own := *e.Batches[0]
	e.Batches = []*batch.Batch{&own}
	what := words.Message("limit.below", "quantity", words.Message("quantity.vent"),
		"found", unit.Amount{Kind: unit.TimeOf, Value: 7 * unit.Minute}, "allowed", unit.Amount{Kind: unit.TimeOf, Value: 11 * unit.Minute})
	f := protocol.Finding{Severity: protocol.Warning, Rule: "vent.short", What: what, Source: "a source",
		Place: protocol.Place{File: "protocols/x.toml", Line: 7, Column: 3}}
	said := strings.ReplaceAll(in.Voice.Say(what), unit.Space, " ")
	said = strings.ToUpper(said[:1]) + said[1:] + "."
	for _, safety := range []bool{false, true} {
		f.Safety = safety
		e.Findings = []protocol.Finding{f}
		e.Batches[0].Findings = []protocol.Finding{f}
		docs := pages(t, renderedOnly(t, in, at(leaf.SheetPath(name, e.Batches[0].Vessels), leaf.ProtocolPath(name))))
		sheet := strings.ReplaceAll(text(docs[leaf.SheetPath(name, e.Batches[0].Vessels)]), unit.Space, " ")
		page := strings.ReplaceAll(text(docs[leaf.ProtocolPath(name)]), unit.Space, " ")
		assert.Equal(t, safety, strings.Contains(sheet, said), "safety: %v", safety)
		assert.Contains(t, page, said)
		assert.Contains(t, page, "protocols/x.toml:7:3")
	}
}

// Yields are always a span.
func TestYieldsAreSpans(t *testing.T) {
	sizes := len(demo(t, unit.Metric).Entries[0].Batches)
	for name, doc := range demoPages(t, unit.Metric) {
		section := byID(doc, "cap-yield")
		if section == nil {
			continue
		}
		rows := all(all(section.Parent, tag("tbody"))[0], tag("tr"))
		require.Len(t, rows, sizes+1, "%s: the sizes and a vessel", name)
		for _, row := range rows {
			var last float64
			for _, cell := range all(row, tag("td"))[:3] {
				v, err := unit.Parse(unit.MassOf, text(cell))
				require.NoError(t, err, name)
				assert.Greater(t, v, last, name)
				last = v
			}
		}
	}
}

func TestGuideLinksLeadSomewhere(t *testing.T) {
	in := demo(t, unit.Metric)
	in.Guides = append(in.Guides, book.Guide{Name: "zz", Document: "site/zz.md", Markdown: []byte("# Z\n\n[a](pressure-vessels.md#before-the-run) [b](../index.html)\n")})
	docs := pages(t, renderedOnly(t, in, at("guides/zz.html")))
	links := all(all(docs["guides/zz.html"], tag("article"))[0], tag("a"))
	require.Len(t, links, 2)
	assert.Equal(t, "pressure-vessels.html#before-the-run", attr(links[0], "href"))

	in.Guides[len(in.Guides)-1].Markdown = []byte("# Z\n\n[a](nowhere.md)\n")
	set, err := book.Pages(in)
	require.NoError(t, err)
	set = slices.DeleteFunc(set, func(p book.Page) bool { return p.Path != "guides/zz.html" })
	err = book.Set(t.Context(), set, func(int, book.File) error { return nil })
	require.Error(t, err)
	assert.Equal(t, "site/zz.md: a link leads to guides/nowhere.html, and the book has no such page", err.Error())
}
