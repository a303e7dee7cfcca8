package procedure

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

// choices reads what a field of a type may be out of its tag.
func choices(t *testing.T, in any, field string) []string {
	t.Helper()
	f, ok := reflect.TypeOf(in).FieldByName(field)
	require.True(t, ok)
	_, list, ok := strings.Cut(f.Tag.Get("validate"), "oneof=")
	require.True(t, ok)
	list, _, _ = strings.Cut(list, ",")
	return strings.Fields(list)
}

func keys[T any](m map[string]T) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	return out
}

// What a file may say is what this package knows, and each has its words.
func TestConditionsAndReadingsAreThoseOfTheFile(t *testing.T) {
	voice := words.English(unit.Metric)
	assert.ElementsMatch(t, choices(t, protocol.Applies{}, "Where"), keys(wheres))
	for w := range wheres {
		assert.True(t, voice.Has("book.library.where."+w), w)
	}
	assert.ElementsMatch(t, choices(t, protocol.Cause{}, "Reads"), keys(readings))
	for r := range readings {
		assert.True(t, voice.Has("book.library.read."+r), r)
	}
	for _, s := range choices(t, protocol.Trouble{}, "Safety") {
		assert.True(t, slices.ContainsFunc(hazards, func(h hazard) bool { return h.name == s }), s)
		assert.Empty(t, words.Arguments("hazard."+s), "the library says it without a batch")
	}
}

// simple is a trouble with one cause.
func simple(change func(*protocol.Trouble)) protocol.Trouble {
	x := protocol.Trouble{
		ID: "odd", Title: "Odd", Looks: "Odd.", SeenAt: []string{"incubate"}, Decides: "grower", Prevent: "Be even.",
		Causes: []protocol.Cause{{Cause: "One", Check: "Look.", Do: "Mend."}},
	}
	change(&x)
	return x
}

// cards are those of a protocol in a library of the given troubles.
func cards(t *testing.T, p protocol.Protocol, list ...protocol.Trouble) []Card {
	t.Helper()
	b := on(p).of(48).compute(t)
	b.Process.Input.Library.Troubles = map[string]protocol.Trouble{}
	for _, x := range list {
		b.Process.Input.Library.Troubles[x.ID] = x
	}
	return Cards(b)
}

// Each condition is met by one protocol and not by another, on an entry as on a
// cause.
func TestWhereBothWays(t *testing.T) {
	bare := variant("bare", func(p *protocol.Protocol) {
		oyster(p)
		noBore(p)
		p.Collar, p.Opening = nil, protocol.Opening{Scrape: protocol.ScrapeNever, Cover: "none"}
	})
	var crossed []string
	inverted := variant("inverted", func(p *protocol.Protocol) { p.Opening.Cover = "inverted" })
	for where, want := range map[string]struct{ yes, no protocol.Protocol }{
		"bag":        {variant("bag", inBags), enoki()},
		"reusable":   {enoki(), variant("bag", inBags)},
		"bored":      {enoki(), bare},
		"scraped":    {enoki(), bare},
		"unscraped":  {bare, enoki()},
		"wetted":     {enoki(), bare},
		"unwetted":   {bare, enoki()},
		"fleece":     {enoki(), inverted},
		"inverted":   {inverted, enoki()},
		"collared":   {enoki(), bare},
		"uncollared": {bare, enoki()},
		"ripened":    {variant("ripe", func(p *protocol.Protocol) { p.Incubation.Ripen = 45 * unit.Day }), enoki()},
	} {
		require.Contains(t, wheres, where)
		entry := simple(func(x *protocol.Trouble) { x.Where = []string{where} })
		assert.Len(t, cards(t, want.yes, entry), 1, where)
		assert.Empty(t, cards(t, want.no, entry), where)
		cause := simple(func(x *protocol.Trouble) {
			x.Causes = append([]protocol.Cause{{Cause: "First", Check: "Look.", Do: "Mend.", Applies: protocol.Applies{Where: []string{where}}}}, x.Causes...)
		})
		assert.Len(t, cards(t, want.yes, cause)[0].Causes, 2, where)
		assert.Equal(t, "One", cards(t, want.no, cause)[0].Causes[0].Cause, where)
		crossed = append(crossed, where)
	}
	assert.ElementsMatch(t, keys(wheres), crossed, "a condition that this test does not cross")
}

// A species stands for its strains; a strain for itself alone.
func TestSpeciesOfATrouble(t *testing.T) {
	only := func(ids ...string) protocol.Trouble {
		return simple(func(x *protocol.Trouble) { x.Species = ids })
	}
	except := simple(func(x *protocol.Trouble) { x.Except = []string{"enoki"} })
	assert.Len(t, cards(t, enoki(), only("enoki")), 1)
	assert.Len(t, cards(t, enoki(), only("oyster", "enoki")), 1)
	assert.Empty(t, cards(t, enoki(), only("oyster")))
	assert.Empty(t, cards(t, enoki(), except))
	assert.Len(t, cards(t, variant("oyster", oyster), except), 1)

	b := on(enoki()).of(48).compute(t)
	b.Process.Species.ID, b.Process.Species.StrainOf = "enoki-white", "enoki"
	count := func(x protocol.Trouble) int {
		b.Process.Input.Library.Troubles = map[string]protocol.Trouble{"odd": x}
		return len(Cards(b))
	}
	assert.Equal(t, 1, count(only("enoki")))
	assert.Equal(t, 1, count(only("enoki-white")))
	assert.Equal(t, 0, count(only("enoki-brown")))
	assert.Equal(t, 0, count(except))
	assert.Empty(t, cards(t, enoki(), only("enoki-white")), "the species is not its strain")
}

// A card stands at the first step that the protocol has, and not at all where it
// has none of them; cards come in the order of the cycle.
func TestCardsStandAtTheirSteps(t *testing.T) {
	at := func(id string, steps ...string) protocol.Trouble {
		return simple(func(x *protocol.Trouble) { x.ID, x.Title, x.SeenAt = id, id, steps })
	}
	noHole := variant("no-bore", noBore)
	assert.Empty(t, cards(t, noHole, at("hole", "inspect-bore")))
	moved := cards(t, noHole, at("hole", "pin", "inspect-bore"))
	require.Len(t, moved, 1)
	assert.EqualValues(t, "fruiting", moved[0].Station())
	var order []string
	for _, c := range cards(t, enoki(), at("a", "chill"), at("b", "pin"), at("c", "fruit", "inspect"), at("d", "pin"), at("e", "inspect-bore")) {
		order = append(order, c.ID)
	}
	assert.Equal(t, []string{"e", "c", "b", "d", "a"}, order)
}

// The figures on a card are the protocol's: those of the fixture, by hand, in
// both systems.
func TestReadingsAreTheProtocols(t *testing.T) {
	ripe := variant("ripe", func(p *protocol.Protocol) { p.Incubation.Ripen = 45 * unit.Day })
	dark := variant("dark", func(p *protocol.Protocol) {
		p.Pinning.Light, p.Fruiting.Light = 0, 0
		p.Opening.Water, p.Opening.Stand = 0, 0
	})
	with := func(p protocol.Protocol, sys unit.System, read string) []string {
		b := on(p).of(48).in(sys).compute(t)
		b.Process.Input.Library.Troubles = map[string]protocol.Trouble{"odd": simple(func(x *protocol.Trouble) {
			x.Causes[0].Reads = []string{read}
		})}
		var out []string
		for _, m := range Cards(b)[0].Causes[0].Reads {
			out = append(out, strings.ReplaceAll(words.English(sys).Say(m), "\u00a0", " "))
		}
		return out
	}
	for read, want := range map[string]string{
		"moisture": "65 % moisture", "bore": "130 mm deep", "vent": "vent for 10 min", "hold": fmt.Sprintf("hold for %.0f min at least", float64(enoki().Sterilization.Hold)/60),
		"gauge": "gauge at 15.0 psi to 16.0 psi", "core-cool": "core at 25 °C or less", "use-within": "spawn within 24 h",
		"run-air": ": 19 °C", "run-humidity": "68 % humidity", "run-days": "about 25 days to white", "core-most": "25 °C at most in the core",
		"scrape": "5 mm deep", "water": "10 mL for 2 h, then off", "pin-air": "12 °C for pins", "pin-humidity": "95 % humidity for pins",
		"pin-co2": "2400 ppm CO₂ at most for pins", "pin-light": "50 lx for 2 h a day", "pin-days": "7 to 12 days from opening",
		"collar": "on when stems are 25 mm, 130 mm tall",
	} {
		said := with(enoki(), unit.Metric, read)
		require.Len(t, said, 1, read)
		assert.Contains(t, said[0], want, read)
	}
	assert.Contains(t, with(enoki(), unit.US, "pin-air")[0], "54 °F for pins") // 12 · 9/5 + 32 = 53.6
	assert.Empty(t, with(enoki(), unit.Metric, "ripening"))
	assert.Contains(t, with(ripe, unit.Metric, "ripening")[0], "45 days to ripen")
	assert.Equal(t, []string{"This protocol: no light for pins"}, with(dark, unit.Metric, "pin-light"))
	assert.Equal(t, []string{"This protocol: no light for the crop"}, with(dark, unit.Metric, "fruit-light"))
	assert.Equal(t, []string{"This protocol: no water is poured on"}, with(dark, unit.Metric, "water"))
	assert.Empty(t, with(variant("no-bore", noBore), unit.Metric, "bore"))

	// The rest follow the protocol when it is changed.
	for read, change := range map[string]func(*protocol.Protocol){
		"fill":           func(p *protocol.Protocol) { p.Fill.Density = pointer(unit.Density(640)) },
		"fruit-air":      func(p *protocol.Protocol) { p.Fruiting.Air += 2 },
		"fruit-humidity": func(p *protocol.Protocol) { p.Fruiting.Humidity -= 0.02 },
		"fruit-co2":      func(p *protocol.Protocol) { p.Fruiting.CO2Most -= 500e-6 },
		"fruit-light":    func(p *protocol.Protocol) { p.Fruiting.Light += 100 },
		"chill":          func(p *protocol.Protocol) { p.Harvest.CoolWithin /= 2 },
	} {
		before, after := with(enoki(), unit.Metric, read), with(variant("other", change), unit.Metric, read)
		assert.NotEqual(t, before, after, read)
	}
}

// troubles are those of the program's library. The farm over it is empty, and
// has its findings.
func troubles(t *testing.T) map[string]protocol.Trouble {
	t.Helper()
	f, _ := farmfile.Read(fstest.MapFS{"protocols/farm.toml": {Data: []byte("format = 1\n")}}, protocols.Library)
	require.NotEmpty(t, f.Library.Troubles)
	return f.Library.Troubles
}

// The library's own texts are for a tired worker: short, of the sixth to the
// eighth grade, and without a figure that a protocol could contradict.
func TestTroublesAreWrittenForWorkers(t *testing.T) {
	list := troubles(t)
	require.Greater(t, len(list), 20)
	for id, x := range list {
		each := []string{x.Title, x.Looks, x.Prevent}
		all := []string{x.Looks, x.Prevent}
		for _, c := range x.Causes {
			each = append(each, c.Cause, c.Check, c.Do)
			all = append(all, c.Check, c.Do)
			assert.NotEmpty(t, c.Check, id)
			assert.NotEmpty(t, c.Do, id)
		}
		for _, text := range each {
			assert.False(t, strings.ContainsFunc(text, unicode.IsDigit), "%s: a figure stands in %q: use reads", id, text)
			if len(strings.Fields(text)) >= wordsFew {
				assert.LessOrEqual(t, grade(text), gradeMost, "%s: %s", id, text)
			}
			for _, one := range split(text) {
				assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s", id, one)
			}
		}
		assert.LessOrEqual(t, grade(strings.Join(all, " ")), gradeMost, id)
	}
}

// What can make somebody ill: a bad one is never opened or sniffed, and is
// sterilized closed; no card tells anybody to spray.
func TestTroublesKeepPeopleSafe(t *testing.T) {
	list := troubles(t)
	bad := 0
	for id, x := range list {
		if strings.HasPrefix(id, "bad-") {
			bad++
			assert.Equal(t, "mold", x.Safety, id)
			assert.Contains(t, x.Causes[0].Check, "Never open or sniff", id)
			for _, c := range x.Causes {
				assert.Contains(t, strings.ToLower(c.Do), "closed", "%s: %s", id, c.Cause)
			}
		}
		for _, c := range x.Causes {
			if strings.Contains(c.Do, "spray") {
				assert.Contains(t, c.Do, "no spray", id)
				assert.Contains(t, c.Do, "ask the local", id)
			}
		}
	}
	assert.Equal(t, 4, bad)
	assert.Contains(t, list["mites"].Prevent, "clean to dirty")
}
