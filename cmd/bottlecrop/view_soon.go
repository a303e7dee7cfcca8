package main

import (
	"os"
	"slices"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// soon is the book after a change of protocols' own files, of guides, or of templates, as
// far as it can be told without a look at the rest of the farm: at a thousand protocols
// that takes a moment, and an author waits. What all protocols make together, such as
// rooms and seasons, is as it was, until the whole was worked out. It is nil where nothing
// can be told so soon, a finding included.
func (x *viewer) soon(changed []string) *preview {
	x.mu.Lock()
	last, whole := x.shown, x.farm
	x.mu.Unlock()
	if last == nil || whole == nil || whole.verdict() != nil || len(changed) == 0 {
		return nil
	}
	names, ok := protocolsOf(changed)
	if !ok {
		return nil
	}
	root, err := os.OpenRoot(x.settings.farm)
	if err != nil {
		return nil
	}
	defer root.Close()
	f := &farm{fsys: root.FS(), close: root.Close, sources: &sync.Map{}, prints: &sync.Map{}, memory: x.memory,
		voice: whole.voice, evidence: whole.evidence, all: whole.written.Protocols}
	if f.written, ok = x.memory.reader.Part(f.fsys, names); !ok {
		return nil
	}
	f.all = slices.Clone(f.all)
	for _, p := range f.written.Protocols {
		i, found := slices.BinarySearchFunc(f.all, p.Name, func(q protocol.Protocol, name string) int { return strings.Compare(q.Name, name) })
		if !found || speaksForOthers(whole, p.Name) {
			return nil
		}
		f.all[i] = p
	}
	f.folder = f.written
	if base(f.languages()[0]) != words.Original {
		f.folder = f.written.Retold(f.told(f.languages()[0]))
	}
	f.pages()
	f.foreignPages()
	f.pictures()
	if x.asked.ownTemplates {
		f.readOwn()
		f.use()
	}
	f.workOut(nil)
	if f.verdict() != nil {
		return nil
	}
	in, ok := f.into(last.in)
	if !ok {
		return nil
	}
	in.Others = slices.Clone(in.Others)
	for i, other := range last.in.Others {
		t, err := f.in(other.Folder)
		if err != nil {
			return nil
		}
		if in.Others[i], ok = t.into(other); !ok {
			return nil
		}
	}
	p, err := newPreview(in, last)
	if err != nil {
		return nil // the whole says what is wrong
	}
	return p
}

// protocolsOf are the protocols whose files are among some that have changed, and whether
// those, guides and templates are all that did.
func protocolsOf(changed []string) (names []string, ok bool) {
	for _, file := range changed {
		name, isProtocol := protocol.NameOf(file)
		switch {
		case strings.HasPrefix(file, "site/"), strings.HasPrefix(file, ownFolder+"/"):
		case isProtocol:
			names = append(names, name)
		default:
			return nil, false
		}
	}
	return names, true
}

// speaksForOthers reports whether a probe run was made by a protocol: with it, others
// change too.
func speaksForOthers(f *farm, name string) bool {
	return slices.ContainsFunc(f.folder.Farm.Evidence, func(e protocol.Evidence) bool { return e.Protocol == name })
}

// into is a book with what is new in a part of its farm in place of what it had.
func (f *farm) into(in book.Input) (book.Input, bool) {
	was, has := in.Edition, map[string]bool{}
	for _, p := range f.folder.Protocols {
		has[protocol.Document(p.Name)] = true
	}
	// One that is not ready: its templates may be others.
	in.Edition = f.edition()
	in.Edition.Folder, in.Edition.News, in.Edition.Past = was.Folder, was.News, was.Past
	in.Edition.Unreviewed, in.Edition.AnySize = was.Unreviewed, was.AnySize
	in.Edition.Place = func(o working.Origin) protocol.Place {
		if has[o.Document] {
			return f.folder.Place(o)
		}
		return was.Place(o)
	}
	in.Guides = f.printed(f.guides)
	in.Entries = slices.Clone(in.Entries)
	for _, e := range f.entries {
		i, there := slices.BinarySearchFunc(in.Entries, e.Method.Protocol, func(e book.Entry, name string) int { return strings.Compare(e.Method.Protocol, name) })
		if !there {
			return in, false
		}
		e.Findings = f.foundNow(e.Method.Protocol, in.Entries[i].Findings)
		e.Changes, e.Past = in.Entries[i].Changes, in.Entries[i].Past
		in.Entries[i] = e
	}
	return in, len(f.entries) == len(f.folder.Protocols)
}

// foundNow are a protocol's findings as it is now. What was found of the farm as a whole
// is found still, as far as anybody knows.
func (f *farm) foundNow(name string, before []protocol.Finding) []protocol.Finding {
	var out []protocol.Finding
	for _, x := range f.findings {
		if x.Subject == name {
			out = append(out, x)
		}
	}
	for _, x := range before {
		if x.Subject != name {
			out = append(out, x)
		}
	}
	protocol.Sort(out)
	return f.distinct(out)
}
