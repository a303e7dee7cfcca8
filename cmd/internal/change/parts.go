package change

import (
	"strings"

	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// Part is one part of a step.
type Part string

// The parts, in the order of a sheet and then of the trainer's page.
const (
	Who     Part = "who" // station and role
	Title   Part = "title"
	When    Part = "when"
	Safety  Part = "safety" // the cautions
	Amounts Part = "amounts"
	Do      Part = "do"
	Prose   Part = "prose"
	Limit   Part = "limit"
	Check   Part = "check"
	IfOff   Part = "if-off"
	Looks   Part = "looks"
	Time    Part = "time" // hands-on or waiting
	Why     Part = "why"
	Wrong   Part = "wrong"
	Ask     Part = "ask" // with the answers
)

// Parts lists every part.
func Parts() []Part {
	return []Part{Who, Title, When, Safety, Amounts, Do, Prose, Limit, Check, IfOff, Looks, Time, Why, Wrong, Ask}
}

// parts are a step's parts as they are read. A part of several sentences has one on
// each line.
func parts(s procedure.Step, v *words.Voice) map[Part]string {
	out := map[Part]string{
		Who:   string(s.Station) + "\n" + string(s.Role),
		Title: v.Say(s.Title), When: v.Say(s.When), Do: say(v, s.Do...), Prose: v.Say(s.Prose),
		Limit: v.Say(s.Limit), Check: v.Say(s.Check), IfOff: v.Say(s.IfOff), Why: v.Say(s.Why), Wrong: v.Say(s.Wrong),
	}
	if s.Time.Value != 0 {
		out[Time] = s.Time.Show(v.Units())
	}
	var cautions, amounts, looks []string
	for _, x := range s.Safety {
		cautions = append(cautions, v.Say(words.Message("compare.row.caution", "signal", words.Message("book.signal."+string(x.Signal)), "text", x.Text)))
	}
	for _, x := range s.Amounts {
		row := words.Message("compare.row.amount", "what", x.What, "amount", x.Amount)
		if x.Remark.ID != "" {
			row = words.Message("compare.row.remarked", "what", x.What, "amount", x.Amount, "remark", x.Remark)
		}
		amounts = append(amounts, v.Say(row))
	}
	for _, x := range s.Looks {
		row := x.Text
		if x.Of.ID != "" {
			row = words.Message("compare.row.look", "of", x.Of, "text", x.Text)
		}
		looks = append(looks, v.Say(row))
	}
	out[Safety], out[Amounts] = strings.Join(cautions, "\n"), strings.Join(amounts, "\n")
	out[Looks] = strings.Join(append([]string{v.Say(s.LooksOf)}, looks...), "\n")
	asked := []protocol.Message{s.Ask, s.Answer}
	for _, q := range s.More {
		asked = append(asked, q.Ask, q.Answer)
	}
	out[Ask] = say(v, asked...)
	return out
}

func say(v *words.Voice, list ...protocol.Message) string {
	var out []string
	for _, m := range list {
		out = append(out, v.Say(m))
	}
	return strings.Join(out, "\n")
}
