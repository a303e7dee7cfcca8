package procedure

import (
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

// cautionsOf are the hazards that a step tells of, in full or in one line.
func cautionsOf(s Step) []string {
	var out []string
	for _, h := range s.Safety {
		out = append(out, hazardOf(h))
	}
	return out
}

// Where a full crate is too much for one person, each step that moves crates says
// so; its caution has all that the usual one on lifting has, and takes its place.
// The index itself is for trainers: no sentence of a worker has it.
func TestHeavyCrates(t *testing.T) {
	voice := words.English(unit.Metric)
	p, light := on(enoki()).at(careful()).build(t), on(enoki()).build(t)
	moved := []work.StepID{work.Receive, work.Weigh, work.LoadVessels, work.Unload, work.Incubate, work.Open, work.HarvestCrop, work.Empty}
	for i, s := range p.Steps {
		heavy, usual := cautionsOf(s), cautionsOf(light.Steps[i])
		assert.Equal(t, slices.Contains(moved, s.ID), slices.Contains(heavy, "crate"), s.ID)
		assert.NotContains(t, usual, "crate", s.ID)
		assert.True(t, !slices.Contains(usual, "lift") || slices.Contains(heavy, "crate"), s.ID)
		assert.NotContains(t, heavy, "lift", s.ID)
		for _, m := range slices.Concat(s.Do, []protocol.Message{s.Title, s.When, s.Limit, s.Check, s.IfOff}) {
			if m.ID != "" {
				assert.NotContains(t, voice.Say(m), "index", s.ID)
			}
		}
		for _, h := range s.Safety {
			assert.NotContains(t, voice.Say(h.Text), "index", s.ID)
		}
	}
	// By hand: 16 bottles of 75 g, 12 g of lid and 537 g of mix, 3 % of spawn on
	// it, and 1.2 kg of crate are 11.4 kg; over the 6.7 kg of the reference's lift,
	// an index of 1.7.
	in := step(t, p, work.Incubate)
	full := slices.IndexFunc(in.Safety, func(h Safety) bool { return h.Text.ID == "safety.crate" })
	require.GreaterOrEqual(t, full, 0)
	assert.Contains(t, plain(voice.Say(in.Safety[full].Text)), "A full crate is about 11 kg")
	require.Len(t, in.More, 1)
	assert.Contains(t, plain(voice.Say(in.More[0].Answer)), "The lifting index is 1.7")
	assert.Contains(t, voice.Say(in.More[0].Answer), "it is an indication")
	mildFarm, inMild := mild()
	in = step(t, on(inMild).at(mildFarm).build(t), work.Incubate)
	require.Len(t, in.More, 1)
	assert.NotContains(t, voice.Say(in.More[0].Answer), "indication", "the room is what the equation was made for")
}

// At the bench stands how much alcohol a room without fresh air bears. By hand for
// 30 m³ with no shelf in it: 3.5 mL a m³ of 70 % ethanol come to 1000 ppm (climate
// reference c). That is 104 mL at the sea and 99 mL in the thinner air at 420 m (96.4
// kPa): 90 mL on a cup, and 3.3 fl oz, which is 3.0.
func TestAlcoholOfTheRoom(t *testing.T) {
	for _, c := range []struct {
		units unit.System
		says  string
	}{{unit.Metric, "use 90 mL of alcohol at most"}, {unit.US, "use 3.0 fl oz of alcohol at most"}} {
		p := on(enoki()).at(careful()).in(c.units).build(t)
		said := ""
		for _, m := range step(t, p, work.WipeDown).Do {
			said += plain(words.English(c.units).Say(m)) + " "
		}
		assert.Contains(t, said, c.says)
		assert.Contains(t, said, "Never spray at the filter")
		assert.Less(t, strings.Index(said, c.says), strings.Index(said, "Wipe the bench"), "too late to know")
		assert.Len(t, step(t, p, work.WipeDown).More, 1)
	}
	assert.Empty(t, step(t, on(enoki()).build(t), work.WipeDown).More)
}

// A machine of 85 dB(A) or more asks for ear cover wherever it may stand, and a
// quieter one does not.
func TestLoudStations(t *testing.T) {
	stations := []string{"receiving", "mixing", "filling", "sterilizing", "bench", "incubation", "fruiting", "packing", "washing"}
	for _, at := range stations {
		farm := careful(at)
		p := on(enoki()).at(farm).build(t)
		seen := 0
		for _, s := range p.Steps {
			if slices.Contains(cautionsOf(s), "noise") {
				seen++
				assert.Equal(t, work.Station(at), s.Station, s.ID)
			}
		}
		assert.Positive(t, seen, at)
		farm.Noise[0].Level = 84.5
		for _, s := range on(enoki()).at(farm).build(t).Steps {
			assert.NotContains(t, cautionsOf(s), "noise", s.ID)
		}
	}
}

// Work at a hot sterilizer has its caution at the two steps at which people stand by
// the heat; 25 °C is where NIOSH is alarmed for who is new to it, at moderate work.
func TestHotSterilizer(t *testing.T) {
	farm := careful()
	for reading, want := range map[float64][]work.StepID{24.9: nil, 25.1: {work.Vent, work.Unload}} {
		*farm.Shift.Heat = c(reading)
		var got []work.StepID
		for _, s := range on(enoki()).at(farm).build(t).Steps {
			if slices.Contains(cautionsOf(s), "heat") {
				got = append(got, s.ID)
			}
		}
		assert.Equal(t, want, got, "%v °C", reading)
	}
}
