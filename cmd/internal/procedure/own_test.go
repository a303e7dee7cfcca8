package procedure

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// Every fact that a batch has is listed with its meaning, and a protocol lacks
// exactly those that its batch does not have.
func TestEveryFactHasAMeaning(t *testing.T) {
	met, wrong := map[string]bool{}, map[string]bool{}
	for _, s := range settings() {
		teller := newTeller(s.compute(t))
		for name := range teller.facts {
			met[name] = true
		}
		for _, name := range FactNames() {
			if _, has := teller.facts[name]; has == lacking(teller.process, name) {
				wrong[name+" in "+s.protocol.Name] = true
			}
		}
	}
	assert.Empty(t, slices.Sorted(maps.Keys(wrong)), "lacking says otherwise")
	var nameless, unmet []string
	for name := range met {
		if !slices.Contains(FactNames(), name) {
			nameless = append(nameless, name)
		}
	}
	for _, name := range FactNames() {
		if !met[name] {
			unmet = append(unmet, name)
		}
	}
	assert.Empty(t, nameless, "write what they mean to words/fact_en.go")
	assert.Empty(t, unmet, "no batch has them: take them out of words/fact_en.go")
}

// authored is enoki with a step of its own, one replaced and one skipped.
func authored(p *protocol.Protocol) {
	p.Steps = []protocol.Step{
		{
			ID: "shake", After: "inspect", Role: "picker", Takes: pointer(unit.Duration(10 * unit.Minute)), TakesEach: pointer(unit.Duration(6)),
			Title: "Shake the {many}", When: "On day {incubation_low}", Do: []string{"Lift  one {one}.", "Shake it\nat {incubation_air}. {{Gently}}."},
			Limit: "{fill_low} to {fill_high}", Check: "Look at {vessels} {vessels_of}.", IfOff: "Shake again.", Why: "It grows faster.",
			Prose: "Twice a *week*.\n\n- {hold}\n",
			Cautions: []protocol.Caution{
				{Signal: "notice", Text: "The floor gets wet. Mop it."},
				{Signal: "warning", Text: "A {one} can slip and break a foot. Wear closed shoes."},
			},
		},
		{ID: "scrape", Do: []string{"Take {scrape_depth} off."}, Limit: "As deep as the nail of a thumb"},
		{ID: "sterilize", Prose: "Our gauge sticks. Tap it.", Cautions: []protocol.Caution{{Signal: "danger", Text: "Stand clear of the old relief valve. It can spit."}}},
		{ID: "dunk", After: "shake", Takes: pointer(unit.Duration(unit.Minute)), Title: "Dunk", When: "Now", Do: []string{"Dunk it."}, Limit: "x", Check: "x", IfOff: "x", Why: "x"},
	}
	p.Skips = []protocol.Skip{{Step: "inspect-bore", Reason: "We drill after the run.", Who: "owner", On: "2026-03-01"}}
}

func TestOwnStepsStandInTheirPlaces(t *testing.T) {
	usual, own := on(enoki()).build(t), on(variant("own", authored)).build(t)
	ids := func(p Procedure) (out []string) {
		for i, s := range p.Steps {
			assert.Equal(t, i+1, s.Number)
			out = append(out, string(s.ID))
		}
		return out
	}
	want := ids(usual)
	want = slices.Insert(want, slices.Index(want, "inspect")+1, "shake", "dunk")
	want = slices.DeleteFunc(want, func(id string) bool { return id == "inspect-bore" })
	assert.Equal(t, want, ids(own))

	voice := words.English(unit.Metric)
	say := func(m protocol.Message) string { return plain(voice.Say(m)) }
	s := step(t, own, "shake")
	assert.True(t, s.Own)
	assert.Equal(t, work.Incubation, s.Station)
	assert.Equal(t, work.Picker, s.Role)
	assert.Equal(t, "Shake the bottles", say(s.Title))
	assert.Equal(t, "Lift one bottle.", say(s.Do[0]))
	assert.Equal(t, "Shake it at 19 °C. {Gently}.", say(s.Do[1]))
	assert.Equal(t, "522 g to 553 g", say(s.Limit)) // 537.2 g less and more 3 %, within it
	assert.Equal(t, "Look at 48 bottles.", say(s.Check))
	assert.Equal(t, "Twice a *week*.\n\n- 120 min\n", say(s.Prose))
	assert.Equal(t, "Shake it at 66 °F. {Gently}.", plain(words.English(unit.US).Say(step(t, on(variant("own", authored)).in(unit.US).build(t), "shake").Do[1])))
	assert.Equal(t, 15*unit.Minute, s.Time.Value) // 10 min and 6 s for each of 50
	assert.Equal(t, work.Picker, step(t, own, "dunk").Role, "as the step that it stands by")
}

// What an author replaces takes no caution away, and what he adds stands before
// the action, in its rank.
func TestCautionsStayWhateverIsReplaced(t *testing.T) {
	voice := words.English(unit.Metric)
	usual, own := on(enoki()).build(t), on(variant("own", authored)).build(t)
	for _, s := range usual.Steps {
		if s.ID == work.InspectBore {
			continue
		}
		now := step(t, own, s.ID)
		for _, c := range s.Safety {
			assert.Contains(t, now.Safety, c, s.ID)
		}
	}
	rank := func(list []Safety) (out []Signal) {
		for _, s := range list {
			out = append(out, s.Signal)
		}
		return out
	}
	assert.Equal(t, []Signal{Warning, Notice}, rank(step(t, own, "shake").Safety))
	for _, list := range [][]Safety{own.Hazards, step(t, own, "sterilize").Safety} {
		r := rank(list)
		assert.True(t, slices.IsSortedFunc(r, func(a, b Signal) int { return slices.Index(signals, a) - slices.Index(signals, b) }), r)
	}
	front := 0
	for _, h := range own.Hazards {
		if words.Written(h.Text) != "" {
			front++
			assert.NotEqual(t, Notice, h.Signal)
			assert.NotContains(t, voice.Say(h.Text), "{")
		}
	}
	assert.Equal(t, 2, front)
}

func TestReplacedSentences(t *testing.T) {
	usual, own := step(t, on(enoki()).build(t), "scrape"), step(t, on(variant("own", authored)).build(t), "scrape")
	voice := words.English(unit.Metric)
	assert.Equal(t, usual.Title, own.Title)
	assert.Equal(t, usual.Check, own.Check)
	require.Len(t, own.Do, 1)
	assert.Equal(t, "Take 5 mm off.", plain(voice.Say(own.Do[0])))
	assert.Equal(t, "As deep as the nail of a thumb", voice.Say(own.Limit))
	assert.Empty(t, own.Front.ID)

	sterilize := step(t, on(variant("own", authored)).build(t), "sterilize")
	assert.NotEmpty(t, sterilize.Front.ID)
	assert.NotEmpty(t, sterilize.Prose.ID)
	assert.Empty(t, words.Written(sterilize.Do[0]))
}

// No step that the batch depends on is the author's to put in other words, and
// none of the first page's limits is at a step that may be skipped.
func TestCriticalStepsAreFixed(t *testing.T) {
	for _, s := range settings() {
		for _, x := range s.build(t).Steps {
			if x.Critical {
				assert.True(t, work.Fixed(x.ID), x.ID)
			}
		}
	}
}

func TestJudge(t *testing.T) {
	plan := func(change func(*protocol.Protocol)) []protocol.Finding {
		s := on(variant("own", change))
		p, err := process.Plan(process.Input{Farm: s.farm, Library: library(), Protocol: s.protocol, Units: s.units})
		require.NoError(t, err)
		return Judge(p)
	}
	assert.Empty(t, plan(authored))
	voice := words.English(unit.Metric)
	for text, want := range map[string][]string{
		"Hold {hold} and {hold}.": nil,
		"A {{brace}}.":            nil,
		"Hold {hodl}.":            {`error step.name the sentence names {hodl}, and there is no such fact / Did you mean {hold}?`},
		"Hold {zzzzzz}.":          {"error step.name the sentence names {zzzzzz}, and there is no such fact / Take one that `bottlecrop names own` lists; a brace as such is written twice."},
		"Rest {ripening_low} d.":  {"error step.name.absent the sentence names {ripening_low}, which this protocol does not have / Take one that `bottlecrop names own` lists; a brace as such is written twice."},
		"Hold {hold.":             {`error step.brace a brace stands alone at "{hold." / A fact is named like {hold}; a brace as such is written twice.`},
		"Hold hold}.":             {`error step.brace a brace stands alone at "}." / A fact is named like {hold}; a brace as such is written twice.`},
		"Hold {}.":                {`error step.brace a brace stands alone at "{}." / A fact is named like {hold}; a brace as such is written twice.`},
		"A shorter hold will do.": {`warning step.sentence the sentence speaks of "shorter hold", which belongs on no sheet / Say what to do and what to look at; how the hold is worked out stands on the protocol's page.`},
		"F0 is enough.":           {`warning step.sentence the sentence speaks of "F0", which belongs on no sheet / Say what to do and what to look at; how the hold is worked out stands on the protocol's page.`},
		"Cut a short handle.":     nil,
	} {
		var got []string
		for _, f := range plan(func(p *protocol.Protocol) { authored(p); p.Steps[0].Do[1] = text }) {
			assert.Equal(t, "step[0].do[1]", f.Origin.Key)
			assert.Equal(t, "own", f.Subject)
			got = append(got, strings.Join([]string{f.Severity.String(), f.Rule, voice.Say(f.What), "/", voice.Say(f.Hint)}, " "))
		}
		assert.Equal(t, want, got, text)
	}
	// A step that the protocol does not have is not read, so it is not judged.
	assert.Empty(t, plan(func(p *protocol.Protocol) { authored(p); p.Steps[1].ID = "ripen"; p.Steps[1].Do[0] = "{nothing}" }))
}
