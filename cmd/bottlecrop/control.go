package main

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// control judges a protocol as a document: its version, its dates, and whether it
// still means what was approved. The version must rise with the meaning; a change of
// words, prices or order is none.
func (f *farm) control(p protocol.Protocol) []protocol.Finding {
	var out []protocol.Finding
	add := func(severity protocol.Severity, rule, key string, pairs ...any) {
		pairs = append(pairs, "protocol", p.Name)
		out = append(out, protocol.Finding{Severity: severity, Rule: "control." + rule, Subject: p.Name,
			Origin: working.Origin{Document: protocol.Document(p.Name), Key: key},
			What:   words.Message("finding.control."+rule, pairs...), Hint: words.Message("finding.control."+rule+".hint", pairs...)})
	}
	c, a := p.Control, p.Approval
	if c != nil && !protocol.IsVersion(c.Version) {
		add(protocol.Error, "version", "document.version", "found", c.Version)
	}
	switch p.Standing(f.fingerprint(p.Name)) {
	case protocol.Unapproved:
		add(protocol.Warning, "unapproved", "document")
	case protocol.ChangedSince:
		add(protocol.Warning, "changed", "approval.fingerprint", "by", a.By, "date", a.On)
		if c != nil && protocol.IsVersion(c.Version) && !protocol.NewerVersion(c.Version, a.Version) {
			add(protocol.Warning, "not_risen", "document.version", "found", c.Version, "version", a.Version)
		}
	}
	if c != nil && a != nil {
		if c.From != "" && c.From < a.On { // days as ISO 8601 has them are in the order of their texts
			add(protocol.Warning, "before", "document.in_force_from", "found", c.From, "date", a.On)
		}
		if c.Owner == a.By {
			add(protocol.Note, "self", "approval.by", "by", a.By)
		}
	}
	if today := f.today(nil); c != nil && c.Review != "" && today != nil && c.Review < today.String() {
		add(protocol.Warning, "old", "document.review_by", "found", c.Review, "today", today.String())
	}
	if c != nil && c.From != "" && c.Review != "" && c.Review < c.From {
		add(protocol.Warning, "review", "document.review_by", "found", c.Review, "date", c.From)
	}
	return out
}

// approving is what check --approve was asked for.
type approving struct{ protocol, by, on string }

// mostName is how long a name of a person may be, as protocol.Approval has it.
const mostName = 60

func (x approving) read() error {
	if x.protocol == "" {
		for flag, text := range map[string]string{"--by": x.by, "--on": x.on} {
			if text != "" {
				return usage(words.Message("approve.only", "flag", flag))
			}
		}
		return nil
	}
	if x.by == "" || x.on == "" {
		return usage(words.Message("approve.needs"))
	}
	if _, err := calendar.Parse(x.on); err != nil {
		return usage(words.Message("approve.date", "found", x.on))
	}
	if len([]rune(x.by)) > mostName || strings.TrimSpace(x.by) == "" || strings.ContainsFunc(x.by, func(r rune) bool { return !strconv.IsPrint(r) || r == unicode.ReplacementChar }) {
		return usage(words.Message("approve.name", "found", strconv.Quote(x.by)))
	}
	return nil
}

// approve writes into a protocol's file who approved it, when and what, and leaves
// every other byte as it is.
func (t *terminal) approve(ctx context.Context, s *settings, f *farm, x approving, w *writing) error {
	i := slices.IndexFunc(f.folder.Protocols, func(p protocol.Protocol) bool { return p.Name == x.protocol })
	f.findings = f.of(x.protocol)
	if protocol.Worst(f.findings) == protocol.Error {
		t.findings(f.voice, f.findings, false)
		return fail(atFault, words.Message("approve.faulty", "protocol", x.protocol))
	}
	if i < 0 {
		return f.noProtocol(x.protocol)
	}
	p := f.folder.Protocols[i]
	file, now := protocol.Document(p.Name), f.folder.Fingerprint(p.Name)
	shown := t.fromHere(protocol.Place{File: file}).File
	a := p.Approval
	switch {
	case p.Control == nil:
		return &failure{atFault, words.Message("approve.no_version", "protocol", p.Name), words.Message("approve.no_version.hint", "file", shown)}
	case p.Standing(now) == protocol.Approved && a.Version == p.Control.Version:
		t.say(f.voice, "approve.same", "protocol", p.Name, "version", a.Version, "by", a.By, "date", a.On)
		return nil
	case p.Standing(now) == protocol.ChangedSince && !protocol.NewerVersion(p.Control.Version, a.Version):
		return &failure{atFault, words.Message("approve.not_risen", "protocol", p.Name, "version", a.Version, "found", p.Control.Version),
			words.Message("approve.not_risen.hint", "version", a.Version, "file", shown)}
	}
	if p.Standing(now) == protocol.ChangedSince && !protocol.NewerFirst(p.Control.Version, a.Version) {
		number, what, _, err := f.risen(ctx, s, headRevision, p)
		if err != nil {
			return err
		}
		if number == change.First {
			return &failure{atFault, words.Message("approve.not_risen_first", "what", what, "version", a.Version, "found", p.Control.Version),
				words.Message("approve.not_risen_first.hint", "version", a.Version, "file", shown)}
		}
	}
	if w.err != nil {
		return w.err
	}
	w.text = w.held.Text
	for _, v := range [][2]string{{"by", x.by}, {"on", x.on}, {"version", p.Control.Version}, {"fingerprint", now}} {
		var err error
		if w.text, err = farmfile.Set(w.text, "approval."+v[0], v[1]); err != nil {
			return fail(atFault, words.Message("approve.form", "file", shown, "error", strings.TrimPrefix(err.Error(), "farmfile: ")))
		}
	}
	if err := w.put(ctx); err != nil {
		return err
	}
	t.say(f.voice, "approve.done", "protocol", p.Name, "version", p.Control.Version, "fingerprint", f.folder.ShortFingerprint(p.Name),
		"by", x.by, "date", x.on, "file", shown)
	return nil
}
