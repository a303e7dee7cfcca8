package leaf

import (
	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/work"
)

// SterilizerCardPath is the card of a protocol that hangs at its sterilizer:
// what to do when a run goes wrong.
func SterilizerCardPath(name string) string { return name + "/sterilizer-card.html" }

// faultAnchor is where a fault stands on it.
func faultAnchor(name string) string { return "fault-" + name }

// sterilizerCard is one page to print and hang up.
type sterilizerCard struct {
	frame
	ProtocolTitle string
	Lead          string
	Beside        []link
	Hazards       []hazardGroup
	Figures       []procedure.RunFigure
	Moments       []faultMoment
	Meanings      []procedure.Meaning
}

// faultMoment is the faults that are seen in one part of a run.
type faultMoment struct {
	ID, Name string
	Faults   []fault
}

type fault struct {
	procedure.Fault
	Anchor string
}

// SterilizerCard sets the card for the sterilizer of a batch's protocol. It
// holds for every size of batch.
func SterilizerCard(e Edition, b *batch.Batch, method Method) ([]byte, error) {
	pr := b.Process.Input.Protocol
	told := procedure.RunCardOf(b)
	page := sterilizerCard{
		frame: e.frameOf(pr, SterilizerCardPath(pr.Name), "sterilizer-card", e.say("book.fault.title", "title", pr.Title),
			e.say("book.fault.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Lead:          e.say("book.fault.lead", "sterilizer", b.Process.Sterilizer.Name),
		Beside:        e.otherPages(pr.Name, SterilizerCardPath(pr.Name), local),
		Figures:       told.Figures,
		Meanings:      told.Meanings,
	}
	for _, h := range told.Safety { // they come sorted by signal word
		if n := len(page.Hazards); n == 0 || page.Hazards[n-1].Signal != h.Signal {
			page.Hazards = append(page.Hazards, hazardGroup{Signal: h.Signal})
		}
		last := &page.Hazards[len(page.Hazards)-1]
		last.Lines = append(last.Lines, hazardLine{Text: h.Text})
	}
	for _, f := range told.Faults {
		if n := len(page.Moments); n == 0 || page.Moments[n-1].ID != string(f.Moment) {
			page.Moments = append(page.Moments, faultMoment{ID: string(f.Moment), Name: e.say("book.fault." + string(f.Moment))})
		}
		last := &page.Moments[len(page.Moments)-1]
		last.Faults = append(last.Faults, fault{f, faultAnchor(f.Name)})
	}
	return e.html("sterilizer-card", page)
}

// inTheRun are the steps at which the card for the sterilizer is reached for.
var inTheRun = map[work.StepID]bool{work.Vent: true, work.Sterilize: true, work.PressureOff: true, work.Unload: true}

// cardsBeside links a step to the cards for what may be seen there, the one at
// the sterilizer first.
func (e Edition) cardsBeside(b *batch.Batch, st procedure.Step, cards map[work.StepID][]link) []link {
	if !inTheRun[st.ID] {
		return cards[st.ID]
	}
	card := link{local(SterilizerCardPath(b.Process.Input.Protocol.Name)), e.say("book.fault.more")}
	return append([]link{card}, cards[st.ID]...)
}
