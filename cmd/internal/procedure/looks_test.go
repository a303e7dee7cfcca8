package procedure

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// daysSeen is the first and the last day of a look that hangs on days.
func daysSeen(l Look) (from, to int, ok bool) {
	switch l.Of.ID {
	case "step.look.days":
		return l.Of.Args["from"].(int), l.Of.Args["to"].(int), true
	case "step.look.day":
		d := l.Of.Args["day"].(int)
		return d, d, true
	}
	return 0, 0, false
}

// TestLooksCoverTheStage: what is seen from day to day begins with day 1, ends
// with the last day that the protocol gives, and leaves out and repeats none,
// however short or long the stage.
func TestLooksCoverTheStage(t *testing.T) {
	base := on(enoki()).compute(t)
	rapid.Check(t, func(r *rapid.T) {
		first := rapid.IntRange(1, 120).Draw(r, "shortest")
		usual := first + rapid.IntRange(0, 60).Draw(r, "to usual")
		last := usual + rapid.IntRange(0, 60).Draw(r, "to longest")
		p := *base.Process
		p.Stages = slices.Clone(p.Stages)
		for i := range p.Stages {
			s := &p.Stages[i]
			s.Shortest, s.Usual, s.Longest = unit.Duration(first)*unit.Day, unit.Duration(usual)*unit.Day, unit.Duration(last)*unit.Day
		}
		b := *base
		b.Process = &p
		teller := newTeller(&b)
		for _, looks := range [][]Look{incubating(teller), pinned(teller)} {
			next := 1
			for _, l := range looks {
				from, to, ok := daysSeen(l)
				if !ok {
					continue
				}
				if from != next || to < from {
					r.Fatalf("after day %d comes day %d to %d", next-1, from, to)
				}
				next = to + 1
			}
			if next != last+1 {
				r.Fatalf("the looks end with day %d of %d", next-1, last)
			}
		}
	})
}

// TestLooksOfAMonth: 20 to 30 days, as a rule 25, worked by hand: a seventh, a
// third and two thirds of 25 are 3.6, 8.3 and 16.7.
func TestLooksOfAMonth(t *testing.T) {
	voice := words.English(unit.Metric)
	show := func(s setting) []string {
		var out []string
		for _, l := range step(t, s.build(t), work.Incubate).Looks {
			out = append(out, plain(voice.Say(l.Of))+" "+l.Text.ID)
		}
		return out
	}
	const id = "step.incubate.look."
	assert.Equal(t, []string{
		"Day 1 to 4 " + id + "start.bored", "Day 5 to 8 " + id + "early.bored", "Day 9 to 17 " + id + "half.bored",
		"Day 18 to 19 " + id + "late", "Day 20 to 25 " + id + "done", "Day 26 to 30 " + id + "slow",
	}, show(on(enoki())))
	assert.Equal(t, []string{
		"Day 1 to 4 " + id + "start", "Day 5 to 8 " + id + "early", "Day 9 to 17 " + id + "half",
		"Day 18 to 19 " + id + "late", "Day 20 to 25 " + id + "done", "Day 26 to 30 " + id + "slow",
	}, show(on(variant("no-bore", noBore))))
	maitakes := show(on(variant("maitake", maitake)))
	assert.Equal(t, "21 days more, to ripen "+id+"ripe.gray", maitakes[len(maitakes)-1])
}

// TestBadOnesAreSterilizedUnopened: a rejected vessel goes through a whole run
// before anybody opens it, at the hold and the gauge of the protocol (substrate
// reference, table F, row 13), and nothing of it is composted raw.
func TestBadOnesAreSterilizedUnopened(t *testing.T) {
	for _, s := range settings() {
		p := s.build(t)
		x := step(t, p, work.Reject)
		at := func(id string) int {
			i := slices.IndexFunc(x.Do, func(m protocol.Message) bool { return m.ID == "step.reject."+id })
			require.GreaterOrEqual(t, i, 0, id)
			return i
		}
		closed, run, cool, empty := at("do.1"), at("do.5"), at("do.6"), at("do.7")
		assert.True(t, closed < run && run < cool && cool < empty, "closed, sterilized, cooled, emptied")
		voice := words.English(s.units)
		assert.Contains(t, voice.Say(x.Do[run]), "unopened")
		assert.Contains(t, voice.Say(x.Do[empty]), "Only then open")
		assert.True(t, x.Critical)
		sterilize := step(t, p, work.Sterilize)
		for _, arg := range []string{"hold", "gauge_low", "gauge_high"} {
			assert.Equal(t, sterilize.Limit.Args[arg], x.Limit.Args[arg], arg)
		}
		assert.Contains(t, voice.Say(x.Limit), "Nothing goes raw on the compost")
		assert.Less(t, step(t, p, work.Inspect).Number, x.Number)
		assert.Less(t, x.Number, step(t, p, work.Empty).Number)
	}
}

// TestProbeBetweenTheVessels: the probe in the stack reads air, so its limit is
// below what the middle bears by the 2 K that the middle is warmer at least
// (substrate reference, table F, row 12): 25 °C less 2 K is 23 °C, 73 °F.
func TestProbeBetweenTheVessels(t *testing.T) {
	for units, want := range map[unit.System]string{unit.Metric: "warmest stack 23 °C at most", unit.US: "warmest stack 73 °F at most"} {
		x := step(t, on(enoki()).in(units).build(t), work.Incubate)
		assert.Contains(t, plain(words.English(units).Say(x.Limit)), want)
		assert.NotContains(t, x.Limit.Args, "core_most")
	}
}

// TestCountsThatStopTheWork, worked by hand: 408 in four loads are 102 in each,
// and over 10 % of 102 is 11; over 5 % of 400 is 21, and 1 in 20 of 408 is 21.
// A load of 14 stops at 2.
func TestCountsThatStopTheWork(t *testing.T) {
	large, small := on(enoki()).of(400).build(t), on(enoki()).of(12).build(t)
	assert.Equal(t, 102, step(t, large, work.Inspect).Ask.Args["load_size"])
	assert.Equal(t, 11, step(t, large, work.Inspect).Answer.Args["load_stop"])
	assert.Equal(t, 21, step(t, large, work.EarlyFruit).Answer.Args["early_stop"])
	assert.Equal(t, 21, step(t, large, work.Wash).Answer.Args["to_look_into"])
	assert.Equal(t, 2, step(t, small, work.Inspect).Answer.Args["load_stop"])
	assert.Equal(t, 1, step(t, small, work.EarlyFruit).Answer.Args["early_stop"])
}

// TestLooksAreEasyToRead holds what a worker sees to the grade of the rest.
func TestLooksAreEasyToRead(t *testing.T) {
	for _, s := range settings() {
		if s.vessels != 400 {
			continue
		}
		voice := words.English(s.units)
		for _, x := range s.build(t).Steps {
			assert.Equal(t, len(x.Looks) == 0, x.LooksOf.ID == "", x.ID)
			for _, l := range x.Looks {
				assert.NotEmpty(t, voice.Say(l.Of), l.Text.ID)
				said := voice.Say(l.Text)
				if len(strings.Fields(said)) >= wordsFew && l.Text.ID != "step.fruit.look.ripe" {
					assert.LessOrEqual(t, grade(said), gradeMost, "%s: %s", l.Text.ID, said)
				}
			}
		}
	}
}
