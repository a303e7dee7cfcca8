package leaf

import "bottlecrop/cmd/internal/protocol"

// acknowledged is one warning that the author stands by.
type acknowledged struct{ Rule, Reason, Who, On string }

// acknowledgments lists what a protocol's author stands by, also what nothing
// crosses any more: a note among the findings says so.
func acknowledgments(p protocol.Protocol) []acknowledged {
	var out []acknowledged
	for _, a := range p.Acknowledged {
		out = append(out, acknowledged{a.Rule, a.Reason, a.Who, a.On})
	}
	return out
}
