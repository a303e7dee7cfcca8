// Package change tells two versions of a method apart by what workers meet: figures,
// limits and steps, and not lines of a file. Each difference names the inputs that
// caused it, and that is proved by working batches out again with one changed input at
// a time, and with several where no single one does it.
//
// Compare is a pure function of two sides and a number of vessels. What is written in
// another unit, in another order or beside a comment is no changed input.
package change

import (
	"fmt"
	"slices"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// Kind is what differs.
type Kind string

// The kinds of differences.
const (
	Figure   Kind = "figure"   // a quantity has another value, or is there on one side only
	Crossing Kind = "crossing" // a limit is crossed now, or no more, or somebody stands by it
	Appears  Kind = "appears"  // a step
	Vanishes Kind = "vanishes"
	Moves    Kind = "moves" // against the steps that both have
	Told     Kind = "told"  // a part of a step reads otherwise
)

// Difference is one thing that is not the same after as before.
type Difference struct {
	Kind  Kind
	Group Group
	// First tells whether it makes the first number of the version rise: a critical
	// limit, a safety step or its amounts moved.
	First bool
	// Worker tells whether somebody who works by the sheet meets it.
	Worker bool
	// Causes are the changed inputs that make it: Alone where each of them moves it by
	// itself, else together. Coarse says that there may be some among them that it does
	// without.
	Causes []*Change
	Alone  bool
	Coarse bool

	// Of a figure: nil where it is not there. Names are words for its subject.
	Before, After *working.Quantity
	Names         map[string]string

	// Of a crossing: what was found on either side; nil where nothing was.
	Was, Is *protocol.Finding

	// Of a step. Numbers count from 1, 0 where it is not there.
	Step                      procedure.Step // as it is after, or was
	Spawn                     bool           // of the sheet for spawn
	NumberBefore, NumberAfter int
	Part                      Part
	TextBefore, TextAfter     string // of that part, a sentence on each line
	key                       string
	read                      func(*state) value
}

// Report is what is not the same.
type Report struct {
	Before, After Side
	Vessels       int
	Inputs        []*Change    // that were changed
	Idle          []*Change    // those of them that move nothing here
	Differences   []Difference // by group, then as a sheet has them
}

// Refused says that one of the two can't be worked out: it crosses a limit that
// refuses it.
type Refused struct {
	After    bool // else it is the one before
	Findings []protocol.Finding
}

func (e *Refused) Error() string {
	return fmt.Sprintf("change: the protocol is refused (after: %t): %d findings", e.After, len(e.Findings))
}

// pair is two sides that can be told.
type pair struct {
	before, after Side
	vessels       int
	voice         *words.Voice
	was, is       *state
	inputs        []*Change
}

func meetAll(before, after Side, vessels int, v *words.Voice) (*pair, error) {
	p := &pair{before: before, after: after, vessels: vessels, voice: v, inputs: inputsOf(before, after)}
	for _, side := range []struct {
		of    Side
		after bool
		into  **state
	}{{before, false, &p.was}, {after, true, &p.is}} {
		s, found, err := side.of.tell(vessels, v)
		if err != nil {
			return nil, err
		}
		if found != nil {
			return nil, &Refused{side.after, found}
		}
		*side.into = s
	}
	return p, nil
}

// Compare works out what differs between two sides for a number of vessels, in the
// words and units of a voice. The error is a *Refused where a side has errors.
func Compare(before, after Side, vessels int, v *words.Voice) (*Report, error) {
	p, err := meetAll(before, after, vessels, v)
	if err != nil {
		return nil, err
	}
	r := &Report{Before: before, After: after, Vessels: vessels, Inputs: p.inputs, Differences: p.differences()}
	newTrial(p).explain(r.Differences)
	p.judge(r.Differences)
	slices.SortStableFunc(r.Differences, func(a, b Difference) int { return a.Group.rank() - b.Group.rank() })
	used := map[*Change]bool{}
	for _, d := range r.Differences {
		for _, c := range d.Causes {
			used[c] = true
		}
	}
	for _, c := range p.inputs {
		if !used[c] {
			r.Idle = append(r.Idle, c)
		}
	}
	return r, nil
}

// Nothing reports whether a worker would notice nothing.
func (r *Report) Nothing() bool {
	return !slices.ContainsFunc(r.Differences, func(d Difference) bool { return d.Worker })
}

// Of lists the differences of one group.
func (r *Report) Of(g Group) []Difference {
	var out []Difference
	for _, d := range r.Differences {
		if d.Group == g {
			out = append(out, d)
		}
	}
	return out
}
