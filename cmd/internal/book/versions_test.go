package book_test

import (
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// withPast gives a protocol versions of each kind, so that every check of pages meets
// their page. They are made up: what git knows of this repository changes daily.
func withPast(in *book.Input, say func(string) string) {
	message := words.Message
	row := func(day, subject string, what protocol.Message, about ...protocol.Message) leaf.PastRow {
		return leaf.PastRow{From: day, Commit: "5d0c1f2a9e", Subject: say(subject), What: what, About: about}
	}
	e := &in.Entries[0]
	approved := message("history.approved", "by", say("A. Keeper"), "date", "2026-03-19", "version", "2")
	past := leaf.Past{
		Until: message("history.of_branch", "protocol", e.Method.Protocol, "n", 7, "commit", "5d0c1f2a9e", "date", "2026-03-21", "branch", "main"),
		Rows: []leaf.PastRow{
			{What: message("history.method_version", "fingerprint", "4f2a-91c0", "version", "3"), About: []protocol.Message{
				message("history.changed", "by", say("A. Keeper"), "date", "2026-03-19", "version", "2")}},
			row("2026-03-20", "Held longer", message("history.method_version", "fingerprint", "a157-98bc", "version", "2"), approved),
			row("2026-03-19", "Named anew", message("history.method", "fingerprint", "a98a-cf22"), message("history.name", "name", "old-name"), message("history.not_approved")),
			row("2026-03-18", "Given up", message("history.gone")),
			row("2026-03-17", "A slip", message("history.faulty", "n", 4)),
			row("2026-03-16", "Renamed", message("history.renamed", "name", "new-name")),
			row("2026-03-12", "A trial", message("history.method", "fingerprint", "b620-b9c7"), message("history.side"), message("history.not_approved")),
		},
		Notes: []protocol.Message{message("history.made.not_known", "n", 1, "codes", "E-1"), message("history.made.none_then", "n", 2, "codes", "E-2, E-3"), message("history.is_shallow")},
	}
	past.Rows[1].Made = []protocol.Message{message("history.made.method", "n", 1, "codes", "E-4"), message("history.made.day", "n", 1, "codes", "E-5"), message("history.made.perhaps", "n", 1, "codes", "E-6")}
	e.Past, in.Past = &past, []string{e.Method.Protocol}
}
