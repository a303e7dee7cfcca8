package leaf

import (
	"slices"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
)

// VersionsPath is the page of the versions that a protocol had.
func VersionsPath(name string) string { return name + "/versions.html" }

// Past is what is known of a protocol's versions.
type Past struct {
	Until protocol.Message   // up to which commit
	Rows  []PastRow          // the newest first
	Notes []protocol.Message // batches of no version that is known, and what else is to be known
}

// PastRow is one version.
type PastRow struct {
	From, Commit, Subject string           // of its first commit; empty for the folder as it is
	What                  protocol.Message // its fingerprint and its version, or what else it was
	About                 []protocol.Message
	Made                  []protocol.Message // batches
}

// versionsPage is for who asks what was in force when.
type versionsPage struct {
	frame
	ProtocolTitle string
	Beside        []link
	Until         string
	Rows          []pastRow
	Notes         []string
}

type pastRow struct {
	From, Commit, Subject string
	What                  string
	About                 []string
}

// Versions sets the page of a protocol's versions.
func Versions(e Edition, p *process.Process, past Past, method Method) ([]byte, error) {
	pr := p.Input.Protocol
	page := versionsPage{
		frame:         e.frameOf(pr, VersionsPath(pr.Name), "versions", e.say("book.versions.title", "title", pr.Title), e.say("book.versions.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Beside:        e.otherPages(pr.Name, VersionsPath(pr.Name), local),
		Until:         e.Voice.Say(past.Until),
		Notes:         e.lines(past.Notes),
	}
	for _, r := range past.Rows {
		page.Rows = append(page.Rows, pastRow{r.From, r.Commit, r.Subject, e.Voice.Say(r.What), e.lines(slices.Concat(r.About, r.Made))})
	}
	return e.html("versions", page)
}

func (e Edition) lines(list []protocol.Message) []string {
	var out []string
	for _, m := range list {
		out = append(out, e.Voice.Say(m))
	}
	return out
}

// hasPast is true where the book tells the versions of a protocol.
func hasPast(e Edition, protocol string) bool { return slices.Contains(e.Past, protocol) }
