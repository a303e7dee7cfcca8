package process_test

import (
	"os"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// input is one protocol of the demo farm, ready to be changed.
func input(t *testing.T, name string) process.Input {
	t.Helper()
	folder := demo()
	i := slices.IndexFunc(folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	require.GreaterOrEqual(t, i, 0)
	return checks.Copy(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: folder.Protocols[i]})
}

// demo is the demo farm, which is this repository, read once.
var demo = sync.OnceValue(func() *farmfile.Folder {
	folder, findings := farmfile.Read(os.DirFS("../../.."), nil)
	if protocol.Worst(findings) == protocol.Error {
		panic("the demo farm has errors: bottlecrop check tells them")
	}
	return folder
})

// found plans and returns the findings by rule.
func found(t *testing.T, in process.Input) map[string]protocol.Finding {
	t.Helper()
	p, err := process.Plan(in)
	require.NoError(t, err)
	out := map[string]protocol.Finding{}
	for _, f := range p.Findings {
		out[f.Rule] = f
	}
	return out
}

func formula(parts ...protocol.Part) []protocol.Part { return parts }

// The demo farm has seven protocols, each without errors. Four warnings are ones
// that the author stands by; the others say that a run needs a probe.
func TestWarningsOfTheDemo(t *testing.T) {
	stoodBy := map[string][]string{}
	var needProbe []string
	for _, name := range []string{"beech-850", "enoki-850", "enoki-quart", "king-oyster-1100", "lions-mane-950", "maitake-quart", "oyster-1100"} {
		in := input(t, name)
		assert.Equal(t, []int{12, 48, 160, 400}, in.Protocol.BatchSizes, name)
		rules := map[string]protocol.Finding{}
		for rule, f := range found(t, in) {
			assert.Equal(t, protocol.Warning, f.Severity, "%s: %s", name, rule)
			rules[rule] = f
		}
		for _, a := range in.Protocol.Acknowledged {
			assert.Contains(t, rules, a.Rule, name)
			delete(rules, a.Rule)
			stoodBy[name] = append(stoodBy[name], a.Rule)
		}
		if _, needs := rules["f0.probe"]; needs {
			needProbe = append(needProbe, name)
			delete(rules, "f0.probe")
		}
		assert.Empty(t, rules, name)
	}
	// Maitake's dry, loose jar heats through as it is.
	assert.Equal(t, []string{"beech-850", "enoki-850", "enoki-quart", "king-oyster-1100", "lions-mane-950", "oyster-1100"}, needProbe)
	assert.Equal(t, map[string][]string{"enoki-quart": {"lift.index"}, "king-oyster-1100": {"spawn.unusual"}, "maitake-quart": {"species.fair", "lift.index"}}, stoodBy)
}

// Each species of the demo farm is opened as it wants: maitake and lion's mane
// are never scraped, beech keeps a raised center after 45 days of ripening
// (substrate reference F 14 and 15).
func TestTheDemoOpensEachAsItWants(t *testing.T) {
	for name, want := range map[string]struct {
		scrape string
		ripen  unit.Duration
	}{
		"beech-850":        {protocol.ScrapeRaised, 45 * unit.Day},
		"king-oyster-1100": {protocol.ScrapeLevel, 7 * unit.Day},
		"lions-mane-950":   {protocol.ScrapeNever, 0},
		"maitake-quart":    {protocol.ScrapeNever, 21 * unit.Day},
	} {
		p := input(t, name).Protocol
		assert.Equal(t, want.scrape, p.Opening.Scrape, name)
		assert.InDelta(t, float64(want.ripen), float64(p.Incubation.Ripen), 0, name)
	}
	for _, name := range []string{"lions-mane-950", "maitake-quart"} {
		in := input(t, name)
		in.Protocol.Opening.Scrape, in.Protocol.Opening.Depth = protocol.ScrapeLevel, 0.005
		assert.Equal(t, protocol.Error, found(t, in)["scrape.never"].Severity, name)
	}
}

// Decision 7: the plain half-and-half formula is low in nitrogen for enoki,
// and the program says so. That is all it says.
func TestPlainHalfAndHalfWarnsOfNitrogen(t *testing.T) {
	in := input(t, "enoki-850")
	in.Protocol.Substrate.Ingredients = formula(
		protocol.Part{Ingredient: "hardwood-pellet", Share: 0.5}, protocol.Part{Ingredient: "soy-hull", Share: 0.5})
	f := found(t, in)
	delete(f, "f0.probe") // of the run, and not of the formula
	require.Len(t, f, 1)
	assert.Equal(t, protocol.Warning, f["nitrogen.species"].Severity)
}

func TestIngredientsWetterThanTheTarget(t *testing.T) {
	in := input(t, "oyster-1100")
	in.Protocol.Substrate.Ingredients = formula(
		protocol.Part{Ingredient: "hardwood-pellet", Share: 0.55}, protocol.Part{Ingredient: "coffee-grounds", Share: 0.25},
		protocol.Part{Ingredient: "okara", Share: 0.20})
	in.Measured = map[string]unit.WetShare{"okara": 0.92}
	f := found(t, in)["ingredients.wet"]
	assert.Equal(t, protocol.Error, f.Severity)
	// The wettest is to blame: the one that was measured today.
	assert.Equal(t, working.Origin{Document: process.MeasuredFlag, Key: "okara"}, f.Origin)
}

// The station's own pressure beats the standard atmosphere of the altitude.
func TestStationPressureWins(t *testing.T) {
	in := input(t, "enoki-850")
	standard, err := process.Plan(in)
	require.NoError(t, err)
	pressure := unit.Absolute(98_500)
	in.Farm.StationPressure = &pressure
	measured, err := process.Plan(in)
	require.NoError(t, err)
	// US Standard Atmosphere 1976 at 420 m: 96.38 kPa.
	assert.InDelta(t, 96_380, standard.Value("air_pressure"), 10)
	assert.InDelta(t, 98_500, measured.Value("air_pressure"), 0)
	assert.Greater(t, measured.Value("chamber_temperature"), standard.Value("chamber_temperature"))
}

// Nothing that the order of a file could carry reaches the plan.
func TestOrderOfIngredientsDoesNotMatter(t *testing.T) {
	in := input(t, "enoki-850")
	a, err := process.Plan(in)
	require.NoError(t, err)
	in.Protocol.Substrate.Ingredients = slices.Clone(in.Protocol.Substrate.Ingredients)
	slices.Reverse(in.Protocol.Substrate.Ingredients)
	b, err := process.Plan(in)
	require.NoError(t, err)
	require.Equal(t, len(a.Ledger.All()), len(b.Ledger.All()))
	for i, q := range a.Ledger.All() {
		other := b.Ledger.All()[i]
		assert.Equal(t, q.ID(), other.ID())
		assert.Equal(t, q.Value, other.Value, "%s moved by a bit", q.ID())
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		rule   string
		key    string // where the finding points
		change func(*process.Input)
	}{
		{"shares.sum", "substrate.ingredient[1].share_dm", func(in *process.Input) {
			in.Protocol.Substrate.Ingredients = formula(
				protocol.Part{Ingredient: "soy-hull", Share: 0.4}, protocol.Part{Ingredient: "hardwood-pellet", Share: 0.4})
		}},
		{"gauge.rated", "sterilization.gauge_pressure", func(in *process.Input) { in.Protocol.Sterilization.GaugePressure = 40 * 6894.757 }},
		{"vent.never", "sterilization.vent", func(in *process.Input) { in.Protocol.Sterilization.Vent = 60 }},
		{"species.unsuited", "species", func(in *process.Input) { in.Protocol.Species = "shiitake" }},
		{"scrape.never", "opening.scrape", func(in *process.Input) { in.Protocol.Species = "maitake" }},
		{"scrape.never", "opening.scrape", func(in *process.Input) { in.Protocol.Species = "lions-mane" }},
		{"load.none", "sterilizer[0].holds", func(in *process.Input) { in.Protocol.Vessel = "bottle-1400" }},
		{"altitude.outside", "altitude", func(in *process.Input) { z := unit.Length(9000); in.Farm.Altitude = &z }},
		{"bore.deep", "bore.depth", func(in *process.Input) { in.Protocol.Bore.Depth = 0.3 }},
		{"fill.empty", "fill.headspace", func(in *process.Input) { in.Protocol.Fill.Headspace = 850e-6 }},
	} {
		in := input(t, "enoki-850")
		c.change(&in)
		f := found(t, in)[c.rule]
		if assert.Equal(t, protocol.Error, f.Severity, c.rule) {
			assert.Equal(t, c.key, f.Origin.Key, c.rule)
		}
	}
}

func TestUnknownNamesAreAnError(t *testing.T) {
	for _, change := range []func(*protocol.Protocol){
		func(p *protocol.Protocol) { p.Species = "unicorn" },
		func(p *protocol.Protocol) { p.Vessel = "bucket" },
		func(p *protocol.Protocol) { p.Sterilizer = "oven" },
		func(p *protocol.Protocol) {
			p.Substrate.Ingredients = formula(protocol.Part{Ingredient: "gold", Share: 1})
		},
	} {
		in := input(t, "enoki-850")
		change(&in.Protocol)
		_, err := process.Plan(in)
		require.Error(t, err)
	}
}
