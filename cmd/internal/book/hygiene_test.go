package book_test

import (
	"bytes"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// The page on cleaning has the farm's own figures. By hand: 500 mL of 70 % from 95 %
// take 368 mL, 10 L of 500 and of 100 ppm from 6 % take 83 and 17 mL. How long they
// stay wet: University of Iowa EHS; WHO 2014, Annex G.
func TestPageOnCleaning(t *testing.T) {
	in := demo(t, unit.Metric)
	files := maps.Clone(render(t, unit.Metric))
	// Cells apart, as they are read.
	files[leaf.HygienePath] = bytes.ReplaceAll(bytes.ReplaceAll(files[leaf.HygienePath], []byte("</td>"), []byte(" </td>")), []byte("</th>"), []byte(" </th>"))
	doc := onePage(t, files, leaf.HygienePath)
	require.NotNil(t, doc)
	said := plainText(doc)
	for _, want := range []string{
		"368 mL alcohol of 95 % fill up to the mark 500 mL wet for 3 min",
		"500 ppm 83 mL bleach 9917 mL 10 L wet for 10 min; what lies in it, 30 min rinse",
		"100 ppm 17 mL bleach 9983 mL 10 L wet for 1 min do not rinse",
		"opened on 2026-10-05. After 2027-04-03 it is too weak", // 180 days on
		"80 °C for 1 min, all of it under water. Less than 77 °C or 30 s does not count",
		"1, clean Clean room",
		"Tuesday Floor drains",
		"what it likes: beech, enoki, king oyster.",
		"0.449 m/s",
	} {
		assert.Contains(t, said, want)
	}
	for _, formula := range []string{"V × C_2 / C_1", "(v1 + v2 + v3 + v4 + v5 + v6 + v7 + v8 + v9) / 9"} {
		assert.Contains(t, said, formula)
	}
	told, _, _ := strings.Cut(said, "How is this worked out?")
	assert.NotContains(t, told, "1:10", "a ratio means two things")
	// A danger stands before what it is about.
	assert.Less(t, strings.Index(said, "makes a gas that will kill you"), strings.Index(said, "How to mix bleach"))
	assert.Contains(t, plainText(onePage(t, files, leaf.HomePath)), "Cleaning: how much, how long, which day")

	// Where no crop needs it, nobody is told to swab for Listeria; and a farm that
	// has written nothing down has no page.
	in.Entries, in.Season, in.Results, in.Climate = nil, nil, nil, nil
	plain := plainText(onePage(t, renderedOnly(t, in, at(leaf.HygienePath)), leaf.HygienePath))
	assert.NotContains(t, plain, "Against Listeria")
	assert.Contains(t, plain, "83 mL bleach")
	in.Edition.Farm.Hygiene = nil
	assert.NotContains(t, paths(t, in), leaf.HygienePath)
	assert.NotContains(t, plainText(onePage(t, renderedOnly(t, in, at(leaf.HomePath)), leaf.HomePath)), "Cleaning: how much")
}

// What the farm cleans with stands among the limits by itself, once, and is judged
// there as the check judges it.
func TestSolutionsStandAmongTheLimits(t *testing.T) {
	in := demo(t, unit.Metric)
	in.Entries, in.Season, in.Results, in.Climate = nil, nil, nil, nil
	h := *in.Edition.Farm.Hygiene
	alcohol := *h.Alcohol
	alcohol.Wanted = 0.65 // under the 70 % of the limits: a warning
	h.Alcohol = &alcohol
	in.Edition.Farm.Hygiene = &h
	doc := onePage(t, renderedOnly(t, in, at(leaf.LimitsPath)), leaf.LimitsPath)
	for quantity, want := range map[string]string{"bleach_surfaces": "500 ppm", "bench_speed": "0.4489 m/s", "alcohol_wanted": "65 %", "sanitize_water": "80 °C"} {
		heading := byID(doc, "of-"+strings.ReplaceAll(quantity, "_", "-"))
		require.NotNil(t, heading, quantity)
		rows := all(all(heading.Parent, tag("tbody"))[0], tag("tr"))
		require.Len(t, rows, 1, quantity)
		assert.Equal(t, "../"+leaf.HygienePath, attr(all(rows[0], tag("a"))[0], "href"), quantity)
		said := plainText(rows[0])
		assert.Contains(t, said, want)
		assert.Equal(t, quantity == "alcohol_wanted", strings.Contains(said, "Warning."), quantity)
	}
}
