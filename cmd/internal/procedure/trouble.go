package procedure

import (
	"cmp"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/work"
)

// Card is what to do about one trouble, told for one protocol: only the causes
// that it can have, each beside the protocol's own figures.
type Card struct {
	ID, Title, Looks, Prevent string
	Steps                     []work.StepID // of this protocol, where it is seen; the first says where the card stands
	Decides                   work.Role
	Safety                    []Safety // none or one
	Causes                    []Cause  // the most likely first
}

// Cause is one likely cause, how to find out, and what to do.
type Cause struct {
	Cause, Check, Do string
	Reads            []protocol.Message // what the protocol asks for
}

// Station is where the card is reached for.
func (c Card) Station() work.Station { return work.StationOf(c.Steps[0]) }

// wheres says what each condition of a trouble asks of a protocol. The names
// are those that protocol.Applies allows.
var wheres = map[string]condition{
	"reusable": reusable, "bag": bag,
	"bored":   bored,
	"scraped": scraped, "unscraped": not(scraped),
	"wetted": wetted, "unwetted": not(wetted),
	"fleece": both(covered, not(inverted)), "inverted": inverted,
	"collared": collared, "uncollared": not(collared),
	"ripened": ripened,
}

// reading is a figure of a protocol that may stand on a card: its message is
// trouble.reads.NAME, or that with .dark or .none where the protocol has no
// such figure, or nothing.
type reading struct {
	has       condition // nil is always
	otherwise string
}

// readings has every name that protocol.Cause allows.
var readings = map[string]reading{
	"moisture": {}, "fill": {}, "bore": {has: bored},
	"gauge": {}, "vent": {}, "hold": {}, "core-cool": {}, "use-within": {},
	"run-air": {}, "run-humidity": {}, "run-days": {}, "core-most": {}, "ripening": {has: ripened},
	"scrape": {has: scraped}, "water": {has: wetted, otherwise: "none"},
	"pin-air": {}, "pin-humidity": {}, "pin-co2": {}, "pin-days": {}, "pin-light": {has: pinLight, otherwise: "dark"},
	"collar":    {has: both(collared, reusable)},
	"fruit-air": {}, "fruit-humidity": {}, "fruit-co2": {}, "fruit-light": {has: light, otherwise: "dark"},
	"chill": {},
}

// Cards tells the troubles of a batch's library that its protocol can have, in
// the order of the cycle. The figures on them do not depend on the size of the
// batch.
func Cards(b *batch.Batch) []Card {
	t := newTeller(b)
	var out []Card
	for _, x := range b.Process.Input.Library.Troubles {
		if c, ok := t.card(x); ok {
			out = append(out, c)
		}
	}
	order := work.Steps()
	slices.SortFunc(out, func(a, b Card) int {
		return cmp.Or(
			cmp.Compare(slices.Index(order, a.Steps[0]), slices.Index(order, b.Steps[0])),
			strings.Compare(a.Title, b.Title), strings.Compare(a.ID, b.ID),
		)
	})
	return out
}

// card tells a trouble, and is false where it does not apply: to the species,
// to the way it is grown, or because the steps where it is seen, or all of its
// causes, are not there.
func (t *teller) card(x protocol.Trouble) (Card, bool) {
	c := Card{ID: x.ID, Title: x.Title, Looks: x.Looks, Prevent: x.Prevent, Decides: work.Role(x.Decides)}
	if !t.applies(x.Applies) {
		return c, false
	}
	for _, s := range t.process.Steps() { // what nobody does, nobody sees
		if !s.Own && slices.Contains(x.SeenAt, string(s.ID)) {
			c.Steps = append(c.Steps, s.ID)
		}
	}
	for _, cause := range x.Causes {
		if t.applies(cause.Applies) {
			c.Causes = append(c.Causes, Cause{cause.Cause, cause.Check, cause.Do, t.reads(cause.Reads)})
		}
	}
	if i := slices.IndexFunc(hazards, func(h hazard) bool { return h.name == x.Safety }); i >= 0 {
		c.Safety = []Safety{{hazards[i].signal, t.say("safety." + x.Safety)}}
	}
	return c, len(c.Steps) > 0 && len(c.Causes) > 0
}

func (t *teller) applies(a protocol.Applies) bool {
	s := t.process.Species
	if len(a.Species) > 0 && !s.Names(a.Species) || s.Names(a.Except) {
		return false
	}
	return !slices.ContainsFunc(a.Where, func(w string) bool { return !wheres[w](t) })
}

func (t *teller) reads(names []string) []protocol.Message {
	var out []protocol.Message
	for _, name := range names {
		id := "trouble.reads." + name
		switch r := readings[name]; {
		case t.holds(r.has):
			out = append(out, t.say(id))
		case r.otherwise != "":
			out = append(out, words.Message(id+"."+r.otherwise))
		}
	}
	return out
}
