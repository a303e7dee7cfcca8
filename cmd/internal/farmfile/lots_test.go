package farmfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

// traced is a record in which everything has its place.
const traced = `format = 1

[[batch]]
code = "A-1"
protocol = "oyster"
mixed = "2026-03-02"
filled = 10
controls = 2
mixes = 2
water = "5 kg"
goods = [{ ingredient = "soy-hull", lot = "H-1", mass = "2 kg", mixes = [1, 2] }]
load = [
    { run = "R-1", vessels = 12, mixes = [1], racks = ["M1", "M2"] },
    { run = "R-2", vessels = 12, mixes = [1, 2] },
]
inoculated = "2026-03-04"
bench = "hood"
spawned = [{ lot = "S-2", vessels = 10, mass = "300 g" }]
waste = [{ what = "spent", mass = "5 kg", to = "compost" }]
opened = "2026-03-24"
emptied = "2026-04-10"

[[batch.picked]]
on = "2026-04-02"
mass = "1.0 kg"
as_picked = "1.1 kg"
lot = "O-402"

[[run]]
code = "R-1"
sterilizer = "Steam 1"
on = "2026-03-02"
failed = "gauge"

[[run]]
code = "R-2"
on = "2026-03-03"

[[spawn]]
lot = "S-1"
generation = 1
goods = [{ ingredient = "rye-grain", lot = "Y-1", mass = "3 kg" }]
run = "R-2"
full_on = "2026-02-20"

[[spawn]]
lot = "S-2"
generation = 2
from = "S-1"
jars = 3

[[sent]]
lot = "O-402"
to = "somebody"
on = "2026-04-03"
mass = "0.8 kg"

[[unsold]]
lot = "O-402"
on = "2026-04-03"
mass = "0.2 kg"
why = "soft"
`

// Each slip in a record of lots is found where it stands, with what is allowed and what
// to do; the record as it is has none.
func TestLots(t *testing.T) {
	read := func(text string) []protocol.Finding {
		_, found := Read(farmOf(t, map[string][]byte{protocol.ResultsDocument: []byte(text)}), builtIn)
		return found
	}
	require.Empty(t, read(strings.ReplaceAll(traced, `"oyster"`, `"enoki"`)), "the record of the fixture's own protocol")
	for _, c := range []struct{ old, with, rule, at string }{
		{`run = "R-2", vessels`, `run = "R-3", vessels`, "results.run", `"R-3"`},
		{`full_on = "2026-02-20"`, "full_on = \"2026-02-20\"\n\n[[spawn]]\nlot = \"S-9\"\nrun = \"X\"", "results.run", `"X"`},
		{`on = "2026-03-03"`, `on = "2026-03-01"`, "results.run_early", `"R-2"`},
		{`on = "2026-03-03"`, `on = "2026-03-05"`, "results.run_late", `"R-2"`},
		{`failed = "gauge"`, ``, "results.loaded", `12`},
		{`mixes = [1, 2] }]`, `mixes = [1, 3] }]`, "results.mix", `3`},
		{`mixes = [1], racks`, `mixes = [4], racks`, "results.mix", `4`},
		{`ingredient = "rye-grain", lot = "Y-1"`, `ingredient = "rye-grain", lot = "H-1"`, "results.other_goods", `"soy-hull"`},
		{`ingredient = "rye-grain"`, `ingredient = "ryegrain"`, "reference.unknown", `"ryegrain"`},
		{`as_picked = "1.1 kg"`, `as_picked = "0.9 kg"`, "results.trimmed", `"0.9 kg"`},
		{`generation = 1`, "generation = 1\nfrom = \"S-2\"", "results.circle", `"S-`},
		{`generation = 2`, `generation = 1`, "results.generation", `1`},
		{"to = \"somebody\"\non = \"2026-04-03\"", "to = \"somebody\"\non = \"2026-04-01\"", "results.sent_early", `"2026-04-01"`},
		{"[[unsold]]\nlot = \"O-402\"", "[[unsold]]\nlot = \"O-204\"", "results.harvest_lot", `"O-204"`},
		{`inoculated = "2026-03-04"`, `inoculated = "2026-03-01"`, "results.order", `"2026-03-01"`},
		{`what = "spent"`, `what = "burnt"`, "choice.unknown", `"burnt"`},
	} {
		require.Equal(t, 1, strings.Count(traced, c.old), c.old)
		found := read(strings.ReplaceAll(strings.Replace(traced, c.old, c.with, 1), `"oyster"`, `"enoki"`))
		var rules []string
		for _, f := range found {
			rules = append(rules, f.Rule)
		}
		if !assert.Contains(t, rules, c.rule, "%s with %s", c.old, c.with) {
			continue
		}
		for _, f := range found {
			if f.Rule == c.rule {
				assert.Greater(t, f.Place.Line, 0, c.rule)
				assert.NotEmpty(t, f.Hint.ID, c.rule)
			}
		}
	}
}

// More is left of a lot than came: one of the two was written wrong.
func TestLotThatGrew(t *testing.T) {
	_, found := Read(farmOf(t, map[string][]byte{protocol.StockDocument: []byte("format = 1\n[[lot]]\nid = \"H\"\ningredient = \"soy-hull\"\nmass = \"5 kg\"\ncame = \"4 kg\"\nreceived_on = \"2026-01-02\"\n")}), builtIn)
	require.Len(t, found, 1)
	assert.Equal(t, "stock.grown", found[0].Rule)
	assert.Equal(t, 6, found[0].Place.Line)
}
