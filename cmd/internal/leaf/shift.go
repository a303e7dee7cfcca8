package leaf

import "bottlecrop/cmd/internal/protocol"

// ShiftPath is the page with which a day begins.
const ShiftPath = "start-of-shift.html"

// shiftPage is the check of the tools at the start of a day, for a pen: what the
// protocols of the farm say at that step, each thing once.
type shiftPage struct {
	frame
	Safety []safety
	Rows   []shiftRow
	Do     []protocol.Message
	Limit  protocol.Message
	IfOff  protocol.Message
}

// shiftRow is one tool with what it must read.
type shiftRow struct {
	Tool   protocol.Message
	Must   figure
	Remark protocol.Message
}

// Shift sets the page of the start of a shift, for all sterilizers and scales
// that the farm's protocols use. There must be one at least.
func Shift(e Edition, gists []Gist) ([]byte, error) {
	page := shiftPage{frame: e.frame(ShiftPath, "shift", e.say("book.shift"), e.say("book.shift"), "")}
	seen := map[string]bool{}
	once := func(text string) bool {
		before := seen[text]
		seen[text] = true
		return !before
	}
	for _, g := range gists {
		s := g.start
		page.Limit, page.IfOff = s.Limit, s.IfOff
		for _, m := range s.Safety {
			if text := e.Voice.Say(m.Text); once(text) {
				first, rest := Sentences(text)
				page.Safety = together(page.Safety, m.Signal, safetyText{first, rest})
			}
		}
		for _, a := range s.Amounts {
			if once(e.Voice.Say(a.What) + e.show(a.Amount)) {
				page.Rows = append(page.Rows, shiftRow{a.What, e.figure(a.Amount), a.Remark})
			}
		}
		for _, d := range s.Do {
			if once(e.Voice.Say(d)) {
				page.Do = append(page.Do, d)
			}
		}
	}
	return e.html("shift", page)
}
