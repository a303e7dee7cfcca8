package limit

import (
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// Acknowledge marks the warnings that an author stands by with who does, when
// and why. A finding keeps its severity, and an error stays as it is: nothing
// acknowledges it away.
func Acknowledge(found []protocol.Finding, list []protocol.Acknowledged) []protocol.Finding {
	out := slices.Clone(found)
	for i, f := range out {
		at := slices.IndexFunc(list, func(a protocol.Acknowledged) bool { return a.Rule == f.Rule })
		if at >= 0 && f.Severity == protocol.Warning {
			by := list[at]
			out[i].By = &by
		}
	}
	return out
}

// Unacknowledgeable reports the acknowledgments that can't be made: of what is
// refused, and of what no limit is called. The document is that of the protocol.
func Unacknowledgeable(list []protocol.Acknowledged, found []protocol.Finding, document, subject string) []protocol.Finding {
	var out []protocol.Finding
	for i, a := range list {
		row := slices.IndexFunc(table, func(l Limit) bool { return l.ID == a.Rule })
		refused := row >= 0 && table[row].Severity == protocol.Error ||
			slices.ContainsFunc(found, func(f protocol.Finding) bool { return f.Rule == a.Rule && f.Severity == protocol.Error })
		switch {
		case refused:
			out = append(out, about("acknowledge.error", protocol.Error, i, a, document, subject))
		case row < 0:
			f := about("acknowledge.unknown", protocol.Error, i, a, document, subject)
			if near := protocol.Nearest(a.Rule, ids()); near != "" {
				f.Hint = protocol.Message{ID: "acknowledge.unknown.near", Args: map[string]any{"near": near}}
			}
			out = append(out, f)
		}
	}
	return out
}

// Unused notes the acknowledgments that nothing needs any more: no finding of
// the protocol, at any of its sizes, is marked with them.
func Unused(list []protocol.Acknowledged, document, subject string, found ...[]protocol.Finding) []protocol.Finding {
	var out []protocol.Finding
	for i, a := range list {
		used := slices.ContainsFunc(found, func(of []protocol.Finding) bool {
			return slices.ContainsFunc(of, func(f protocol.Finding) bool { return f.By != nil && f.Rule == a.Rule })
		})
		if !used {
			out = append(out, about("acknowledge.unused", protocol.Note, i, a, document, subject))
		}
	}
	return out
}

// about is a finding on the i-th acknowledgment itself.
func about(rule string, s protocol.Severity, i int, a protocol.Acknowledged, document, subject string) protocol.Finding {
	return protocol.Finding{
		Severity: s,
		Rule:     rule,
		Origin:   working.Origin{Document: document, Key: "acknowledge[" + strconv.Itoa(i) + "].rule"},
		What:     protocol.Message{ID: rule, Args: map[string]any{"rule": a.Rule}},
		Why:      protocol.Message{ID: rule + ".why"},
		Hint:     protocol.Message{ID: rule + ".hint"},
		Subject:  subject,
	}
}

// ids lists the ids of the rows that only warn: those that an acknowledgment
// may have meant.
func ids() []string {
	var out []string
	for _, l := range table {
		if l.Severity == protocol.Warning {
			out = append(out, l.ID)
		}
	}
	return out
}
