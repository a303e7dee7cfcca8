package procedure

import (
	"fmt"
	"maps"
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

// cardSettings are batches whose cards differ: in vessel, units, and what the
// farm knows of its air.
func cardSettings() map[string]setting {
	measured := farm()
	measured.Altitude, measured.StationPressure = nil, pointer(unit.Absolute(96400))
	return map[string]setting{
		"metric": on(enoki()), "US": on(enoki()).in(unit.US),
		"jars": on(variant("jars", inJars)), "bags": on(variant("bags", inBags)), "barometer": on(enoki()).at(measured),
	}
}

// What each fault comes to, decided here by itself: after a dip the hold starts
// from zero; no steam means no vent; what leaves a doubt about heat, record or
// gauge is run again unopened; what was opened, broken or waited too long is
// scrap; a gauge too high alone takes nothing from the load (sterilization
// reference, Cautions, Failure and Dry run; the 12 h are common practice, no
// source). What holds the pressure is for a licensed inspector.
func TestEachFaultHasOneAnswer(t *testing.T) {
	want := map[string]struct {
		answer  Answer
		decides Decider
	}{
		"no-steam":     {VentAgain, Operator},
		"water":        {RunAgain, Inspector},
		"lid-leak":     {RunAgain, InCharge},
		"dip":          {HoldAgain, Operator},
		"heat-out":     {RunAgain, Operator},
		"above":        {Stay, Operator},
		"relief":       {RunAgain, Inspector},
		"disagree":     {RunAgain, InCharge},
		"record":       {RunAgain, Operator},
		"damage":       {Scrap, Inspector},
		"gauge-stuck":  {RunAgain, InCharge},
		"opened-early": {Scrap, InCharge},
		"broken":       {Scrap, Operator},
		"overnight":    {RunAgain, Operator},
		"too-late":     {Scrap, InCharge},
	}
	for name, s := range cardSettings() {
		card := RunCardOf(s.compute(t))
		require.Len(t, card.Faults, len(want), name)
		moments := []Moment{Heating, Holding, After}
		seen, answered := map[string]bool{}, map[Answer]bool{}
		at := 0
		for _, f := range card.Faults {
			assert.False(t, seen[f.Name], "%s stands twice", f.Name)
			seen[f.Name], answered[f.Answer] = true, true
			require.Contains(t, want, f.Name)
			assert.Equal(t, want[f.Name].answer, f.Answer, f.Name)
			assert.Equal(t, want[f.Name].decides, f.Decides, f.Name)
			assert.Equal(t, "fault.answer."+string(f.Answer), f.Then.ID, f.Name)
			assert.Equal(t, "fault.decides."+string(f.Decides), f.Decider.ID, f.Name)
			i := slices.Index(moments, f.Moment)
			assert.GreaterOrEqual(t, i, at, "%s stands out of the order of a run", f.Name)
			at = i
		}
		require.Len(t, card.Meanings, len(answers()))
		for i, m := range card.Meanings {
			assert.Equal(t, answers()[i], m.Answer)
			assert.True(t, answered[m.Answer], "no fault has the answer %s", m.Answer)
		}
	}
}

// ratedAt is the farm with a sterilizer whose name plate says so.
func ratedAt(rated unit.Gauge) protocol.Farm {
	f := farm()
	f.Sterilizers = slices.Clone(f.Sterilizers)
	f.Sterilizers[0].Rated = rated
	return f
}

// sayings are all sentences of a card by the id of their message.
func sayings(v *words.Voice, c RunCard) map[string]string {
	out := map[string]string{}
	say := func(list ...protocol.Message) {
		for _, m := range list {
			out[m.ID] = plain(v.Say(m))
		}
	}
	for _, s := range c.Safety {
		say(s.Text)
	}
	for _, f := range c.Figures {
		say(f.Name, f.Value)
	}
	for _, f := range c.Faults {
		say(f.Title, f.See, f.Do, f.Then, f.Decider)
	}
	for _, m := range c.Meanings {
		say(m.Name, m.Means)
	}
	return out
}

// The words that keep people whole stand where they are needed, the figures are
// the protocol's, and every time of a hold or a vent is the whole of it.
func TestCardSaysWhatKeepsPeopleWhole(t *testing.T) {
	for name, s := range cardSettings() {
		b := s.compute(t)
		said := sayings(words.English(s.units), RunCardOf(b))
		hold := fmt.Sprintf("%.0f min", float64(s.protocol.Sterilization.Hold/unit.Minute)) // as the protocol's file gives it
		for id, parts := range map[string][]string{
			"fault.water.do":           {"Cut the heat", "Do not open it", "Do not add water", "cool fully", "looked at"},
			"fault.relief.do":          {"Cut the heat", "Never touch, weight or plug the valve"},
			"fault.lid-leak.do":        {"Cut the heat", "Tighten nothing under pressure"},
			"fault.damage.do":          {"Everyone out", "Cut the heat"},
			"fault.gauge-stuck.do":     {"full of pressure", "Do not open it"},
			"fault.opened-early.do":    {"erupt", "20 min"},
			"fault.above.do":           {"Near 30 psi", "Never open the vent fast"},
			"fault.heat-out.do":        {"Turn the switch off", "close the gas", "Leave lid and vent shut"},
			"fault.dip.see":            {"below 15.0 psi", "any time at all"},
			"fault.disagree.do":        {"Believe the cooler one"},
			"fault.answer.hold":        {"from zero: " + hold},
			"fault.answer.hold.means":  {"back to 15.0 psi", "does not count"},
			"fault.answer.vent":        {"from zero: 10 min"},
			"fault.answer.vent.means":  {"10 min", hold},
			"fault.answer.rerun":       {"unopened", "within 12 h"},
			"fault.answer.rerun.means": {"vent, hold", "Past 12 h, scrap it"},
			"fault.answer.scrap.means": {"no spawn", "Sterilize it closed"},
			"fault.figure.rated.of":    {"never above"},
			"fault.figure.gauge":       {"15.0 psi to 16.0 psi"},
			"hazard.pressure":          {"Never go above 30 psi"},
			"hazard.opening":           {"zero only"},
			"hazard.dry-run":           {"dry"},
			"hazard.hot-load":          {"erupt"},
			"hazard.manual":            {"licensed inspector"},
		} {
			require.Contains(t, said, id, name)
			for _, part := range parts {
				assert.Contains(t, said[id], part, "%s: %s", name, id)
			}
		}
		_, height := said["fault.figure.altitude"]
		_, air := said["fault.figure.air-pressure"]
		assert.Equal(t, name != "barometer", height, name)
		assert.Equal(t, name == "barometer", air, name)
		assert.Contains(t, said["fault.broken.title"], "A "+b.Process.Vessel.One, name)
	}
}

// The card and the sheet say the same about a dip, a lost record and a rerun.
func TestCardAgreesWithTheSheet(t *testing.T) {
	s := on(enoki())
	voice := words.English(s.units)
	off := plain(voice.Say(step(t, s.build(t), work.Sterilize).IfOff))
	said := sayings(voice, RunCardOf(s.compute(t)))
	assert.Contains(t, off, "start the 120 min again from zero")
	assert.Contains(t, off, "run the closed load again within 12 h, or scrap it")
	assert.Equal(t, "Hold again from zero: 120 min", said["fault.answer.hold"])
	assert.Equal(t, "Cool it unopened. Run it again within 12 h", said["fault.answer.rerun"])
}

// It is read beside a hot sterilizer: short sentences of the sheets' grade.
func TestCardIsWrittenForWorkers(t *testing.T) {
	for name, s := range cardSettings() {
		for id, text := range sayings(words.English(s.units), RunCardOf(s.compute(t))) {
			if len(strings.Fields(text)) >= wordsFew {
				assert.LessOrEqual(t, grade(text), gradeMost, "%s: %s: %s", name, id, text)
			}
			for _, one := range split(text) {
				assert.LessOrEqual(t, len(strings.Fields(one)), wordsMost, "%s: %s: %s", name, id, one)
			}
		}
	}
}

// Where the band ends at the rated pressure, what is above it is above the
// rating: card and sheet then cut the heat at once, and do not turn it down.
func TestAboveABandThatEndsAtTheRating(t *testing.T) {
	for _, c := range []struct {
		rated unit.Gauge // psi; the band is 15 to 16 psi on a dial of half a psi
		tight bool
	}{{16, true}, {16.5, true}, {17, false}, {30, false}} {
		s := on(enoki()).at(ratedAt(c.rated * psi))
		voice := words.English(s.units)
		card := sayings(voice, RunCardOf(s.compute(t)))
		off := plain(voice.Say(step(t, s.build(t), work.Sterilize).IfOff))
		do, tight := card["fault.above.do"], card["fault.above.do.tight"]
		if c.tight {
			assert.Empty(t, do, "%v psi", c.rated)
			assert.Contains(t, tight, "Cut the heat", "%v psi", c.rated)
			assert.Contains(t, off, "Gauge above 16.0 psi: cut the heat", "%v psi", c.rated)
			assert.NotContains(t, off, "turn the heat down", "%v psi", c.rated)
			assert.LessOrEqual(t, grade(tight), gradeMost)
			assert.LessOrEqual(t, grade(off), gradeMost)
		} else {
			assert.Empty(t, tight, "%v psi", c.rated)
			assert.Contains(t, do, "Turn the heat down", "%v psi", c.rated)
			assert.Contains(t, off, "Gauge above 16.0 psi: turn the heat down", "%v psi", c.rated)
		}
	}
}

// No sentence of the card lies about unused.
func TestCatalogOfTheCardIsUsed(t *testing.T) {
	used := map[string]string{}
	list := cardSettings()
	list["tight"] = on(enoki()).at(ratedAt(16 * psi))
	for _, s := range list {
		maps.Copy(used, sayings(words.English(s.units), RunCardOf(s.compute(t))))
	}
	said := 0
	for _, id := range words.IDs() {
		if strings.HasPrefix(id, "fault.") {
			assert.Contains(t, used, id, "%s is never said", id)
			said++
		}
	}
	assert.Greater(t, said, 50)
}
