package leaf

import (
	"slices"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// ReleasePath is the page with which a harvest lot of a protocol is released.
func ReleasePath(name string) string { return name + "/release.html" }

// release is a page for a pen: what a harvest lot is, what was checked, what the
// buyer is told, and who let it go.
type release struct {
	frame
	ProtocolTitle string
	Beside        []link
	Species       string
	Scientific    string
	Law           safety
	Checks        []releaseCheck
	Allergens     []allergenRow
}

// releaseCheck is one thing that must be so before a lot may go.
type releaseCheck struct {
	Name  string
	Limit protocol.Message
	Step  int // of the sheet; 0 where it is of no step of its own
}

type allergenRow struct{ Name, From string }

// allergenOrder is the order in which allergens are told.
var allergenOrder = []string{"soy", "wheat", "gluten"}

// Release sets the release page of a protocol. Its limits are those of the
// steps at which the crop is picked and packed.
func Release(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	pr := p.Batch.Process.Input.Protocol
	page := release{
		frame:         e.frameOf(pr, ReleasePath(pr.Name), "release", e.say("book.release.title", "title", pr.Title), e.say("book.release.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Beside:        e.otherPages(pr.Name, ReleasePath(pr.Name), local),
		Species:       p.Batch.Process.Species.Common,
		Scientific:    p.Batch.Process.Species.Scientific,
		Law:           safety{procedure.Notice, []safetyText{{e.say("book.release.law"), []string{e.say("book.release.law.more")}}}},
		Allergens:     e.allergenRows(p.Batch.Process),
	}
	for _, s := range p.Steps {
		if s.Station == work.Packing && s.ID != work.Release {
			page.Checks = append(page.Checks, releaseCheck{e.Voice.Say(s.Title), s.Limit, s.Number})
		}
	}
	return e.html("release", page)
}

// allergenRows says which allergens the formula holds, and in which of its
// ingredients. Wheat holds gluten, so an ingredient with wheat stands there.
func (e Edition) allergenRows(p *process.Process) []allergenRow {
	var out []allergenRow
	for _, a := range allergenOrder {
		var from []string
		for _, part := range p.Parts {
			if slices.Contains(part.Allergens, a) && (a != "gluten" || !slices.Contains(part.Allergens, "wheat")) {
				from = append(from, part.Name)
			}
		}
		if len(from) > 0 {
			out = append(out, allergenRow{e.say("book.release.allergen." + a), e.Voice.List(from)})
		}
	}
	return out
}
