package leaf

import (
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// authored is one step that a protocol replaces, adds or skips.
type authored struct{ Step, What, How string }

// authored lists what a protocol's author made of the book's steps: entry by
// entry, then the skips.
func (e Edition) authored(p protocol.Protocol) []authored {
	var out []authored
	for _, s := range p.Steps {
		var parts, more []string // keys, each once
		for _, l := range s.Lines() {
			key, _, _ := strings.Cut(l.Key, "[")
			list := &parts
			if key == "prose" || key == "caution" {
				list = &more
			}
			if !slices.Contains(*list, key) {
				*list = append(*list, key)
			}
		}
		row := authored{Step: s.ID, What: e.say("book.authored.replaced")}
		switch {
		case s.After != "":
			row.What, row.How = e.say("book.authored.added"), e.say("book.authored.after", "step", s.After)
		case s.Before != "":
			row.What, row.How = e.say("book.authored.added"), e.say("book.authored.before", "step", s.Before)
		case len(more) == 0:
			row.How = e.say("book.authored.parts", "parts", e.Voice.List(parts))
		case len(parts) == 0:
			row.What, row.How = e.say("book.authored.added"), e.say("book.authored.more", "parts", e.Voice.List(more))
		default:
			row.How = e.say("book.authored.both", "parts", e.Voice.List(parts), "more", e.Voice.List(more))
		}
		out = append(out, row)
	}
	for _, s := range p.Skips {
		out = append(out, authored{s.Step, e.say("book.authored.skipped"),
			e.say("book.authored.reason", "reason", s.Reason, "who", s.Who, "on", s.On)})
	}
	return out
}
