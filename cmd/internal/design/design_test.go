package design_test

import (
	"errors"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/design"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/substrate"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// demo is a protocol of the demo farm.
func demo(t require.TestingT, name string) process.Input {
	folder, findings := farmfile.Read(os.DirFS("../../.."), nil)
	require.NotEqual(t, protocol.Error, protocol.Worst(findings))
	i := slices.IndexFunc(folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	require.GreaterOrEqual(t, i, 0)
	return process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: folder.Protocols[i]}
}

// sayable holds every message of a design to the catalog.
func sayable(t require.TestingT, list ...protocol.Message) {
	v := words.English(unit.Metric)
	for _, m := range list {
		require.NotEmpty(t, v.Say(m))
	}
}

// Whatever is designed for the demo's protocols keeps within its bounds and
// targets as the heart works them out, crosses no limit that it was held to, and
// is no worse than the formula that the protocol has if that keeps within them.
func TestDesignsOfTheDemo(t *testing.T) {
	names := []string{"enoki-850", "oyster-1100", "king-oyster-1100", "lions-mane-950", "beech-850"}
	inputs := map[string]process.Input{}
	for _, name := range names {
		inputs[name] = demo(t, name)
	}
	solved, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := inputs[rapid.SampledFrom(names).Draw(t, "protocol")]
		r := design.Request{Goal: rapid.SampledFrom([]design.Goal{design.Cheapest, design.Closest, design.LeastSquares}).Draw(t, "goal")}
		for _, id := range []string{"corn-cob", "rice-bran", "wheat-bran", "soy-hull"} {
			if rapid.Bool().Draw(t, id) {
				r.Use = append(r.Use, design.Use{Ingredient: id})
			}
		}
		if rapid.Bool().Draw(t, "with nitrogen") {
			low := float64(rapid.IntRange(40, 180).Draw(t, "nitrogen")) / 10000
			r.Nitrogen = &design.Range{Low: low, High: low + 0.001}
		}
		d, err := design.For(in, r)
		var no *design.Refusal
		if errors.As(err, &no) {
			refused++
			sayable(t, no.What, no.Hint)
			sayable(t, no.Bounds()...)
			sayable(t, no.Reached()...)
			// A target that just touches another may leave no room for whole steps.
			require.True(t, len(no.Against) > 0 || no.What.ID == "design.not_in_steps", no.What.ID)
			return
		}
		require.NoError(t, err)
		solved++
		sum := 0.0
		for _, l := range d.Lines {
			sum += l.Now
			require.GreaterOrEqual(t, l.Now, l.Bounds.Low-1e-9)
			require.LessOrEqual(t, l.Now, l.Bounds.High+1e-9)
			require.InDelta(t, math.Round(l.Now*1000), l.Now*1000, 1e-6)
		}
		require.InDelta(t, 1, sum, 1e-9)
		inside := true
		for _, f := range d.Figures {
			require.GreaterOrEqual(t, f.Now, f.Target.Low*(1-1e-8), f.Quantity)
			require.LessOrEqual(t, f.Now, f.Target.High*(1+1e-8), f.Quantity)
			inside = inside && f.House >= f.Target.Low && f.House <= f.Target.High
		}
		for _, l := range d.Lines {
			inside = inside && l.House >= l.Bounds.Low && l.House <= l.Bounds.High
		}
		if inside {
			require.LessOrEqual(t, *d.Cost, *d.HouseCost+func() float64 {
				if d.Goal == design.Cheapest {
					return 1e-9
				}
				return 1
			}())
			require.True(t, d.Goal == design.Cheapest || !d.Changed())
		}
		for _, x := range d.Process.Findings {
			require.NotContains(t, []string{"shares.sum", "shares.near", "share.never", "cn.unusual", "cn.never", "minerals.never", "ingredients.wet"}, x.Rule)
		}
		sayable(t, d.Headline())
		sayable(t, d.HeldBack(func(float64) string { return "0.01 USD/kg" })...)
		for _, l := range d.Lines {
			sayable(t, l.Span(), words.Message("design.from."+l.From))
		}
		for _, f := range d.Figures {
			sayable(t, f.Span(), design.Name(f.Quantity), words.Message("design.from."+f.From))
		}
	})
	t.Logf("%d solved, %d refused", solved, refused)
	assert.Greater(t, solved, 10)
	assert.Greater(t, refused, 5)
}

// The cost that a design makes least is that of what is bought: worked out from
// the masses as received of one kg of dry matter, and the farm's prices.
func TestCostIsThatOfTheSacks(t *testing.T) {
	in := demo(t, "enoki-850")
	d, err := design.For(in, design.Request{Goal: design.Cheapest})
	require.NoError(t, err)
	sum := 0.0
	for _, part := range d.Process.Parts {
		q, err := substrate.AsReceived.At(map[string]float64{
			"d": float64(part.Share), "m_in": d.Process.Ledger.ValueOf("moisture_received", part.ID),
		})
		require.NoError(t, err)
		sum += q * in.Farm.Prices[part.ID].Amount
	}
	assert.InDelta(t, sum, *d.Cost, 1e-12)
	assert.Less(t, *d.Cost, *d.HouseCost)
}

// Nothing weeps: with a fill so dense that too little air is left no formula is
// given, and the density and the moisture that are named would do.
func TestNothingWeeps(t *testing.T) {
	in := demo(t, "enoki-850")
	dense := unit.Density(950)
	in.Protocol.Fill.Density = &dense
	_, err := design.For(in, design.Request{Goal: design.Closest})
	var no *design.Refusal
	require.ErrorAs(t, err, &no)
	assert.Equal(t, "design.weeps", no.What.ID)
	sayable(t, no.What, no.Hint)
	least := limit.Of("air_filled_porosity")[0].Low.Value

	mended := in
	looser := unit.Density(no.Hint.Args["density"].(unit.Amount).Value)
	mended.Protocol.Fill.Density = &looser
	d, err := design.For(mended, design.Request{Goal: design.Closest})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, d.Process.Value("air_filled_porosity"), least)

	// A little above the limit the moisture can mend it too.
	wet := unit.Density(860)
	in.Protocol.Fill.Density = &wet
	in.Protocol.Substrate.Moisture = 0.72
	_, err = design.For(in, design.Request{Goal: design.Closest, Air: &[]float64{0.25}[0]})
	require.ErrorAs(t, err, &no)
	require.Equal(t, "design.weeps.hint", no.Hint.ID)
	sayable(t, no.Hint)
	in.Protocol.Substrate.Moisture = unit.WetShare(no.Hint.Args["moisture"].(unit.Amount).Value)
	d, err = design.For(in, design.Request{Goal: design.Closest})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, d.Process.Value("air_filled_porosity"), least)
}

// An ingredient that is wetter than the mix may be is held back by its water.
func TestWetIngredients(t *testing.T) {
	in := demo(t, "enoki-850")
	in.Farm.Moisture = map[string]unit.WetShare{"hardwood-pellet": 0.90}
	d, err := design.For(in, design.Request{Goal: design.Closest, Use: []design.Use{{Ingredient: "corn-cob"}}, Nitrogen: &design.Range{Low: 0.005, High: 0.02}})
	require.NoError(t, err)
	assert.LessOrEqual(t, d.Process.Ledger.ValueOf("moisture_without_water", "hardwood-pellet"), 0.65+1e-9)
	require.True(t, d.Changed())
	assert.Equal(t, "moisture_without_water", d.Held[0].Of)
}

// Minerals that are free keep within what is usual of all together.
func TestMinerals(t *testing.T) {
	in := demo(t, "enoki-850")
	in.Farm.Prices["gypsum"] = unit.MassPrice{Amount: 0.01, Currency: "USD"}
	d, err := design.For(in, design.Request{Goal: design.Cheapest, Use: []design.Use{{Ingredient: "gypsum", Bounds: &design.Range{Low: 0, High: 0.05}}}})
	require.NoError(t, err)
	assert.InDelta(t, 0.02, d.Process.Value("minerals_total"), 1e-9)
}

func TestRefusals(t *testing.T) {
	in := demo(t, "enoki-850")
	span := func(low, high float64) *design.Range { return &design.Range{Low: low, High: high} }
	air := -0.1
	for want, r := range map[string]design.Request{
		"design.no_ingredient": {Use: []design.Use{{Ingredient: "wheat-brann"}}},
		"design.twice":         {Use: []design.Use{{Ingredient: "wheat-bran"}, {Ingredient: "wheat-bran"}}},
		"design.bounds":        {Use: []design.Use{{Ingredient: "wheat-bran", Bounds: span(1.2, 1.3)}}},
		"design.never":         {Use: []design.Use{{Ingredient: "wheat-bran", Bounds: span(0, 0.99)}}},
		"design.crossing":      {Nitrogen: span(0.015, 0.013)},
		"design.air_share":     {Air: &air},
		"design.infeasible":    {Nitrogen: span(0.03, 0.04)},
		"design.no_price":      {Goal: design.Cheapest, Use: []design.Use{{Ingredient: "cottonseed-hull"}}},
	} {
		if r.Goal == 0 {
			r.Goal = design.Closest
		}
		_, err := design.For(in, r)
		var no *design.Refusal
		require.ErrorAs(t, err, &no, want)
		assert.Equal(t, want, no.What.ID)
		sayable(t, no.What, no.Hint)
	}
	r := design.Request{Goal: design.Closest, Use: []design.Use{{Ingredient: "wheat-bran", Bounds: span(0.2, 0.1)}}}
	_, err := design.For(in, r)
	require.ErrorContains(t, err, "design.crossing")
	var many []design.Use
	for id := range in.Library.Ingredients {
		many = append(many, design.Use{Ingredient: id})
	}
	_, err = design.For(in, design.Request{Goal: design.Closest, Use: many})
	require.ErrorContains(t, err, "design.too_many")
}

// BenchmarkDesign is a whole design over twenty ingredients, which is to take
// less than 50 ms.
func BenchmarkDesign(b *testing.B) {
	in := demo(b, "enoki-850")
	ids := make([]string, 0, len(in.Library.Ingredients))
	for id := range in.Library.Ingredients {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	r := design.Request{Goal: design.Closest, Nitrogen: &design.Range{Low: 0.015, High: 0.016}}
	for _, id := range ids {
		if len(r.Use) < 16 && !slices.ContainsFunc(in.Protocol.Substrate.Ingredients, func(p protocol.Part) bool { return p.Ingredient == id }) {
			r.Use = append(r.Use, design.Use{Ingredient: id})
		}
	}
	for b.Loop() {
		if _, err := design.For(in, r); err != nil {
			b.Fatal(err)
		}
	}
}
