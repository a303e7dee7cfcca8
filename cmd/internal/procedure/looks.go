package procedure

import (
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// What a batch looks like from day to day, and what a bad one looks like: common
// practice, no source. The days are the protocol's own.

// stretch is a run of days that ends with day last, and what is seen in it.
type stretch struct {
	last int
	look string // the end of the message's id
}

// byDay says what is seen day by day from day 1 on. The stretches follow each
// other without a gap; one that ends before it begins falls out, so that stages
// of a few days have fewer rows.
func (t *teller) byDay(id string, stretches ...stretch) []Look {
	var out []Look
	from := 1
	for _, s := range stretches {
		if s.last < from {
			continue
		}
		of := t.say("step.look.days", "from", from, "to", s.last)
		if s.last == from {
			of = t.say("step.look.day", "day", from)
		}
		out = append(out, Look{of, t.say(id + s.look)})
		from = s.last + 1
	}
	return out
}

// seen is one look that hangs on no day: "step.<id>.look.<name>.of" and
// "step.<id>.look.<name>".
func (t *teller) seen(id, of, text string) Look {
	return Look{t.say(id + of + ".of"), t.say(id + text)}
}

// pick is a with an ending where the condition holds, and a alone elsewhere.
func (t *teller) pick(a string, endings ...line) string {
	for _, e := range endings {
		if t.holds(e.when) {
			return a + "." + e.id
		}
	}
	return a
}

func (t *teller) stage(id string) process.Stage {
	for _, s := range t.process.Stages {
		if s.ID == id {
			return s
		}
	}
	return process.Stage{}
}

// incubating cuts the usual length of the spawn run at a seventh, a third and
// two thirds, before the day on which the first may be white; from there on the
// protocol's own days part the quick ones, the usual and the slow.
func incubating(t *teller) []Look {
	const id = "step.incubate.look."
	s := t.stage("incubation")
	first, usual, last := days(s.Shortest), days(s.Usual), days(s.Longest)
	until := func(part float64) int { return min(int(unit.Nearest(part*float64(usual))), first-1) }
	out := t.byDay(id,
		stretch{until(1. / 7), t.pick("start", line{"bored", bored})},
		stretch{until(1. / 3), t.pick("early", line{"bored", bored})},
		stretch{until(2. / 3), t.pick("half", line{"bored", bored})},
		stretch{first - 1, t.pick("late", line{"early", opensEarly})},
		stretch{usual, t.pick("done", line{"early", opensEarly})},
		stretch{last, t.pick("slow", line{"early", opensEarly})},
	)
	if ripened(t) {
		out = append(out, t.seen(id, "ripe", t.pick("ripe", line{"gray", opensGray})))
	}
	return out
}

// contaminated is what a bad vessel looks like (substrate reference, table F,
// row 13), what people call it, and what to do beside taking it out closed.
func contaminated(t *teller) []Look {
	const id = "step.inspect.look."
	var out []Look
	for _, l := range []line{
		{"green", nil}, {"black", nil}, {"orange", nil}, {"cobweb", nil}, {"slime", nil}, {"mites", nil}, {"dead", nil}, {"control", controls},
	} {
		if t.holds(l.when) {
			out = append(out, t.seen(id, l.id, l.id))
		}
	}
	return out
}

func pinned(t *teller) []Look {
	const id = "step.pin.look."
	s := t.stage("pinning")
	out := t.byDay(id,
		stretch{days(s.Shortest) - 1, t.pick("first", line{"gray", opensGray}, line{"early", opensEarly}, line{"scraped", scraped})},
		stretch{days(s.Longest), t.pick("pins", line{"gray", opensGray}, line{"early", opensEarly})},
	)
	return append(out, t.seen(id, "none", "none"))
}

func fruited(t *teller) []Look {
	const id = "step.fruit.look."
	return []Look{
		t.seen(id, "healthy", t.pick("healthy", line{"collar", collared})),
		t.seen(id, "ripe", "ripe"),
		t.seen(id, "over", t.pick("over", line{"capless", not(opensWhite)})),
		t.seen(id, "spoiled", "spoiled"),
	}
}

var (
	opensWhite = opens(protocol.OpensWhite)
	opensGray  = opens(protocol.OpensGray)
	opensEarly = opens(protocol.OpensEarly)
)
