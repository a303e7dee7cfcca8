package procedure

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
)

// Answer is what becomes of a load after a fault of its run. Each fault has
// one, so that nobody has to weigh it up beside a hot sterilizer.
type Answer string

// The answers, from the mildest. What each of them asks for in full is said
// once, by its message fault.answer.NAME.means.
const (
	// Stay: the hold runs on, for the load was never cooler than it must be.
	Stay Answer = "stay"
	// HoldAgain: the whole hold from zero, once the gauge is back in its band.
	HoldAgain Answer = "hold"
	// VentAgain: the whole vent from zero, and then the whole hold.
	VentAgain Answer = "vent"
	// RunAgain: cool it unopened, and make a whole new run within 12 h, or scrap.
	RunAgain Answer = "rerun"
	// Scrap: no spawn in it; sterilized closed and emptied.
	Scrap Answer = "scrap"
)

// answers lists them all, from the mildest.
func answers() []Answer { return []Answer{Stay, HoldAgain, VentAgain, RunAgain, Scrap} }

// Decider is who decides after a fault.
type Decider string

// The operator decides what the card alone can answer; the person in charge
// what is thrown out or mended; a licensed inspector whether what holds the
// pressure may be used again.
const (
	Operator  Decider = "operator"
	InCharge  Decider = "charge"
	Inspector Decider = "inspector"
)

// Moment is when in a run a fault is seen.
type Moment string

// The moments of a run, in order.
const (
	Heating Moment = "heating"
	Holding Moment = "holding"
	After   Moment = "after"
)

// verdict is the decision about one fault. Its sentences are fault.NAME.title,
// see and do.
type verdict struct {
	name    string
	when    Moment
	answer  Answer
	decides Decider
}

// verdicts are all faults of a run that the card knows, in the order of a run.
// A short dip is a dip: how long it lasted nobody knows for sure, and the
// coldest place of the load has lost its heat more slowly than the gauge shows.
// What leaves a doubt about the heat, the record or the gauge is run again, for
// a load that is not done looks like a good one. A gauge too high is no doubt:
// the load was hotter than it must be. Sources of the actions: the sterilization
// reference's cautions (HSE PM73, PNW 421, Cornell EHS, Iowa State biosafety
// manual); the answers are common practice, no source.
var verdicts = []verdict{
	{"no-steam", Heating, VentAgain, Operator},
	{"water", Heating, RunAgain, Inspector},
	{"lid-leak", Heating, RunAgain, InCharge},

	{"dip", Holding, HoldAgain, Operator},
	{"heat-out", Holding, RunAgain, Operator},
	{"above", Holding, Stay, Operator},
	{"relief", Holding, RunAgain, Inspector},
	{"disagree", Holding, RunAgain, InCharge},
	{"record", Holding, RunAgain, Operator},
	{"damage", Holding, Scrap, Inspector},

	{"gauge-stuck", After, RunAgain, InCharge},
	{"opened-early", After, Scrap, InCharge},
	{"broken", After, Scrap, Operator},
	{"overnight", After, RunAgain, Operator},
	{"too-late", After, Scrap, InCharge},
}

// Fault is one fault of a run, told for one protocol and its sterilizer.
type Fault struct {
	Name           string
	Moment         Moment
	Title, See, Do protocol.Message
	Answer         Answer
	Then           protocol.Message // the answer in a few words, with the protocol's figures
	Decides        Decider
	Decider        protocol.Message
}

// RunFigure is a figure of the run that stands on the card.
type RunFigure struct{ Name, Value protocol.Message }

// Meaning is what an answer asks for in full.
type Meaning struct {
	Answer      Answer
	Name, Means protocol.Message
}

// RunCard is the card that hangs at a sterilizer: what can go wrong in a run of
// one protocol, what to do at once, what becomes of the load, and who decides.
type RunCard struct {
	Safety   []Safety // one line each, worst first
	Figures  []RunFigure
	Faults   []Fault // in the order of a run
	Meanings []Meaning
}

// cardHazards are those that stand on top of the card, each in one line.
var cardHazards = []string{"pressure", "opening", "dry-run", "hot-load", "manual"}

// cardFigures are the figures of the run on the card.
var cardFigures = []line{
	{"gauge", nil}, {"hold", nil}, {"vent", nil}, {"rated", nil}, {"rerun", nil},
	{"altitude", not(barometer)}, {"air-pressure", barometer},
}

// RunCardOf tells the card of a batch's protocol and sterilizer. It does not
// depend on the size of the batch.
func RunCardOf(b *batch.Batch) RunCard {
	t := newTeller(b)
	var c RunCard
	for _, h := range hazards { // the worst first
		for _, name := range cardHazards {
			if h.name == name {
				c.Safety = append(c.Safety, Safety{h.signal, t.say("hazard." + name)})
			}
		}
	}
	for _, f := range cardFigures {
		if t.holds(f.when) {
			id := "fault.figure." + f.id
			c.Figures = append(c.Figures, RunFigure{t.say(id + ".of"), t.say(id)})
		}
	}
	for _, v := range verdicts {
		id := "fault." + v.name
		do := id + ".do"
		if v.name == "above" && tight(t) {
			do += ".tight"
		}
		c.Faults = append(c.Faults, Fault{
			Name: v.name, Moment: v.when,
			Title: t.say(id + ".title"), See: t.say(id + ".see"), Do: t.say(do),
			Answer: v.answer, Then: t.say("fault.answer." + string(v.answer)),
			Decides: v.decides, Decider: t.say("fault.decides." + string(v.decides)),
		})
	}
	for _, a := range answers() {
		id := "fault.answer." + string(a)
		c.Meanings = append(c.Meanings, Meaning{a, t.say(id), t.say(id + ".means")})
	}
	return c
}
