// Package procedure tells a batch as ordered steps: who, where, what, how
// much, by when, what could hurt, the critical limit, how to check it, what to
// do when it is off, and why. Which steps there are, and in which order, follows
// from conditions on the species, the vessel, the farm and the protocol; the
// sentences are messages of package words.
package procedure

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/work"
)

// Signal is the signal word of a safety message (ANSI Z535.6).
type Signal string

// The signal words: DANGER will kill or maim if not avoided, WARNING could,
// CAUTION could hurt less badly, NOTICE is about things, not people.
const (
	Danger  Signal = "danger"
	Warning Signal = "warning"
	Caution Signal = "caution"
	Notice  Signal = "notice"
)

// Safety is a safety message: the hazard, what it does, how to avoid it.
type Safety struct {
	Signal Signal
	Text   protocol.Message
}

// Step is one step of the procedure.
type Step struct {
	Number   int // from 1, over the whole procedure
	ID       work.StepID
	Own      bool // a step of the farm's own
	Station  work.Station
	Role     work.Role
	Time     unit.Amount      // hands-on or waiting time for this batch; zero Value means none is stated
	Title    protocol.Message // "Mix the substrate"
	When     protocol.Message // "Day 0", "within 4 h of mixing"; may be empty
	Safety   []Safety         // before the action, always
	Amounts  []Amount         // what is measured out in this step
	Looks    []Look           // what it looks like, and when; may be empty
	LooksOf  protocol.Message // heading over the looks: "What you should see"; empty where there are none
	Do       []protocol.Message
	Prose    protocol.Message // of the author's, in Markdown; may be empty
	Critical bool             // the batch depends on it: a critical control point
	Limit    protocol.Message // the critical limit or target with its tolerance
	Front    protocol.Message // the limit in a few words, for the first page; empty where it is not needed there
	FrontOf  protocol.Message // what Front is a limit of: "Fill"
	Check    protocol.Message // how to see that it is met
	IfOff    protocol.Message // what to do when it is not
	Why      protocol.Message // for the trainer: the reason
	Wrong    protocol.Message // for the trainer: what goes wrong here, and how it shows
	Ask      protocol.Message // for the trainer: what to ask the new hire
	Answer   protocol.Message // for the trainer: the right answer
	More     []Question       // for the trainer: what to ask besides; may be empty
}

// Question is what a trainer asks, and the right answer.
type Question struct {
	Ask    protocol.Message
	Answer protocol.Message
}

// Amount is one thing measured out: what, how much, and a remark.
type Amount struct {
	What   protocol.Message
	Amount unit.Amount
	Remark protocol.Message // "on the bench scale", "in 2 weighings"; may be empty
}

// Look is something to see: of what or when, and what it looks like.
type Look struct {
	Of   protocol.Message // "Day 1 to 4", "Green or blue-green"
	Text protocol.Message
}

// Procedure is a batch as a worker follows it.
type Procedure struct {
	Batch   *batch.Batch
	Hazards []Safety // up front, one line each, grouped, worst first
	Steps   []Step
}
