package leaf

import (
	"cmp"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/change"
)

// ChangesPath is the page of what is new in a protocol.
func ChangesPath(name string) string { return name + "/changes.html" }

// changesPage tells what is new: first for those who work, then for who answers for it.
type changesPage struct {
	frame
	ProtocolTitle string
	Beside        []link
	Since, For    string
	Again         []againStep
	comparison
}

// againStep is a step to read again.
type againStep struct {
	Number, Title, Href string
	Gone                bool
	News                []string // that it is new, or gone, or has moved
	Changed             string   // which of its parts read otherwise
	Was, Is             []string // lines of its limit and amounts that changed

	parts []string
}

// Changes sets the page of what is new in a protocol since what it is compared with.
func Changes(e Edition, c Compared, method Method) ([]byte, error) {
	pr := c.Report.After.Protocol
	page := changesPage{
		frame:         e.frameOf(pr, ChangesPath(pr.Name), "changes", e.say("book.changes.title", "title", pr.Title), e.say("book.changes.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Beside:        e.otherPages(pr.Name, ChangesPath(pr.Name), local),
		Since:         c.Before,
		For:           e.say("book.changes.for", "n", c.Vessels, "vessels", e.manyOf(c)),
		Again:         e.again(c),
		comparison:    e.comparison(c, 0),
	}
	return e.html("changes", page)
}

// again lists the steps of which a worker meets another text, in their order, those for
// spawn last.
func (e Edition) again(c Compared) []againStep {
	list := slices.DeleteFunc(slices.Clone(c.Differences), func(d change.Difference) bool {
		return !d.Worker || d.Kind == change.Figure || d.Kind == change.Crossing || d.Part == change.Time
	})
	slices.SortStableFunc(list, func(a, b change.Difference) int {
		return cmp.Or(cmp.Compare(kindOfSheet(a), kindOfSheet(b)), cmp.Compare(numberOf(a), numberOf(b)))
	})
	var out []againStep
	for i, d := range list {
		if i == 0 || d.Step.ID != list[i-1].Step.ID || d.Spawn != list[i-1].Spawn {
			out = append(out, e.againStep(c, d))
		}
		s := &out[len(out)-1]
		switch d.Kind {
		case change.Appears:
			s.News = append(s.News, e.say("book.changes.new"))
		case change.Vanishes:
			s.Gone, s.News = true, append(s.News, e.say("book.changes.gone"))
		case change.Moves:
			s.News = append(s.News, e.say("book.changes.moved"))
		default:
			s.parts = append(s.parts, e.say("compare.part."+string(d.Part)))
			if d.Part == change.Limit || d.Part == change.Amounts { // what must be got right from now on
				gone, now := e.linesApart(d)
				s.Was, s.Is = append(s.Was, gone...), append(s.Is, now...)
			}
		}
	}
	for i, s := range out {
		if len(s.parts) > 0 {
			out[i].Changed = e.say("book.changes.changed", "parts", e.Voice.List(s.parts))
		}
	}
	return out
}

// kindOfSheet sets the steps for spawn behind those of the batch.
func kindOfSheet(d change.Difference) int {
	if d.Spawn {
		return 1
	}
	return 0
}

// numberOf is the number of a step after, or the one that it had.
func numberOf(d change.Difference) int {
	if d.NumberAfter == 0 {
		return d.NumberBefore
	}
	return d.NumberAfter
}

// againStep links a step to where it is read, but for one that is there no more.
func (e Edition) againStep(c Compared, d change.Difference) againStep {
	name := c.Report.After.Protocol.Name
	out := againStep{Number: strconv.Itoa(numberOf(d)), Title: e.Voice.Say(d.Step.Title)}
	switch {
	case d.NumberAfter == 0:
	case d.Spawn:
		out.Href = local(GrainPath(name)) + "#step-" + out.Number
	default:
		out.Href = local(SheetPath(name, c.Vessels)) + "#step-" + out.Number
	}
	return out
}
