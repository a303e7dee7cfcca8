package procedure

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// lab is a farm that makes its own spawn, in jars.
func lab(change ...func(*protocol.Grain)) protocol.Farm {
	f := farm()
	f.Sterilizers = slices.Clone(f.Sterilizers)
	f.Grain = &protocol.Grain{
		Ingredient: "rye", InJar: 0.270, Moisture: 0.52, Gypsum: 0.005, Jar: "jar", Sterilizer: f.Sterilizers[0].ID,
		GaugePressure: 15 * psi, GaugeBand: 0.5 * psi, Vent: 10 * unit.Minute, Hold: 100 * unit.Minute,
		Controls: 1, Generations: 2, JarsOfJar: 9, JarsOfPlate: 4,
		Shortest: 10 * unit.Day, Usual: 14 * unit.Day, Longest: 16 * unit.Day, Plate: 12 * unit.Day,
	}
	for _, c := range change {
		c(f.Grain)
	}
	return f
}

// spawnedBy is enoki with what its author says of the spawn.
func spawnedBy(change func(*protocol.Protocol)) setting {
	return on(variant("enoki", func(p *protocol.Protocol) {
		p.Spawn.AgeMost, p.Spawn.Generation = 14*unit.Day, 3
		if change != nil {
			change(p)
		}
	}))
}

// spawnSettings brings in every sentence of the spawn sheet.
func spawnSettings() []setting {
	barometer := lab()
	barometer.StationPressure = pointer(unit.Absolute(96400))
	wheat := lab(func(g *protocol.Grain) { g.Ingredient = "wheat" })
	tight := lab()
	tight.Sterilizers[0].Rated = 16 * psi
	var out []setting
	for _, s := range []setting{
		spawnedBy(nil).at(lab()), spawnedBy(nil).at(barometer), spawnedBy(nil).at(wheat), spawnedBy(nil).at(tight),
		spawnedBy(nil).at(lab(func(g *protocol.Grain) { g.Gypsum, g.Generations = 0, 1 })),
		spawnedBy(func(p *protocol.Protocol) { p.Species = "golden-oyster" }).at(lab()),
	} {
		for _, units := range []unit.System{unit.Metric, unit.US} {
			out = append(out, s.in(units).of(120))
		}
	}
	return out
}

func buildGrain(t *testing.T, s setting) Procedure {
	t.Helper()
	p, ok := BuildGrain(s.compute(t))
	require.True(t, ok)
	return p
}

func TestSpawnSheetIsWhole(t *testing.T) {
	for _, s := range spawnSettings() {
		p := buildGrain(t, s)
		voice := words.English(s.units)
		asked := map[string]bool{}
		for i, x := range p.Steps {
			assert.Equal(t, i+1, x.Number)
			assert.Contains(t, work.Stations(), x.Station)
			assert.Contains(t, work.Roles(), x.Role)
			assert.NotEmpty(t, x.Do, x.ID)
			for what, m := range map[string]protocol.Message{
				"title": x.Title, "when": x.When, "limit": x.Limit, "check": x.Check, "off": x.IfOff, "why": x.Why,
				"wrong": x.Wrong, "ask": x.Ask, "answer": x.Answer,
			} {
				assert.NotEmpty(t, voice.Say(m), "%s: no %s", x.ID, what)
			}
			ask := voice.Say(x.Ask)
			assert.True(t, strings.HasSuffix(ask, "?") && !asked[ask], "%s: %s", x.ID, ask)
			asked[ask] = true
		}
		for _, m := range messages(p) {
			said := voice.Say(m)
			if said == "" {
				continue
			}
			assert.NotRegexp(t, forbidden, said, m.ID)
			assert.NotRegexp(t, `NaN|  |\b(a|each|full|the) bottles?\b`, said, m.ID)
			if len(strings.Fields(said)) >= wordsFew {
				assert.LessOrEqual(t, grade(said), gradeMost, "%s: %s", m.ID, said)
			}
			for _, one := range split(said) {
				assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s", m.ID, one)
			}
		}
	}
}

// A farm that buys its spawn has no sheet for it.
func TestNoSpawnSheet(t *testing.T) {
	_, ok := BuildGrain(on(enoki()).compute(t))
	assert.False(t, ok)
}

func TestSpawnSentencesAreUsed(t *testing.T) {
	used := map[string]bool{}
	for _, s := range spawnSettings() {
		for _, m := range messages(buildGrain(t, s)) {
			used[m.ID] = true
		}
	}
	for _, id := range words.IDs() {
		if strings.HasPrefix(id, "grain.") {
			assert.True(t, used[id], "%s is never said", id)
		}
	}
	named := map[string]bool{}
	for id := range used {
		for _, a := range words.Arguments(id) {
			name, _, _ := strings.Cut(a, ":")
			named[name] = true
		}
	}
	for _, f := range grainFigures {
		assert.True(t, named[f.name], "%s is in no sentence", f.name)
		assert.NotEmpty(t, f.source, f.name)
	}
}

// Each caution stands at its step, in full where a station has it first, before the
// first sentence that starts the dangerous action. Sources: as for a batch's sheet;
// seed with fungicide: substrate reference D5.
func TestSpawnCautionsStandBeforeTheAction(t *testing.T) {
	p := buildGrain(t, spawnedBy(nil).at(lab()).of(120))
	voice := words.English(unit.Metric)
	for _, c := range []struct {
		title  string
		signal Signal
		says   string
		action string
	}{
		{"Weigh the grain", Warning, "Use food or feed grain only", "Weigh out"},
		{"Weigh the grain", Caution, "dust mask", "Weigh out"},
		{"Heat it until it is soft", Warning, "Lift a full pot with two people", "Bring it to"},
		{"Drain it, dry it and weigh it", Warning, "scald", "Pour it on"},
		{"Fill the jars", Warning, "Never tape or plug a filter", "Fit a lid"},
		{"Fill the jars", Caution, "Throw out each chipped", "Fill in"},
		{"Load the sterilizer", Danger, "Never use a home-made drum", "Lock the door"},
		{"Load the sterilizer", Notice, "licensed inspector", "Lock the door"},
		{"Vent the air", Warning, "Keep hands and face out of the jet", "Turn on the heat"},
		{"Vent the air", Warning, "Check the water before each run", "Turn on the heat"},
		{"Sterilize", Danger, "Never go above 30 psi", "Wait until"},
		{"Let the pressure fall", Warning, "Never vent it fast", "Open the vent"},
		{"Open the door", Danger, "Never trust the gauge alone", "Crack the lid"},
		{"Wipe down", Warning, "Use no flame", "Wipe the bench"},
		{"Put in the spawn", Caution, "Cut away from your hand", "From a plate"},
		{"Look at each jar", Warning, "Never open or sniff", "Take the bad ones"},
	} {
		i := slices.IndexFunc(p.Steps, func(s Step) bool { return strings.HasPrefix(voice.Say(s.Title), c.title) })
		require.GreaterOrEqual(t, i, 0, c.title)
		s := p.Steps[i]
		assert.True(t, slices.ContainsFunc(s.Safety, func(h Safety) bool {
			return h.Signal == c.signal && strings.Contains(plain(voice.Say(h.Text)), c.says)
		}), "%s does not say %q", c.title, c.says)
		assert.True(t, slices.ContainsFunc(s.Do, func(m protocol.Message) bool {
			return strings.Contains(voice.Say(m), c.action)
		}), "%s: no action %q", c.title, c.action)
	}
	assert.Equal(t, Danger, p.Hazards[0].Signal)
}

// The run on the spawn sheet is the farm's run for jars, and not that of the bottles.
func TestSpawnSheetHasItsOwnRun(t *testing.T) {
	p := buildGrain(t, spawnedBy(nil).at(lab()).of(120))
	voice := words.English(unit.Metric)
	all := ""
	for _, m := range messages(p) {
		all += plain(voice.Say(m)) + "\n"
	}
	assert.Contains(t, all, "Hold for 100 min.")
	assert.NotContains(t, all, "120 min")
	assert.Contains(t, all, "Keep the gauge from 15.0 psi to 15.5 psi.")
	assert.Contains(t, all, "100 jars at most in one load.")
	assert.Contains(t, all, "One full jar is about")
	assert.Regexp(t, regexp.MustCompile(`drained mass on the list. It is 1\.79 times`), all) // 0.86 / 0.48
}
