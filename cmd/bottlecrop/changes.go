package main

import (
	"context"
	"errors"
	"slices"
	"strconv"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// side is one of the farm's protocols as a comparison takes it, in the words of a
// language.
func (f *farm) side(name, tag string) change.Side {
	folder := f.folderIn(tag)
	out := change.Side{Farm: folder.Farm, Library: folder.Library, Others: map[string]protocol.Protocol{}, Logs: map[string]change.Log{}}
	for _, p := range folder.Protocols {
		if p.Name == name {
			out.Protocol = p
		}
		for _, e := range folder.Farm.Evidence {
			if e.Protocol == p.Name && p.Name != name {
				out.Others[p.Name] = p
			}
		}
	}
	for _, e := range f.evidence {
		out.Logs[e.ID] = change.Log{Document: farmfile.LogPath(e.Evidence), Vessel: e.Vessel, Chamber: e.Chamber}
	}
	return out
}

// folderIn is the folder in the words of a language.
func (f *farm) folderIn(tag string) *farmfile.Folder {
	if base(f.languages()[0]) == base(tag) && base(tag) == words.Original {
		return f.written
	}
	return f.written.Retold(f.told(tag))
}

// compared compares a protocol of the farm with what it was before, or with another, in
// the farm's voice.
func (f *farm) compared(after, before sided, n int) (leaf.Compared, error) {
	return compareIn(f.voice, after, before, n)
}

func compareIn(v *words.Voice, after, before sided, n int) (leaf.Compared, error) {
	was, is := before.farm.side(before.protocol, v.Tag()), after.farm.side(after.protocol, v.Tag())
	out := leaf.Compared{Before: before.label(v), After: after.label(v),
		PlaceBefore: before.farm.folder.Place, PlaceAfter: after.farm.folder.Place}
	var err error
	if out.Report, err = change.Compare(was, is, n, v); err != nil {
		return out, err
	}
	out.Rise, _, err = change.Rise(was, is, sizesOf(is.Protocol, n), v)
	return out, err
}

// sizesOf are the batch sizes by which a version is judged: the smallest and the largest
// that a protocol names, and one besides. Between them no step comes or goes.
func sizesOf(p protocol.Protocol, more ...int) []int {
	least, most := p.BatchSizes[0], p.BatchSizes[0]
	for _, n := range p.BatchSizes {
		least, most = min(least, n), max(most, n)
	}
	out := []int{least}
	for _, n := range append(more, most) {
		if n != least && n != out[len(out)-1] {
			out = append(out, n)
		}
	}
	return out
}

// approved is a protocol as it was approved, by the fingerprint that the approval holds;
// false where no state of the farm folder that git knows of has it.
func (f *farm) approved(ctx context.Context, s *settings, rev string, p protocol.Protocol) (sided, bool, error) {
	r, err := openHistory(ctx, s)
	var none *failure
	if errors.As(err, &none) {
		return sided{}, false, nil // no git, no repository, or none of ours: nobody can tell
	}
	if err != nil {
		return sided{}, false, err
	}
	defer r.Close()
	head, err := r.Resolve(ctx, rev)
	if err != nil {
		return sided{}, false, noHistory(err, s.farm)
	}
	lines, err := reader(r).Of(ctx, head, p.Name)
	if err != nil {
		return sided{}, false, noHistory(err, s.farm)
	}
	for _, v := range lines[0].Versions {
		if v.From.ID == "" || v.Method.Fingerprint != p.Approval.Fingerprint {
			continue
		}
		then, commit, err := openFarmAt(ctx, s, v.From.ID)
		if err != nil {
			return sided{}, false, err
		}
		if then.has(v.Name) {
			return sided{farm: then, protocol: v.Name, commit: &commit}, true, nil
		}
	}
	return sided{}, false, nil
}

// judgeVersions says of each protocol that has changed since its approval what kind of
// change that is, and whether its stated version has risen far enough: by its first
// number where a critical limit, a safety step or its amounts moved.
func (f *farm) judgeVersions(ctx context.Context, s *settings, rev string) error {
	var found []protocol.Finding
	for _, p := range f.folder.Protocols {
		if !f.folder.Usable || p.Standing(f.fingerprint(p.Name)) != protocol.ChangedSince {
			continue
		}
		number, what, before, err := f.risen(ctx, s, rev, p)
		if err != nil {
			return err
		}
		finding := func(severity protocol.Severity, rule, key string, pairs ...any) {
			pairs = append(pairs, "protocol", p.Name)
			found = append(found, protocol.Finding{Severity: severity, Rule: "control." + rule, Subject: p.Name,
				Origin: working.Origin{Document: protocol.Document(p.Name), Key: key},
				What:   words.Message("finding.control."+rule, pairs...), Hint: words.Message("finding.control."+rule+".hint", pairs...)})
		}
		switch {
		case before == nil:
			finding(protocol.Note, "unknown_before", "approval.fingerprint")
		case number == change.First && p.Control != nil && protocol.NewerVersion(p.Control.Version, p.Approval.Version) && !protocol.NewerFirst(p.Control.Version, p.Approval.Version):
			finding(protocol.Warning, "not_risen_first", "document.version", "what", what, "version", p.Approval.Version, "found", p.Control.Version)
		default:
			finding(protocol.Note, "moved", "approval.fingerprint", "what", what, "commit", before.commit.Short(), "n", strconv.Itoa(sizesOf(p)[0]))
		}
	}
	f.add(found)
	protocol.Sort(f.findings)
	return nil
}

// risen is which number of a protocol's version has to rise since it was approved, what
// moved in words, and as what it was approved; nil where that is not known, or can't be
// worked out any more.
func (f *farm) risen(ctx context.Context, s *settings, rev string, p protocol.Protocol) (change.Number, protocol.Message, *sided, error) {
	before, known, err := f.approved(ctx, s, rev, p)
	if err != nil || !known {
		return change.None, protocol.Message{}, nil, err
	}
	number, why, err := change.Rise(before.farm.side(before.protocol, f.voice.Tag()), f.side(p.Name, f.voice.Tag()), sizesOf(p), f.voice)
	var refused *change.Refused
	if errors.As(err, &refused) {
		return change.None, protocol.Message{}, nil, nil // its errors are told already
	}
	if err != nil {
		return change.None, protocol.Message{}, nil, err
	}
	what := words.Message("control.moved.second", "version", p.Approval.Version)
	if number == change.First {
		what = words.Message("control.moved.first", "version", p.Approval.Version, "list", f.voice.List(f.movedIn(why)))
	}
	return number, what, &before, nil
}

// mostMoved is how many of the steps and limits that moved a finding names.
const mostMoved = 4

// movedIn names what moved: each step once, with the parts of it that did.
func (f *farm) movedIn(why []change.Difference) []string {
	say := func(id string, pairs ...any) string { return f.voice.Say(words.Message(id, pairs...)) }
	var out []string
	told := map[string][]string{} // parts of steps
	for _, d := range why {
		if d.Kind == change.Told {
			title := f.voice.Say(d.Step.Title)
			told[title] = append(told[title], say("compare.part."+string(d.Part)))
		}
	}
	add := func(text string) {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	for _, d := range why {
		title := f.voice.Say(d.Step.Title)
		switch {
		case d.Kind == change.Told:
			add(say("control.moved.step", "title", title, "parts", f.voice.List(told[title])))
		case d.Kind != change.Crossing:
			add(say("control.moved.whole", "title", title))
		case d.Is != nil:
			add(say("control.moved.limit", "rule", d.Is.Rule))
		default:
			add(say("control.moved.limit", "rule", d.Was.Rule))
		}
	}
	if more := len(out) - mostMoved; more > 0 {
		out = append(out[:mostMoved], say("control.moved.more", "n", more))
	}
	return out
}

// news are what the book says is new: of each protocol that has changed since its
// approval, or, where a revision is given, since then. What can't be compared has no
// page.
func (f *farm) news(ctx context.Context, s *settings, since string) (map[string]sided, error) {
	out := map[string]sided{}
	if since != "" {
		then, commit, err := openFarmAt(ctx, s, since)
		if err != nil {
			return nil, err
		}
		for _, p := range f.folder.Protocols {
			if then.has(p.Name) {
				out[p.Name] = sided{farm: then, protocol: p.Name, commit: &commit}
			}
		}
		return out, nil
	}
	for _, p := range f.folder.Protocols {
		if p.Standing(f.fingerprint(p.Name)) != protocol.ChangedSince {
			continue
		}
		before, known, err := f.approved(ctx, s, headRevision, p)
		if err != nil {
			return nil, err
		}
		if known {
			out[p.Name] = before
		}
	}
	return out, nil
}

// headRevision is what is checked out.
const headRevision = "HEAD"

// tellNews puts the pages of what is new into the entries of a farm, which may be one in
// another language.
func (f *farm) tellNews(news map[string]sided, since string) error {
	for i, e := range f.entries {
		before, there := news[e.Method.Protocol]
		if !there || len(e.Batches) == 0 {
			continue
		}
		c, err := compareIn(f.voice, sided{farm: f, protocol: e.Method.Protocol}, before, e.Batches[0].Vessels)
		var refused *change.Refused
		if errors.As(err, &refused) {
			continue
		}
		if err != nil {
			return err
		}
		a := e.Process.Input.Protocol.Approval
		if since == "" {
			c.Before = f.voice.Say(words.Message("book.changes.since.approval", "version", a.Version, "by", a.By, "date", a.On))
		} else {
			c.Before = f.voice.Say(words.Message("book.changes.since.revision", "commit", before.commit.Short(), "date", before.commit.Date))
		}
		f.entries[i].Changes = &c
	}
	return nil
}

// withNews are the protocols that have a page of what is new.
func (f *farm) withNews() []string {
	var out []string
	for _, e := range f.entries {
		if e.Changes != nil {
			out = append(out, e.Method.Protocol)
		}
	}
	return out
}
