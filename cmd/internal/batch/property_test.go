package batch_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// random draws a valid protocol on a valid farm, within every error limit.
func random(t *rapid.T, base process.Input) process.Input {
	share := func(name string, low, high float64) float64 {
		// Whole tenths of a percent, as a grower writes them.
		return math.Round(rapid.Float64Range(low, high).Draw(t, name)*1000) / 1000
	}
	in := base
	soy := share("soy hull", 0.20, 0.55)
	bran := share("bran", 0.02, 0.25)
	gypsum := share("gypsum", 0.005, 0.02)
	in.Protocol.Substrate.Ingredients = []protocol.Part{
		{Ingredient: "soy-hull", Share: unit.DryShare(soy)},
		{Ingredient: "wheat-bran", Share: unit.DryShare(bran)},
		{Ingredient: "gypsum", Share: unit.DryShare(gypsum)},
		{Ingredient: "hardwood-pellet", Share: unit.DryShare(1 - soy - bran - gypsum)},
	}
	in.Protocol.Substrate.Moisture = unit.WetShare(share("moisture", 0.58, 0.70))
	// So long a hold is enough however densely the bottle is packed.
	in.Protocol.Sterilization.Hold = 4 * unit.Hour
	in.Protocol.Substrate.ChangeInSterilizer = unit.Share(share("change", -0.03, 0.02))
	density := unit.Density(rapid.Float64Range(550, 800).Draw(t, "density"))
	in.Protocol.Fill.Density, in.Protocol.Fill.Mass = &density, nil
	in.Measured = map[string]unit.WetShare{
		"soy-hull":        unit.WetShare(share("soy hull moisture", 0.05, 0.2)),
		"hardwood-pellet": unit.WetShare(share("pellet moisture", 0.03, 0.12)),
	}
	in.Farm.Scales = []protocol.Scale{
		{ID: "bench", Name: "bench", Step: unit.Step{Size: rapid.SampledFrom([]float64{0.0001, 0.0002, 0.0005}).Draw(t, "fine"), Unit: "g"}, Capacity: 3},
		{ID: "floor", Name: "floor", Step: unit.Step{Size: rapid.SampledFrom([]float64{0.002, 0.005, 0.01, 0.02}).Draw(t, "coarse"), Unit: "kg"},
			Capacity: unit.Mass(rapid.SampledFrom([]float64{15, 30, 60, 150}).Draw(t, "capacity"))},
	}
	in.Farm.Mixer.Capacity = unit.Mass(rapid.Float64Range(20, 200).Draw(t, "mixer"))
	in.Farm.Controls.UninoculatedPerLoad = rapid.IntRange(0, 4).Draw(t, "controls")
	// Many hands and a long day: how long a mix waits is no matter here.
	in.Farm.Shift = &protocol.Shift{Length: 24 * unit.Hour, Air: unit.FromCelsius(20), People: 10}
	in.Units = rapid.SampledFrom([]unit.System{unit.Metric, unit.US}).Draw(t, "units")
	return in
}

// Decision 5 of the project: masses close to 1e-9 before rounding; after it the
// printed rows add up exactly to the printed totals, and a mix differs from the
// exact one by at most half a step of its scale for each row.
func TestMassesClose(t *testing.T) {
	base := input(t, "enoki-850")
	checks.Cases(t, 12) // each of them solves a run
	rapid.Check(t, func(rt *rapid.T) {
		in := random(rt, base)
		n := rapid.IntRange(12, 3000).Draw(rt, "vessels")
		p, err := process.Plan(in)
		require.NoError(rt, err)
		require.NotEqual(rt, protocol.Error, protocol.Worst(p.Findings), "%v", p.Findings)
		b, err := batch.Compute(p, n)
		require.NoError(rt, err)
		for _, f := range b.Own {
			// A very coarse scale may be too coarse for a small batch; then
			// there is no batch to check.
			if f.Rule == "weighing.too_small" {
				rt.SkipNow()
			}
			require.NotEqual(rt, protocol.Error, f.Severity, f.Rule)
		}
		exact := 0.0
		for _, part := range p.Parts {
			received := b.Ledger.ValueOf("received", part.ID)
			exact += received * (1 - b.Ledger.ValueOf("moisture_received", part.ID))
		}
		assert.InEpsilon(rt, b.Value("dry_total"), exact, 1e-9, "dry matter")
		assert.InEpsilon(rt, b.Value("wet_total"), b.Value("mix_total")*(1+b.Value("mass_change")), 1e-9, "wet mass after the sterilizer")
		assert.InEpsilon(rt, b.Value("moisture_mixed"), 1-b.Value("dry_total")/b.Value("mix_total"), 1e-9, "moisture")

		most := 0.0
		sum := map[string]int64{}
		rounded := 0.0
		for _, r := range b.Mix.Rows {
			most += r.Scale.Step / 2
			rounded += r.Mass
			// A half that is missed by a part in 1e9 of the mass counts as one (unit.Nearest).
			assert.LessOrEqual(rt, math.Abs(r.Mass-r.Exact), r.Scale.Step/2+1e-9*r.Mass, r.ID)
			steps := int64(math.Round(r.Mass / r.Scale.Step))
			assert.InEpsilon(rt, float64(steps)*r.Scale.Step, r.Mass, 1e-9, "%s is no multiple of its scale's step", r.ID)
			sum[r.Scale.ID] += steps
			var parts int64
			for _, part := range r.Parts {
				assert.LessOrEqual(rt, part, r.Scale.Most*(1+1e-9), "a weighing is over the scale's capacity")
				parts += int64(math.Round(part / r.Scale.Step))
			}
			assert.Equal(rt, steps, parts, "the weighings of %s do not add up", r.ID)
		}
		for _, total := range b.Mix.Totals {
			assert.Equal(rt, sum[total.Scale.ID], int64(math.Round(total.Mass/total.Scale.Step)), "the rows of scale %s do not add up", total.Scale.ID)
		}
		assert.LessOrEqual(rt, math.Abs(rounded-b.Value("mix_total")/float64(b.Mixes)), most+1e-9*rounded, "total of a mix")
		assert.LessOrEqual(rt, b.Value("mix_total")/float64(b.Mixes), float64(in.Farm.Mixer.Capacity)*(1+1e-9), "a mix overflows the mixer")
	})
}

// Decision 4: at a fixed waste allowance, and without control vessels, k times
// the vessels are exactly k times every amount before rounding.
func TestAmountsAreProportional(t *testing.T) {
	base := input(t, "enoki-850")
	checks.Cases(t, 12)
	rapid.Check(t, func(rt *rapid.T) {
		in := random(rt, base)
		in.Farm.Controls.UninoculatedPerLoad = 0
		in.Farm.Waste = protocol.Waste{Small: 0.03, Usual: 0.03}
		n, k := rapid.IntRange(1, 500).Draw(rt, "vessels"), rapid.IntRange(2, 40).Draw(rt, "times")
		p, err := process.Plan(in)
		require.NoError(rt, err)
		one, err := batch.Compute(p, n)
		require.NoError(rt, err)
		many, err := batch.Compute(p, n*k)
		require.NoError(rt, err)
		for _, name := range []string{"wet_total", "dry_total", "water_needed", "water_to_add", "water_received", "mix_total"} {
			assert.InEpsilon(rt, float64(k)*one.Value(name), many.Value(name), 1e-9, name)
		}
		for _, part := range p.Parts {
			assert.InEpsilon(rt, float64(k)*one.Ledger.ValueOf("received", part.ID), many.Ledger.ValueOf("received", part.ID), 1e-9, part.ID)
		}
	})
}

// Loads take every vessel once, none over the sterilizer's capacity, each with
// its controls, and they are as equal as whole vessels allow.
func TestLoadsAreWhole(t *testing.T) {
	base := input(t, "enoki-850")
	rapid.Check(t, func(rt *rapid.T) {
		in := base
		capacity := rapid.IntRange(5, 300).Draw(rt, "capacity")
		in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
		in.Farm.Sterilizers[0].Holds = []protocol.Holds{{Vessel: in.Protocol.Vessel, Count: capacity}}
		in.Farm.Grain = nil                              // its jars would have no place
		in.Farm.Sterilizers[0].Model = "autoclave-large" // the small one has no room for 300
		in.Farm.Controls.UninoculatedPerLoad = rapid.IntRange(0, 4).Draw(rt, "controls")
		n := rapid.IntRange(1, 5000).Draw(rt, "vessels")
		p, err := process.Plan(in)
		require.NoError(rt, err)
		b, err := batch.Compute(p, n)
		require.NoError(rt, err)
		all, least, most := 0, math.MaxInt, 0
		for _, l := range b.Loads {
			all += l.Vessels
			least, most = min(least, l.Vessels), max(most, l.Vessels)
			assert.Equal(rt, in.Farm.Controls.UninoculatedPerLoad, l.Controls)
		}
		assert.Equal(rt, b.Filled, all)
		assert.Equal(rt, n+len(b.Loads)*in.Farm.Controls.UninoculatedPerLoad, all)
		assert.LessOrEqual(rt, most, capacity)
		assert.LessOrEqual(rt, most-least, 1)
		// One load less would not have held them.
		assert.Greater(rt, n, (len(b.Loads)-1)*(capacity-in.Farm.Controls.UninoculatedPerLoad))
	})
}

// From 12 to 400 vessels every quantity that should change does, and none that
// should not. What one vessel gets, and how the run goes, is the process's and
// is shared; of the batch's own quantities, those named here may stay.
func TestScalingChangesWhatItShould(t *testing.T) {
	for _, name := range []string{"enoki-850", "enoki-quart", "oyster-1100"} {
		in := input(t, name)
		in.Farm.Shift = &protocol.Shift{Length: 8 * unit.Hour, Air: unit.FromCelsius(20)}
		p := plan(t, in)
		small, err := batch.Compute(p, 12)
		require.NoError(t, err)
		large, err := batch.Compute(p, 400)
		require.NoError(t, err)
		same := map[string]bool{
			"waste_small": true, "waste_usual": true, "mixer_capacity": true,
			// Each vessel gets as much, and uses up as much, in any batch.
			"spawn_cost_each": true, "consumables_cost_each": true,
			// Composition of the mix as weighed: only rounding may move it.
			"moisture_weighed": true, "one_point": true, "rounding_moisture": true, "nitrogen_weighed": true, "rounding_nitrogen": true,
			"share_weighed": true, "rounding_share": true, "rounding_mineral": true, "weighings": true,
			// One mix makes a load, small or large, and one load a day.
			"load_mixes": true, "load_weigh": true, "first_water": true, "load_mix": true, "load_check_moisture": true,
			"grain_runs": true, "grain_controls_made": true, "plates_needed": true, "plates": true,
			"load_pressure_off": true, "time_release": true, "loads_a_day": true, "mix_at": true, "steam_by": true,
		}
		for _, q := range small.Ledger.Own() {
			other := large.Ledger.Of(q.Name, q.Of)
			require.NotNil(t, other, q.ID())
			if !same[q.Name] {
				assert.Greater(t, math.Abs(other.Value-q.Value), 1e-9*math.Abs(q.Value), "%s: %s is the same for 12 and 400", name, q.ID())
			}
		}
		assert.InDelta(t, small.Value("moisture_weighed"), large.Value("moisture_weighed"), 0.002)
		for _, q := range p.Ledger.All() {
			assert.Same(t, q, small.Ledger.Of(q.Name, q.Of), "%s of the process is not shared", q.ID())
		}
	}
}

// A wetter delivery brings more of itself and takes less water; the dry matter
// and the mix stay.
func TestMeasuredMoisture(t *testing.T) {
	in := input(t, "enoki-850")
	usual := compute(t, in, 48)
	in.Measured = map[string]unit.WetShare{"soy-hull": 0.14}
	wet := compute(t, in, 48)
	assert.InEpsilon(t, usual.Value("dry_total"), wet.Value("dry_total"), 1e-12)
	assert.InEpsilon(t, usual.Value("mix_total"), wet.Value("mix_total"), 1e-12)
	more := wet.Ledger.ValueOf("received", "soy-hull") - usual.Ledger.ValueOf("received", "soy-hull")
	less := usual.Value("water_to_add") - wet.Value("water_to_add")
	assert.InEpsilon(t, more, less, 1e-9)
	assert.Greater(t, more, 0.1)
}

func TestComputeRefusesSizes(t *testing.T) {
	p := plan(t, input(t, "enoki-850"))
	for _, n := range []int{0, -1, 100_001} {
		_, err := batch.Compute(p, n)
		require.Error(t, err, "%d", n)
	}
	for _, n := range []int{1, 100_000} {
		_, err := batch.Compute(p, n)
		require.NoError(t, err, "%d", n)
	}
}

func BenchmarkCompute(b *testing.B) {
	p := plan(b, input(b, "enoki-850"))
	for b.Loop() {
		if _, err := batch.Compute(p, 400); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	in := input(b, "enoki-850")
	for b.Loop() {
		if _, err := process.Plan(in); err != nil {
			b.Fatal(err)
		}
	}
}
