// Package versions tells which method each protocol of a farm was, commit by commit:
// from when, under which version of its author's, approved by whom, and which batches
// were made by it.
//
// A method rests on a protocol's file, on those that it is based on, on the farm and on
// the library. All of them are read of each commit that touched one of them, and
// neighbors that mean the same are one version.
package versions

import (
	"cmp"
	"context"
	"io/fs"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/history"
	"bottlecrop/cmd/internal/protocol"
)

// Reader reads the versions of a farm's protocols.
type Reader struct {
	Repository *history.Repository
	Base       fs.FS // the library that comes with the program, as for farmfile.Read
	Store      Store // nil for none
}

// Store keeps what was worked out, from one run of the program to the next. What it
// gives back may be anything: it is used as far as it can be read.
type Store interface {
	Find(key string) ([]byte, bool)
	Keep(key string, data []byte)
}

// Kind is what a protocol was during a version.
type Kind int

// The kinds.
const (
	Readable Kind = iota // a method
	Faulty               // there, with faults: no method that this program can read
	Gone                 // not there
)

// Version is a protocol from one commit up to the next version.
type Version struct {
	From   history.Commit // without an id: the folder as it is, not committed yet
	Name   string         // of the protocol then
	Became string         // of one that is gone: the name that it was given instead, or ""
	Kind   Kind
	Method farmfile.Method // of the last commit of the version: an approval may have come later
	Side   bool            // of a branch that was merged: the branch that was asked for never had it
}

// Standing is how a version stood to its approval when it ended.
func (v Version) Standing() protocol.Standing {
	p := protocol.Protocol{Approval: v.Method.Approval}
	if v.Method.Version != "" {
		p.Control = &protocol.Control{Version: v.Method.Version}
	}
	return p.Standing(v.Method.Fingerprint)
}

// Line is the versions of one protocol, the newest first; those of branches that were
// merged behind the others.
type Line struct {
	Name     string
	Names    []string // all that it had, the newest first
	Versions []Version
}

// Of reads the versions of protocols that a commit rests on. A name that no commit knows
// has a line without versions. The error is a *history.Damaged where git could not read
// what it ought to have.
func (r *Reader) Of(ctx context.Context, head history.Commit, names ...string) ([]Line, error) {
	w := newWork(ctx, r)
	line, err := r.Repository.Line(ctx, head, protocol.Folder)
	if err != nil {
		return nil, err
	}
	all, err := r.Repository.Log(ctx, head, protocol.Folder)
	if err != nil {
		return nil, err
	}
	onLine := map[string]bool{}
	for _, c := range line {
		onLine[c.ID] = true
	}
	branch, err := w.states(touched(line))
	if err != nil {
		return nil, err
	}
	side, err := w.states(slices.DeleteFunc(touched(all), func(c history.Change) bool { return onLine[c.ID] }))
	if err != nil {
		return nil, err
	}
	// What is to be read is gathered first, so that it can be read side by side.
	var paths []path
	for _, name := range names {
		p, err := w.path(name, branch, side)
		if err != nil {
			return nil, err
		}
		paths = append(paths, p)
	}
	if err := w.read(); err != nil {
		return nil, err
	}
	var out []Line
	for i, name := range names {
		out = append(out, Line{Name: name, Names: paths[i].names, Versions: w.versions(paths[i])})
	}
	return out, nil
}

// touched are the commits that changed something that a method may rest on.
func touched(list []history.Change) []history.Change {
	return slices.DeleteFunc(slices.Clone(list), func(c history.Change) bool {
		return !slices.ContainsFunc(c.Files, func(f history.File) bool { return counts(f.Path) || counts(f.Was) })
	})
}

// counts is true for files that a method may rest on: not for what is in store, ordered
// and picked, nor for what is said in other languages.
func counts(file string) bool {
	folder, name, nested := strings.Cut(strings.TrimPrefix(file, protocol.Folder+"/"), "/")
	switch {
	case nested:
		return folder == libraryFolder && !strings.HasPrefix(name, protocol.LanguagesFolder+"/") || folder == evidenceFolder
	case file == protocol.FarmDocument:
		return true
	}
	_, isProtocol := protocol.NameOf(file)
	return isProtocol
}

// The folders beside the protocols of which the farm's file and the methods depend.
const (
	libraryFolder  = "library"
	evidenceFolder = "evidence"
)

// path is where one protocol went through the states of the branch and of its sides.
type path struct {
	names []string
	steps []step // the newest first
	side  []step
}

// step is a protocol at one commit.
type step struct {
	commit history.Commit
	name   string
	became string
	job    *job // nil where it was not there
}

// path follows a protocol from the newest state to the oldest, under the names that it
// had: a file that git takes for renamed is the same protocol.
func (w *work) path(name string, branch, side []*state) (path, error) {
	p := path{names: []string{name}}
	for _, s := range branch {
		st, err := w.step(s, name)
		if err != nil {
			return p, err
		}
		for _, f := range s.change.Files {
			was, wasProtocol := protocol.NameOf(f.Was)
			switch {
			case f.Kind != history.Renamed:
			case was == name && st.job == nil:
				st.became, _ = protocol.NameOf(f.Path)
			case f.Path == protocol.Document(name) && wasProtocol:
				name = was
				if !slices.Contains(p.names, name) {
					p.names = append(p.names, name)
				}
			}
		}
		p.steps = append(p.steps, st)
	}
	for _, s := range side {
		for _, name := range p.names {
			st, err := w.step(s, name)
			if err != nil {
				return p, err
			}
			if st.job != nil {
				p.side = append(p.side, st)
				break
			}
		}
	}
	return p, nil
}

// versions puts neighbors that mean the same together.
func (w *work) versions(p path) []Version {
	var out []Version // the oldest first
	known := map[string]bool{}
	for _, s := range slices.Backward(p.steps) {
		v := s.version()
		if len(out) == 0 && v.Kind == Gone {
			continue // not made yet
		}
		known[v.key()] = true
		if n := len(out); n > 0 && out[n-1].key() == v.key() {
			out[n-1].Method.Approval, out[n-1].Method.Faults = v.Method.Approval, v.Method.Faults
			continue
		}
		out = append(out, v)
	}
	slices.Reverse(out)
	var sides []Version
	for _, s := range slices.Backward(p.side) {
		v := s.version()
		v.Side = true
		if v.Kind == Readable && !known[v.key()] {
			known[v.key()] = true
			sides = append(sides, v)
		}
	}
	slices.SortStableFunc(sides, func(a, b Version) int { return cmp.Compare(b.From.Time, a.From.Time) })
	return append(out, sides...)
}

// version is a step as a version of its own.
func (s step) version() Version {
	v := Version{From: s.commit, Name: s.name, Became: s.became}
	switch {
	case s.job == nil:
		v.Kind = Gone
	case s.job.method.Faults > 0:
		v.Kind, v.Method = Faulty, s.job.method
	default:
		v.Method = s.job.method
	}
	return v
}

// key is what tells a version from its neighbors.
func (v Version) key() string {
	return strings.Join([]string{[]string{"method", "faulty", "gone"}[v.Kind], v.Method.Fingerprint, v.Method.Version}, "\x00")
}

// Now puts the folder as it is before the versions, where it differs from the last
// commit. A method that has no faults is what the folder has of it.
func (l *Line) Now(m farmfile.Method) {
	v := Version{Name: l.Name, Method: m}
	if len(l.Versions) > 0 && !l.Versions[0].Side && l.Versions[0].key() == v.key() {
		l.Versions[0].Method.Approval = m.Approval
		return
	}
	l.Versions = slices.Insert(l.Versions, 0, v)
}
