package procedure

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// settings walks through the kinds of protocol and farm that bring in every
// step and every sentence.
func settings() []setting {
	ripe := func(p *protocol.Protocol) { p.Incubation.Ripen = 45 * unit.Day }
	barometer := farm()
	barometer.StationPressure = pointer(unit.Absolute(96400))
	small := farm() // scales that carry less than a row of the mix
	small.Scales = []protocol.Scale{{ID: "kitchen", Name: "Kitchen", Step: unit.Step{Size: 1e-4, Unit: "g"}, Capacity: 3}}
	pounds := farm()
	pounds.Scales = []protocol.Scale{
		{ID: "oz", Name: "Ounces", Step: unit.Step{Size: 0.005 * 0.028349523125, Unit: "oz"}, Capacity: 3},
		{ID: "lb", Name: "Pounds", Step: unit.Step{Size: 0.02 * 0.45359237, Unit: "lb"}, Capacity: 40},
	}

	mildFarm, inMild := mild()
	list := []setting{
		on(enoki()), on(variant("oyster", oyster)), on(variant("maitake", maitake)), on(variant("jar", inJars)),
		on(variant("no-bore", noBore)), on(variant("bag", inBags)), on(variant("sawdust", sawdust)),
		on(variant("removed", func(p *protocol.Protocol) { p.Bore.Made = protocol.BoreRemoved })),
		on(variant("beech", func(p *protocol.Protocol) { ripe(p); p.Opening.Scrape = protocol.ScrapeRaised })),
		on(variant("nameko", func(p *protocol.Protocol) { p.Opening.Scrape = protocol.ScrapeLight; p.Opening.Cover = "inverted" })),
		on(variant("dry-scrape", func(p *protocol.Protocol) { p.Opening.Water, p.Opening.Stand = 0, 0 })),
		on(variant("wet-oyster", func(p *protocol.Protocol) {
			oyster(p)
			p.Opening.Water, p.Opening.Stand = 10e-6, 2*unit.Hour
		})),
		on(variant("dark", func(p *protocol.Protocol) { p.Pinning.Light = 0; p.Fruiting.Light = 0; p.Cleaning.Detergent = "none" })),
		on(variant("lime", func(p *protocol.Protocol) { p.Substrate.Ingredients[3].Ingredient = "lime" })),
		on(variant("hericium", hericium)),
		// The allergens that the other formulas do not have.
		on(variant("soy", formula(protocol.Part{Ingredient: "hull", Share: 0.5}))),
		on(variant("wet-goods", formula(protocol.Part{Ingredient: "okara", Share: 0.1}))),
		on(variant("gluten", formula(protocol.Part{Ingredient: "malt", Share: 0.2}))),
		on(variant("soy-gluten", formula(protocol.Part{Ingredient: "hull", Share: 0.3}, protocol.Part{Ingredient: "malt", Share: 0.1}))),
		on(variant("cold-wash", func(p *protocol.Protocol) { p.Cleaning.Water = c(20) })),
		on(variant("fixed", func(p *protocol.Protocol) {
			for days, at := range map[float64]*protocol.Days{25: &p.Incubation.Days, 9: &p.Pinning.Days, 14: &p.Fruiting.Days} {
				d := pointer(unit.Duration(days * unit.Day))
				*at = protocol.Days{Shortest: d, Usual: d, Longest: d}
			}
		})),
		on(enoki()).at(barometer), on(enoki()).at(small), on(enoki()).at(pounds), on(enoki()).at(withoutControls()),
		on(enoki()).at(allDay()), on(enoki()).at(ratedAt(16 * psi)),
		on(enoki()).at(careful("filling", "washing")), on(inMild).at(mildFarm),
	}
	var out []setting
	for _, s := range list {
		for _, units := range []unit.System{unit.Metric, unit.US} {
			for _, n := range []int{12, 120, 400} {
				one := s.in(units).of(n)
				one.number = len(out) + 1
				out = append(out, one)
			}
		}
	}
	return out
}

// formula replaces the formula; pellets and gypsum make up the rest.
func formula(parts ...protocol.Part) func(*protocol.Protocol) {
	return func(p *protocol.Protocol) {
		rest := unit.DryShare(0.99)
		for _, x := range parts {
			rest -= x.Share
		}
		p.Substrate.Ingredients = append(parts, protocol.Part{Ingredient: "gypsum", Share: 0.01}, protocol.Part{Ingredient: "pellet", Share: rest})
	}
}

func messages(p Procedure) []protocol.Message {
	var out []protocol.Message
	for _, h := range p.Hazards {
		out = append(out, h.Text)
	}
	for _, s := range p.Steps {
		out = append(out, s.Title, s.When, s.Limit, s.Front, s.FrontOf, s.Check, s.IfOff, s.Why, s.Wrong, s.Ask, s.Answer, s.LooksOf)
		out = append(out, s.Do...)
		for _, h := range s.Safety {
			out = append(out, h.Text)
		}
		for _, a := range s.Amounts {
			out = append(out, a.What, a.Remark)
		}
		for _, l := range s.Looks {
			out = append(out, l.Of, l.Text)
		}
		for _, q := range s.More {
			out = append(out, q.Ask, q.Answer)
		}
	}
	return out
}

// forbidden is what a worker's sheet must never say: somebody would run it.
var forbidden = regexp.MustCompile(`(?i)\bF[0₀]\b|lethal|log reduction|shorter|shorten|less time`)

// TestComplete: every step says who, where, what, how to check it, what to do
// when it is off and why; and for the trainer what goes wrong, what to ask and
// what the right answer is; in sentences that can be said, in every setting.
func TestComplete(t *testing.T) {
	read := map[string]bool{} // for most of it is said in every setting
	for _, s := range settings() {
		p := s.build(t)
		voice := words.English(s.units)
		for i, x := range p.Steps {
			at := s.protocol.Name + " " + string(x.ID)
			assert.Equal(t, i+1, x.Number, at)
			assert.Contains(t, work.Stations(), x.Station, at)
			assert.Contains(t, work.Roles(), x.Role, at)
			assert.NotEmpty(t, x.Do, at)
			assert.Positive(t, x.Time.Value, at)
			for what, m := range map[string]protocol.Message{
				"title": x.Title, "when": x.When, "limit": x.Limit, "check": x.Check, "off": x.IfOff, "why": x.Why,
				"wrong": x.Wrong, "ask": x.Ask, "answer": x.Answer,
			} {
				assert.NotEmpty(t, voice.Say(m), "%s: no %s", at, what)
			}
		}
		asked := map[string]bool{}
		for _, x := range p.Steps {
			ask := voice.Say(x.Ask)
			assert.True(t, strings.HasSuffix(ask, "?"), "%s asks nothing: %s", x.ID, ask)
			assert.False(t, asked[ask], "%s asks what another step asks: %s", x.ID, ask)
			asked[ask] = true
		}
		for _, m := range messages(p) {
			said := voice.Say(m)
			if read[said] {
				continue
			}
			read[said] = true
			assert.NotRegexp(t, forbidden, said, m.ID)
			assert.NotContains(t, said, "NaN", m.ID)
			assert.NotContains(t, said, "  ", m.ID)
		}
	}
}

// TestCatalogIsUsed: no sentence of the catalog lies about unused, and every
// station, role and hazard has its words.
func TestCatalogIsUsed(t *testing.T) {
	used := map[string]bool{}
	for _, s := range settings() {
		for _, m := range messages(s.build(t)) {
			used[m.ID] = true
		}
	}
	for _, s := range spawnSettings() {
		for _, m := range messages(buildGrain(t, s)) {
			used[m.ID] = true
		}
	}
	for _, id := range words.IDs() {
		kind, rest, _ := strings.Cut(id, ".")
		switch kind {
		case "step", "hazard", "safety":
			of, _, _ := strings.Cut(rest, ".")
			if kind == "step" && !slices.Contains(work.Steps(), work.StepID(of)) {
				continue // a finding about the steps that a farm writes of its own
			}
			assert.True(t, used[id], "%s is never said", id)
		case "station":
			assert.Contains(t, work.Stations(), work.Station(strings.TrimPrefix(id, "station.")))
		case "role":
			assert.Contains(t, work.Roles(), work.Role(strings.TrimPrefix(id, "role.")))
		}
	}
	voice := words.English(unit.Metric)
	for _, s := range work.Stations() {
		assert.True(t, voice.Has("station."+string(s)), s)
	}
	for _, r := range work.Roles() {
		assert.True(t, voice.Has("role."+string(r)), r)
	}
}

// TestFiguresAreUsed: no number of the sheets lies about unused or without a
// source.
func TestFiguresAreUsed(t *testing.T) {
	named := map[string]bool{}
	for _, id := range words.IDs() {
		for _, a := range words.Arguments(id) {
			name, _, _ := strings.Cut(a, ":")
			named[name] = true
		}
	}
	seen := map[string]bool{}
	for _, f := range figures {
		assert.True(t, named[f.name], "%s is in no sentence", f.name)
		assert.NotEmpty(t, f.source, f.name)
		assert.False(t, seen[f.name], "%s stands twice", f.name)
		seen[f.name] = true
	}
}
