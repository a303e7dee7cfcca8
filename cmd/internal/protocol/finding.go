package protocol

import (
	"sort"

	"bottlecrop/cmd/internal/working"
)

// Severity of a finding.
type Severity uint8

// The severities. A greater one is worse: Worst and Sort compare them.
const (
	Note    Severity = iota + 1 // worth knowing
	Warning                     // printed; the batch may go ahead
	Error                       // refused: no sheet, no book
)

func (s Severity) String() string {
	return [...]string{"", "note", "warning", "error"}[s]
}

// Message is one sentence of the catalog (package words) with its arguments.
// An argument is a string, an int, a unit.Amount, or a Message of its own.
type Message struct {
	ID   string
	Args map[string]any
}

// Place is a spot in a file of the farm folder. Line and columns count from 1,
// in characters; zero means that the place is the file as a whole.
type Place struct {
	File      string
	Line      int
	Column    int
	EndColumn int
	Text      string // the offending line, without its line end
}

// Finding is one thing wrong with, or worth knowing about, what a farm wrote.
type Finding struct {
	Severity Severity
	Rule     string         // id of the limit or of the refusal: "unit.missing", "moisture.high"
	Origin   working.Origin // document and key; the door turns it into a Place
	Place    Place          // filled where the finder knew it, else by the door
	What     Message        // what was found and what is allowed
	Why      Message        // the reason; may be empty
	Hint     Message        // what to do next; may be empty
	Source   string         // of the limit
	Subject  string         // protocol that it is about, "" for the farm or the library
	Safety   bool           // about people's safety: stands on the worker's sheet
	By       *Acknowledged  // who stands by this warning and why; nil where nobody does
}

// Sort puts findings in the order of files, lines and columns; equal places
// keep the worse one first, then the rule's name decides.
func Sort(list []Finding) {
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		switch {
		case a.Place.File != b.Place.File:
			return a.Place.File < b.Place.File
		case a.Place.Line != b.Place.Line:
			return a.Place.Line < b.Place.Line
		case a.Place.Column != b.Place.Column:
			return a.Place.Column < b.Place.Column
		case a.Severity != b.Severity:
			return a.Severity > b.Severity
		case a.Rule != b.Rule:
			return a.Rule < b.Rule
		}
		return a.Subject < b.Subject
	})
}

// Errors are those of a list that refuse something, in its order; nil where nothing does.
func Errors(list []Finding) []Finding {
	var out []Finding
	for _, f := range list {
		if f.Severity == Error {
			out = append(out, f)
		}
	}
	return out
}

// Worst is the highest severity in a list, 0 for none.
func Worst(list []Finding) Severity {
	var worst Severity
	for _, f := range list {
		worst = max(worst, f.Severity)
	}
	return worst
}
