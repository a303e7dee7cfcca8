package leaf

import (
	"strconv"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/record"
	"bottlecrop/cmd/internal/work"
)

// trainingPath is the record of a training on the sheet for a number of vessels.
func trainingPath(name string, vessels int) string {
	return ofSize(name, "training", vessels)
}

// trainingKeyPath is the right answers to its questions.
func trainingKeyPath(name string, vessels int) string {
	return ofSize(name, "training-key", vessels)
}

// training is the record of a training, and its key: the same questions with and
// without their answers.
type training struct {
	batchFrame
	Documents []link
	Trainer   link
	Sheet     string // for links to its steps
	Stations  []trainedStation
	Choices   []trainedChoice
	Written   []trainedWritten
	Pass      string // what is asked for
	Again     string // when to train again
	Key       bool
}

type trainedStation struct {
	Name, Role string
	Lessons    []record.Lesson
}

type trainedChoice struct {
	Number  int
	Step    int
	Ask     protocol.Message
	Answers []trainedAnswer
}

type trainedWritten struct {
	Number int // going on from the questions before
	record.Written
}

type trainedAnswer struct {
	Letter string
	Text   protocol.Message
	Right  bool
}

// Training sets the record of a training; it does not say which answers are right.
func Training(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	b := p.Batch
	return e.html("training", e.training(p, trainingPath(b.Process.Input.Protocol.Name, b.Vessels), "training", method))
}

// TrainingKey sets the right answers.
func TrainingKey(e Edition, p procedure.Procedure, method Method) ([]byte, error) {
	b := p.Batch
	return e.html("training-key", e.training(p, trainingKeyPath(b.Process.Input.Protocol.Name, b.Vessels), "training_key", method))
}

func (e Edition) training(p procedure.Procedure, path, kind string, method Method) training {
	b := p.Batch
	pr := b.Process.Input.Protocol
	t := record.Train(p)
	page := training{
		batchFrame: e.frameOfBatch(b, path, "training", kind, method),
		Documents:  e.documents(b, path),
		Trainer:    link{local(TrainerPath(pr.Name)), e.say("book.trainer.kind")},
		Sheet:      local(SheetPath(pr.Name, b.Vessels)),
		Pass:       e.say("book.training.pass", "n", len(t.Choices)+len(t.Written)),
		Key:        kind == "training_key",
		Again:      e.say("book.training.again", "fingerprint", method.Short),
	}
	var station work.Station
	for _, l := range t.Lessons {
		if l.Station != station {
			station = l.Station
			page.Stations = append(page.Stations, trainedStation{Name: e.say("station." + string(l.Station)), Role: e.say("role." + string(l.Role))})
		}
		last := &page.Stations[len(page.Stations)-1]
		last.Lessons = append(last.Lessons, l)
	}
	for i, w := range t.Written {
		page.Written = append(page.Written, trainedWritten{len(t.Choices) + i + 1, w})
	}
	for i, c := range t.Choices {
		x := trainedChoice{Number: i + 1, Step: c.Step, Ask: c.Ask}
		for j, a := range c.Answers {
			x.Answers = append(x.Answers, trainedAnswer{e.say("book.training.letter." + strconv.Itoa(j+1)), a, j == c.Right})
		}
		page.Choices = append(page.Choices, x)
	}
	return page
}
