package probe

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/protocol"
)

type args = map[string]any

// report collects findings. Of one rule the first few are kept one by one; the
// rest are counted, with the place of the last.
type report struct {
	file     string
	findings []protocol.Finding
	failed   bool // an error is among them
	count    map[string]int
	last     map[string]last
}

// last is where a rule was broken last, of those that are only counted.
type last struct {
	severity protocol.Severity
	at       spot
}

// spot is a cell, or a line where cell is −1.
type spot struct {
	line  int // from 1; 0 is the file as a whole
	text  string
	cell  int // from 0
	delim byte
}

func (r *report) add(s protocol.Severity, rule string, at spot, a args, hint string, with args) {
	if r.count == nil {
		r.count, r.last = map[string]int{}, map[string]last{}
	}
	r.count[rule]++
	r.failed = r.failed || s == protocol.Error
	if r.count[rule] > MostOfARule {
		r.last[rule] = last{s, at}
		return
	}
	f := protocol.Finding{
		Severity: s,
		Rule:     "probe." + rule,
		Place:    at.place(r.file),
		What:     protocol.Message{ID: "probe." + rule, Args: a},
	}
	if hint != "" {
		f.Hint = protocol.Message{ID: "probe.hint." + hint, Args: with}
	}
	r.findings = append(r.findings, f)
}

// whole adds a finding about the file as a whole.
func (r *report) whole(s protocol.Severity, rule string, a args, hint string) {
	r.add(s, rule, spot{}, a, hint, nil)
}

func (r *report) done() []protocol.Finding {
	for rule, l := range r.last {
		l.at.cell = -1
		r.findings = append(r.findings, protocol.Finding{
			Severity: l.severity,
			Rule:     "probe." + rule,
			Place:    l.at.place(r.file),
			What:     protocol.Message{ID: "probe.more", Args: args{"n": r.count[rule] - MostOfARule}},
		})
	}
	protocol.Sort(r.findings)
	return r.findings
}

// longestShown is how many characters of a line or a cell are shown.
const longestShown = 120

func (s spot) place(file string) protocol.Place {
	p := protocol.Place{File: file, Line: s.line, Text: short(s.text)}
	if s.line > 0 && s.cell >= 0 {
		from, to := cellAt(s.text, s.delim, s.cell)
		p.Column = utf8.RuneCountInString(s.text[:from]) + 1
		p.EndColumn = utf8.RuneCountInString(s.text[:to]) + 1
	}
	return p
}

// short cuts a text for showing.
func short(s string) string {
	s = strings.ReplaceAll(s, "\t", " ")
	if utf8.RuneCountInString(s) <= longestShown {
		return s
	}
	return string([]rune(s)[:longestShown]) + "…"
}

func printable(b byte) string {
	if b > ' ' && b < 0x7f {
		return string(rune(b))
	}
	return fmt.Sprintf("0x%02X", b)
}
