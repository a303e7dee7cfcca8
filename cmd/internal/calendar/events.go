package calendar

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
)

// Identity is what an event is of. The same farm, protocol and batch give the same
// UIDs on any day and for any start, so that a plan that is made anew moves the
// entries of a calendar instead of adding to them. The fingerprint of the method
// has no part in it: a mended protocol is the same batch's, and its old entries
// would stay behind.
type Identity struct {
	Farm     string // its name
	Protocol string // its file's name without .toml
	Batch    string // the code on its cards
	Revision int    // of the plan, from 0: raised with each that is handed out
	Alarm    int    // min before the midnight of a task's day; 0 for none
}

// uid is the UID of a part of the batch: a step or a stage, its cohort and its number.
func (id Identity) uid(part string, cohort, number int) string {
	sum := sha256.Sum256([]byte(id.Farm + "\x00" + id.Protocol + "\x00" + id.Batch))
	return fmt.Sprintf("%s.%d.%d.%s@%s.bottlecrop", part, cohort, number, hex.EncodeToString(sum[:8]), slug(id.Farm))
}

// slug is a name in small letters, digits and hyphens, for the eye alone: names
// that are alike here differ in the sum.
func slug(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	if len(words) == 0 {
		return "farm"
	}
	return strings.Join(words, "-")
}

// Words are what an event says.
type Words struct {
	Summary, Description, Category string
}

// Events are the entries of a plan in a calendar: one a task, and one a stage,
// which takes up nobody. What they say is the caller's.
func (p *Plan) Events(id Identity, ofTask func(Task) Words, ofStage func(Stretch) Words) []Event {
	var out []Event
	for _, t := range p.Tasks {
		w := ofTask(t)
		out = append(out, Event{UID: id.uid(string(t.Step), t.Cohort, t.Number), Sequence: id.Revision,
			Summary: w.Summary, Description: w.Description, Category: w.Category, From: t.Date, To: t.Date, Alarm: id.Alarm})
	}
	for _, s := range p.Stages {
		w := ofStage(s)
		out = append(out, Event{UID: id.uid("stage."+s.Stage, s.Cohort, 1), Sequence: id.Revision,
			Summary: w.Summary, Description: w.Description, Category: w.Category,
			From: s.From, To: max(s.From, s.To-1), Free: true})
	}
	return out
}

// Once is an entry of one day that an identity has once, such as a delivery.
func (id Identity) Once(part string, d Date, w Words) Event {
	return Event{UID: id.uid(part, 0, 1), Sequence: id.Revision, Summary: w.Summary, Description: w.Description, Category: w.Category,
		From: d, To: d, Alarm: id.Alarm}
}
