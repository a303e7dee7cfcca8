package record

import (
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// Training is what is written down when somebody learns a protocol: the steps, and
// questions whose right answers are those of one batch.
type Training struct {
	Lessons []Lesson
	Choices []Choice
	Written []Written
}

// Lesson is one step as it is trained.
type Lesson struct {
	Number   int
	Title    protocol.Message
	Station  work.Station
	Role     work.Role
	Critical bool
}

// Choice is a question with answers to choose from, of which one is right.
type Choice struct {
	Name    string
	Step    int
	Ask     protocol.Message
	Answers []protocol.Message
	Right   int // index into Answers
}

// Written is a question whose answer is written down.
type Written struct {
	Step        int
	Ask, Answer protocol.Message
}

// Train makes the training of a batch that is told as a procedure. What is asked in
// writing is what the trainer's page asks at the critical steps, where a wrong
// answer costs the most.
func Train(p procedure.Procedure) Training {
	var t Training
	for _, s := range p.Steps {
		t.Lessons = append(t.Lessons, Lesson{s.Number, s.Title, s.Station, s.Role, s.Critical})
		if s.Critical && s.Ask.ID != "" && s.Answer.ID != "" {
			t.Written = append(t.Written, Written{s.Number, s.Ask, s.Answer})
		}
	}
	t.Choices = choose(p)
	return t
}
