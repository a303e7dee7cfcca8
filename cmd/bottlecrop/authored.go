package main

import (
	"io/fs"
	"slices"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// authored judges what a protocol's author wrote of its steps: sentences that
// name what is not there, and prose whose links lead nowhere.
func (f *farm) authored(p *process.Process) []protocol.Finding {
	out := procedure.Judge(p)
	isGuide := func(name string) bool {
		return slices.ContainsFunc(f.guides, func(g book.Guide) bool { return g.Name == name })
	}
	pr := p.Input.Protocol
	for _, s := range p.Steps() {
		if s.Written == nil {
			continue
		}
		if x, over := prose.TooMuch([]byte(s.Written.Prose)); over {
			out = append(out, protocol.Finding{
				Severity: protocol.Error, Rule: "prose." + x.Of, Subject: pr.Name,
				Origin: working.Origin{Document: p.Input.Document(), Key: s.Key + ".prose"},
				What:   words.Message("page."+x.Of, "found", x.Found, "most", x.Most), Hint: words.Message("page." + x.Of + ".hint"),
			})
			continue
		}
		for _, x := range prose.Faults(s.Written.Prose, isGuide) {
			out = append(out, protocol.Finding{
				Severity: protocol.Error, Rule: x.Rule, Subject: pr.Name,
				Origin: working.Origin{Document: p.Input.Document(), Key: s.Key + ".prose"},
				What:   words.Message(x.Rule, "found", x.Of), Hint: words.Message(x.Rule + ".hint"),
			})
		}
	}
	for i, x := range out {
		for _, name := range []string{"found", "near", "what"} {
			if part, ok := x.What.Args[name].(string); ok {
				out[i].Place = f.within(f.place(x), part)
			}
		}
	}
	return out
}

// within is where a part of a text stands that begins at a place, on that line or
// one below it; where it is written in another way, with escapes, it is the place.
func (f *farm) within(at protocol.Place, part string) protocol.Place {
	source, read := f.sources.Load(at.File)
	if !read {
		text, err := fs.ReadFile(f.fsys, at.File)
		if err != nil {
			return at // gone or closed since it was read: the line is known
		}
		source, _ = f.sources.LoadOrStore(at.File, string(text))
	}
	lines := strings.Split(source.(string), "\n")
	part = strings.TrimSuffix(part, "…")
	for i := max(at.Line-1, 0); i < len(lines) && at.Line > 0; i++ {
		line, from := lines[i], 0
		if i == at.Line-1 { // the key stands before the value
			from = len(string([]rune(line)[:min(at.Column-1, utf8.RuneCountInString(line))]))
		}
		if j := strings.Index(line[from:], part); j >= 0 {
			column := utf8.RuneCountInString(line[:from+j]) + 1
			return protocol.Place{File: at.File, Line: i + 1, Column: column,
				EndColumn: column + utf8.RuneCountInString(part), Text: strings.TrimSuffix(line, "\r")}
		}
	}
	return at
}
