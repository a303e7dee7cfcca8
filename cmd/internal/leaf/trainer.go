package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// TrainerPath is the page for whoever trains somebody in a protocol.
func TrainerPath(name string) string { return name + "/trainer.html" }

// trainer is what the sheet does not say: why each step is there, what goes
// wrong, what to ask and the right answer.
type trainer struct {
	frame
	ProtocolTitle string
	Size          int
	Many          string
	Sheet         link
	Beside        []link
	Stations      []lessonStation
}

type lessonStation struct {
	ID, Name string
	Role     string // who works there
	Steps    []lesson
}

type lesson struct {
	Number     int
	Href       string // of the step on the sheet
	Title      protocol.Message
	Critical   bool
	Why, Wrong protocol.Message
	Ask        protocol.Message
	Answer     protocol.Message
	More       []procedure.Question // to ask besides
	Pictures   []picture            // may be empty
}

// Trainer sets the trainer's page of a protocol. Its answers hold for the batch
// that the procedure tells.
func Trainer(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	b := p.Batch
	pr := b.Process.Input.Protocol
	sheet := local(SheetPath(pr.Name, b.Vessels))
	page := trainer{
		frame:         e.frameOf(pr, TrainerPath(pr.Name), "trainer", e.say("book.trainer.title", "title", pr.Title), e.say("book.trainer.id", "document", pr.Name), method),
		ProtocolTitle: pr.Title,
		Size:          b.Vessels,
		Many:          b.Process.Vessel.Called(b.Vessels),
		Sheet:         link{sheet, e.say("book.trainer.sheet", "size", e.sizeOf(b))},
		Beside:        e.otherPages(pr.Name, TrainerPath(pr.Name), local),
	}
	pictured := work.FillVessels // where the trainer shows the vessel cut open: with its bore, or without one
	if b.Process.Setting().Bored {
		pictured = work.BoreHoles
	}
	drawn := e.illustrations(p)
	for i, s := range p.Steps {
		if i == 0 || s.Station != p.Steps[i-1].Station {
			page.Stations = append(page.Stations, lessonStation{
				ID: "station-" + strconv.Itoa(len(page.Stations)+1), Name: e.say("station." + string(s.Station)),
				Role: e.say("role." + string(s.Role)),
			})
		}
		var shown []picture
		if s.ID == pictured {
			shown = append(shown, e.vesselPicture(b.Process))
		}
		for _, i := range drawn {
			if i.Step == s.ID {
				shown = append(shown, i.Picture)
			}
		}
		last := &page.Stations[len(page.Stations)-1]
		last.Steps = append(last.Steps, lesson{
			Number: s.Number, Href: sheet + "#step-" + strconv.Itoa(s.Number), Title: s.Title, Critical: s.Critical,
			Why: s.Why, Wrong: s.Wrong, Ask: s.Ask, Answer: s.Answer, More: s.More, Pictures: shown,
		})
	}
	return e.html("trainer", page)
}
