package protocol

import "bottlecrop/cmd/internal/unit"

// Step is one [[step]] of a protocol, in the author's words. With the id of one
// of the book's steps, what is written here stands in place of that part of it;
// with another id it is a step of the farm's own, which stands right after or
// right before another.
//
// Texts may name facts of the batch in braces, {scrape_depth}; {{ and }} are
// braces as such. Prose is Markdown.
type Step struct {
	ID        string         `toml:"id" validate:"required,id,max=30"`
	After     string         `toml:"after" validate:"excluded_with=Before"`
	Before    string         `toml:"before"`
	Role      string         `toml:"role"`       // left out, that of the step that it stands by
	Takes     *unit.Duration `toml:"takes"`      // hands-on time, once a batch
	TakesEach *unit.Duration `toml:"takes_each"` // and for each vessel
	Title     string         `toml:"title" validate:"min=3,max=60" prose:"true"`
	When      string         `toml:"when" validate:"min=3,max=200" prose:"true"`
	Do        []string       `toml:"do" validate:"min=1,max=20,dive,min=3,max=300" prose:"true"`
	Limit     string         `toml:"limit" validate:"min=3,max=300" prose:"true"`
	Check     string         `toml:"check" validate:"min=3,max=300" prose:"true"`
	IfOff     string         `toml:"if_off" validate:"min=3,max=300" prose:"true"`
	Why       string         `toml:"why" validate:"min=3,max=400" prose:"true"`
	Wrong     string         `toml:"wrong" validate:"min=3,max=400" prose:"true"`
	Ask       string         `toml:"ask" validate:"min=3,max=300" prose:"true"`
	Answer    string         `toml:"answer" validate:"min=3,max=400" prose:"true"`
	Prose     string         `toml:"prose" validate:"min=3,max=4000" prose:"true"`
	Cautions  []Caution      `toml:"caution" validate:"max=5,dive"`
}

// Caution is one [[step.caution]]: it is added to those of the step, and stands
// before the action like them. Its first sentence is the hazard.
type Caution struct {
	Signal string `toml:"signal" validate:"required,oneof=danger warning caution notice"`
	Text   string `toml:"text" validate:"required,min=10,max=300" prose:"caution"`
}

// Skip is one [[skip]]: a step of the book's that this farm does not do, and who
// answers for that.
type Skip struct {
	Step   string `toml:"step" validate:"required"`
	Reason string `toml:"reason" validate:"required,min=10,max=300" method:"-" prose:"true"`
	Who    string `toml:"who" validate:"required,max=60" method:"-" prose:"name"`
	On     string `toml:"on" validate:"required,datetime=2006-01-02" method:"-"`
}

// Line is one text of a step with the key that it stands under, below the step:
// "title", "do[1]", "caution[0].text".
type Line struct{ Key, Text string }

// Lines lists the texts of a step that were written, in the order of the sheet.
func (s Step) Lines() []Line {
	var out []Line
	add := func(key, text string) {
		if text != "" {
			out = append(out, Line{key, text})
		}
	}
	add("title", s.Title)
	add("when", s.When)
	for i, c := range s.Cautions {
		add(Item("caution", i)+".text", c.Text)
	}
	for i, d := range s.Do {
		add(Item("do", i), d)
	}
	add("limit", s.Limit)
	add("check", s.Check)
	add("if_off", s.IfOff)
	add("prose", s.Prose)
	add("why", s.Why)
	add("wrong", s.Wrong)
	add("ask", s.Ask)
	add("answer", s.Answer)
	return out
}
