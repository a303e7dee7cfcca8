package words_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// variants are protocols that between them enter every quantity there is: with
// a mass and with a density, with each kind of bore, with and without ripening,
// collar and wetting, at an altitude and under a barometer, in both systems.
func variants(t *testing.T) map[string]process.Input {
	enoki := demo(t, "enoki-850")
	out := map[string]process.Input{"enoki": enoki}
	change := func(name string, with func(*process.Input)) {
		in := enoki
		with(&in)
		out[name] = in
	}
	mass := unit.Mass(0.537)
	change("mass", func(in *process.Input) {
		in.Protocol.Fill.Mass, in.Protocol.Fill.Density = &mass, nil
	})
	change("mass, bore removed", func(in *process.Input) {
		in.Protocol.Fill.Mass, in.Protocol.Fill.Density = &mass, nil
		in.Protocol.Bore.Made = protocol.BoreRemoved
	})
	change("bore removed", func(in *process.Input) { in.Protocol.Bore.Made = protocol.BoreRemoved })
	// Without a bore heat goes in so slowly that the hold must be twice as long.
	change("no bore", func(in *process.Input) {
		in.Protocol.Bore, in.Protocol.Sterilization.Hold = protocol.Bore{Made: protocol.BoreNone}, 240*unit.Minute
	})
	change("shift", func(in *process.Input) {
		in.Farm.Shift = &protocol.Shift{Length: 8 * unit.Hour, Air: unit.FromCelsius(20), People: 2}
	})
	change("spawn is bought", func(in *process.Input) { in.Farm.Grain = nil })
	change("no shift", func(in *process.Input) { in.Farm.Shift = nil })
	change("ripening", func(in *process.Input) { in.Protocol.Incubation.Ripen = 10 * unit.Day })
	change("plain opening", func(in *process.Input) {
		in.Protocol.Opening = protocol.Opening{Scrape: protocol.ScrapeNever, Cover: "none"}
		in.Protocol.Collar = nil
	})
	change("own days", func(in *process.Input) {
		short, usual, long := unit.Duration(8*unit.Day), unit.Duration(9*unit.Day), unit.Duration(10*unit.Day)
		in.Protocol.Pinning.Days = protocol.Days{Shortest: &short, Usual: &usual, Longest: &long}
	})
	change("barometer", func(in *process.Input) {
		pressure := unit.Absolute(96400)
		in.Farm.Altitude, in.Farm.StationPressure = nil, &pressure
	})
	takes, each := unit.Duration(10*unit.Minute), unit.Duration(5)
	change("own steps", func(in *process.Input) {
		in.Protocol.Steps = []protocol.Step{
			{ID: "sieve", Before: "mix", Takes: &takes}, {ID: "gasket", After: "load", Takes: &takes, TakesEach: &each},
			{ID: "wheel-out", After: "unload", TakesEach: &each},
		}
	})
	change("crate", func(in *process.Input) { in.Farm.Crate = &protocol.Crate{Vessels: 12, Empty: 1.2} })
	change("a noise without a plan", func(in *process.Input) {
		in.Farm.Noise = []protocol.Noise{{ID: "mixer", Name: "Mixer", Station: "mixing", Level: 78, Time: unit.Hour}}
	})
	change("a boiler of its own", func(in *process.Input) {
		kind := in.Library.Sterilizers[in.Farm.Sterilizers[0].Model]
		kind.OwnBoiler = true
		in.Library.Sterilizers = map[string]protocol.Sterilizer{kind.ID: kind}
	})
	change("timed come-up", func(in *process.Input) {
		in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
		in.Farm.Sterilizers[0].FullUp = 50 * unit.Minute
	})
	change("trays", func(in *process.Input) {
		in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
		s := &in.Farm.Sterilizers[0]
		s.Trays, s.Wide, s.Deep = 3, 0.75, 0.65
	})
	change("an accepted probe run", func(in *process.Input) { in.Evidence = probeRuns(t, in.Farm) })
	change("US units", func(in *process.Input) { in.Units = unit.US })
	change("measured moisture", func(in *process.Input) {
		in.Measured = map[string]unit.WetShare{"soy-hull": 0.12}
	})
	change("two lots of one ingredient", func(in *process.Input) {
		wet := unit.WetShare(0.12)
		in.Stock = []process.Drawn{
			{Lot: protocol.Lot{ID: "H-17", Ingredient: "soy-hull", Moisture: &wet}, Taken: 4},
			{Lot: protocol.Lot{ID: "H-19", Ingredient: "soy-hull", Price: &unit.MassPrice{Amount: 0.5, Currency: "USD"}}, Taken: 6},
		}
	})
	return out
}

// probeRuns are those of the demo farm, with the log's second column in the
// vessel and its third in the chamber.
func probeRuns(t *testing.T, farm protocol.Farm) []process.Evidence {
	t.Helper()
	var out []process.Evidence
	for i, e := range farm.Evidence {
		data, err := os.ReadFile("../../../" + farmfile.LogPath(e))
		require.NoError(t, err)
		log, _ := probe.Read(e.Log, data, probe.Options{})
		require.NotNil(t, log)
		run := process.Evidence{Evidence: e, Index: i}
		for k, into := range []*[]heat.Point{&run.Vessel, &run.Chamber} {
			for _, p := range log.Channels[k].Points {
				*into = append(*into, heat.Point{Time: p.Seconds, Temperature: p.Kelvin})
			}
		}
		out = append(out, run)
	}
	require.NotEmpty(t, out)
	return out
}

// quantities are all that the variants enter, worked out once: nobody may change them.
func quantities(t *testing.T) []*working.Quantity {
	t.Helper()
	if len(all) > 0 {
		return all
	}
	var out []*working.Quantity
	for name, in := range variants(t) {
		p, err := process.Plan(in)
		require.NoError(t, err, name)
		for _, f := range p.Findings {
			require.NotEqual(t, protocol.Error, f.Severity, "%s: %s", name, f.Rule)
		}
		b, err := batch.Compute(p, 160)
		require.NoError(t, err, name)
		require.NoError(t, b.Ledger.Err(), name)
		out = append(out, b.Ledger.All()...)
		b, err = batch.ForMass(p, 40)
		require.NoError(t, err, name)
		out = append(out, b.Ledger.Own()...)
		if cleans := sanitation.New(in.Farm, []protocol.Species{p.Species}); cleans != nil {
			out = append(out, cleans.Ledger.All()...)
		}
	}
	all = slices.Concat(out, roomQuantities(t), resultsQuantities(t), seasonQuantities(t))
	return all
}

var all []*working.Quantity

// entered is one quantity of each name that the variants enter.
func entered(t *testing.T) map[string]*working.Quantity {
	out := map[string]*working.Quantity{}
	for _, q := range quantities(t) {
		out[q.Name] = q
	}
	require.Greater(t, len(out), 150)
	return out
}

func TestEveryQuantityHasAName(t *testing.T) {
	voices := []*words.Voice{words.English(unit.Metric), words.English(unit.US)}
	seen := map[string]bool{}
	for _, q := range quantities(t) {
		id := "quantity." + q.Name
		if !voices[0].Has(id) {
			if !seen[id] {
				t.Errorf("no message %s", id)
			}
			seen[id] = true
			continue
		}
		want := []string(nil)
		if q.Of != "" {
			want = []string{"of:text"}
		}
		assert.Equal(t, want, words.Arguments(id), id)
		for _, v := range voices {
			name := v.Say(limit.Name(q, map[string]string{q.Of: "Soy Hulls"}))
			assert.Equal(t, q.Of != "", strings.Contains(name, "Soy Hulls"), name)
		}
	}
}

func TestEveryNameIsOfAQuantity(t *testing.T) {
	known := entered(t)
	phrases := map[string]string{}
	for _, id := range words.IDs() {
		name, isQuantity := strings.CutPrefix(id, "quantity.")
		if !isQuantity {
			continue
		}
		assert.Contains(t, known, name, "%s names nothing", id)
		m := protocol.Message{ID: id}
		if len(words.Arguments(id)) > 0 {
			m.Args = map[string]any{"of": "OF"}
		}
		said := words.English(unit.Metric).Say(m)
		assert.Empty(t, phrases[said], "%s and %s are called alike", id, phrases[said])
		phrases[said] = id
	}
	assert.Greater(t, len(phrases), 150)
}

// What the table of limits names has to be entered by somebody: a row about a
// quantity that does not exist would never speak.
func TestLimitsNameQuantitiesThatExist(t *testing.T) {
	known := entered(t)
	for _, row := range limit.All() {
		assert.Contains(t, known, row.Quantity, row.ID)
		if row.Blame != "" {
			assert.Contains(t, known, row.Blame, row.ID)
		}
		for _, b := range []*limit.Bound{row.Low, row.High} {
			if b != nil && b.Of != "" {
				assert.Contains(t, known, b.Of, row.ID)
			}
		}
	}
}

// What the table of limits says that a quantity measures is what it measures.
func TestMeasuresAreThoseOfTheQuantities(t *testing.T) {
	known := entered(t)
	for _, row := range limit.All() {
		q, m := known[row.Quantity], limit.MeasureOf(row.Quantity)
		if q == nil {
			continue // TestLimitsNameQuantitiesThatExist has said so
		}
		assert.Equal(t, q.Kind, m.Kind, "%s: write what it measures into limit/measure.go", row.Quantity)
		assert.Equal(t, q.Of != "", m.Of != limit.OfWhole, "%s: write whose it is into limit/measure.go", row.Quantity)
	}
}

// Every row crossed on both sides, through the check itself, in both systems of
// units and with the kind and the subject that the quantity really has.
func TestEveryLimitCanBeSaid(t *testing.T) {
	known := entered(t)
	used := map[string]bool{}
	for _, row := range limit.All() {
		q := known[row.Quantity]
		require.NotNil(t, q, row.ID)
		for _, above := range []bool{false, true} {
			l := working.NewLedger(nil)
			bound := row.Low
			if above {
				bound = row.High
			}
			if bound == nil {
				continue
			}
			value := bound.Value
			if bound.Of != "" {
				value = 0.5
				l.GivenOf(bound.Of, q.Of, q.Kind, value, working.Origin{}, "")
				if bound.Times != 0 {
					value *= bound.Times
				}
				value += bound.Plus
			}
			if bound.Least {
				value = min(value, bound.Value)
			}
			if above {
				value += max(1e-3, value/10)
			} else {
				value -= max(1e-3, value/10)
			}
			l.GivenOf(q.Name, q.Of, q.Kind, value, working.Origin{}, "")
			if row.Shows != "" {
				l.GivenOf(row.Shows, "", limit.MeasureOf(q.Name).Kind, value, working.Origin{}, "")
			}
			found := limit.Check(l.Own(), l, map[string]string{q.Of: "Soy Hulls"}, "enoki")
			require.NotEmpty(t, found, "%s at %v", row.ID, value)
			for _, f := range found {
				used[f.What.ID], used[f.Why.ID], used[f.Hint.ID] = true, true, true
				for _, sys := range []unit.System{unit.Metric, unit.US} {
					v := words.English(sys)
					what := v.Say(f.What)
					assert.NotContains(t, what, "NaN", f.Rule)
					if strings.Contains(strings.Join(words.Arguments(f.What.ID), " "), "found:amount") {
						assert.Contains(t, what, f.What.Args["found"].(unit.Amount).Show(sys), f.Rule)
					}
					assert.NotEmpty(t, v.Say(f.Why), f.Rule)
					assert.NotEmpty(t, v.Say(f.Hint), f.Rule)
				}
			}
		}
		// A worse row may have hidden this one, so its own words are held here.
		for _, part := range []string{".why", ".hint"} {
			id := "limit." + row.ID + part
			require.True(t, words.English(unit.Metric).Has(id), id)
			assert.Empty(t, words.Arguments(id), id)
			used[id] = true
		}
		if row.What != "" {
			require.True(t, words.English(unit.Metric).Has(row.What), row.What)
			has := []string{"allowed:amount", "found:amount", "of:text", "quantity:message"}
			if row.Shows != "" {
				has = append(has, "shown:amount")
				endless := row.What + ".endless"
				for _, id := range []string{row.What, endless} {
					assert.Contains(t, words.Arguments(id), "shown:amount", "%s shows a quantity that its sentence leaves out", id)
					assert.Subset(t, has, words.Arguments(id), id)
				}
				used[endless] = true
			}
			assert.Subset(t, has, words.Arguments(row.What), row.What)
			used[row.What] = true
		}
	}
	for _, id := range words.IDs() {
		if strings.HasPrefix(id, "limit.") {
			assert.True(t, used[id], "%s is never said", id)
		}
	}
}

// The two findings that are no rows of the table, as the heart makes them.
func TestWeighingTooSmallCanBeSaid(t *testing.T) {
	in := demo(t, "enoki-850")
	in.Farm.Scales = slices.DeleteFunc(slices.Clone(in.Farm.Scales), func(s protocol.Scale) bool { return s.ID != "floor" })
	p, err := process.Plan(in)
	require.NoError(t, err)
	b, err := batch.Compute(p, 12)
	require.NoError(t, err)
	var small []protocol.Finding
	for _, f := range b.Findings {
		if f.Rule == "weighing.too_small" {
			small = append(small, f)
		}
	}
	require.Len(t, small, 1)
	v := words.English(unit.Metric)
	gypsum := in.Library.Ingredients["gypsum"].Name
	// The floor scale reads 10 g; 25 of its steps are the least (the substrate
	// reference, A10, asks for 20).
	assert.Contains(t, v.Say(small[0].What), "of "+gypsum+" is too little to weigh; the finest scale needs 250\u00a0g or more")
	assert.Contains(t, v.Say(small[0].Hint), "premix")
	assert.NotEmpty(t, v.Say(small[0].Why))
	_ = words.English(unit.US).Say(small[0].What)
}

func TestLawOutOfRangeCanBeSaid(t *testing.T) {
	l := working.NewLedger(nil)
	zero := l.Given("carbon", unit.ShareOf, 0, working.Origin{})
	l.Derive("carbon_to_nitrogen", unit.None, working.NewLaw("1 / N", "test", nil), working.Bind("N", zero))
	found := new(process.Process).Judge(l, nil)
	require.Len(t, found, 1)
	assert.Equal(t, "a value lies outside what can be worked out (carbon_to_nitrogen: 1 / N: division by zero); check the values that it rests on",
		words.English(unit.Metric).Say(found[0].What))
}

func TestSentencesAsAGrowerReadsThem(t *testing.T) {
	in := demo(t, "enoki-850")
	in.Protocol.Sterilization.Hold = 10 * unit.Minute
	in.Protocol.Spawn.ShareOfWet = 0.05
	in.Protocol.Collar = nil
	in.Protocol.Fruiting.CO2Most = 2500e-6
	in.Protocol.Harvest.CoolTo = unit.FromCelsius(6)
	in.Measured = map[string]unit.WetShare{"soy-hull": 0.90}
	p, err := process.Plan(in)
	require.NoError(t, err)
	said := map[string][2]string{}
	for _, f := range p.Findings {
		said[f.Rule] = [2]string{words.English(unit.Metric).Say(f.What), words.English(unit.US).Say(f.What)}
	}
	for rule, want := range map[string][2]string{
		"hold.never":       {"the hold at set pressure is 10 min, below the limit of 15 min", "the hold at set pressure is 10 min, below the limit of 15 min"},
		"spawn.unusual":    {"the spawn as a share of the wet substrate is 5 %, above the limit of 4 %", ""},
		"collar.wanted":    {"this species wants a collar, but the protocol fits none", ""},
		"fruiting.staffed": {"the highest CO₂ for fruiting is 2500 ppm; it has to be less than 2500 ppm", ""},
		"cold.warm":        {"the temperature of the packed crop is 6 °C, above the limit of 4 °C", "the temperature of the packed crop is 42.8 °F, above the limit of 39.2 °F"},
	} {
		require.Contains(t, said, rule)
		assert.Equal(t, want[0], strings.ReplaceAll(said[rule][0], "\u00a0", " "))
		if want[1] != "" {
			assert.Equal(t, want[1], strings.ReplaceAll(said[rule][1], "\u00a0", " "))
		}
	}
	assert.Contains(t, said["ingredients.wet"][0], "the wettest is "+in.Library.Ingredients["soy-hull"].Name)
}
