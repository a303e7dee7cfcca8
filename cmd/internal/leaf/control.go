package leaf

import (
	"bottlecrop/cmd/internal/protocol"
)

// control is what a farm keeps of a protocol as a document, a line each; nothing
// where it keeps nothing.
func (e Edition) control(pr protocol.Protocol) []string {
	var out []string
	if c := pr.Control; c != nil {
		if c.Number != "" {
			out = append(out, e.say("book.control.number", "number", c.Number))
		}
		out = append(out, e.say("book.control.version", "version", c.Version))
		if c.From != "" {
			out = append(out, e.say("book.control.from", "date", c.From))
		}
		if c.Review != "" {
			out = append(out, e.say("book.control.review", "date", c.Review))
		}
		out = append(out, e.say("book.control.owner", "owner", c.Owner))
	}
	if a := pr.Approval; a != nil {
		out = append(out, e.say("book.control.approved", "by", a.By, "date", a.On, "version", a.Version))
	}
	return out
}

// approvalOf is what is wrong with a protocol for who holds a page of it, and what that
// means; empty where it may be worked from.
func (e Edition) approvalOf(pr protocol.Protocol, m Method) (word, why string) {
	if pr.NotInForce != "" {
		return e.say("book.standing.not_in_force"), ""
	}
	switch pr.Standing(m.Full) {
	case protocol.Unapproved:
		return e.say("book.standing.unapproved"), e.say("book.standing.unapproved.why")
	case protocol.ChangedSince:
		return e.say("book.standing.changed"), e.say("book.standing.changed.why", "by", pr.Approval.By, "date", pr.Approval.On)
	}
	return "", ""
}
