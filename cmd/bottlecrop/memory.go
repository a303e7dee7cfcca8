package main

import (
	"io/fs"
	"reflect"
	"slices"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/protocols"
)

// memory is what is kept of a farm folder that is opened again and again, so that only
// what has changed is worked out anew. A farm that is opened once has none: nil is a
// memory that forgets.
type memory struct {
	reader farmfile.Reader
	spoken map[string]*workedOut // by language
	runs   probeRuns
}

// workedOut is what was worked out of a farm's protocols in one language, and what it
// rests on besides their own files.
type workedOut struct {
	farm    protocol.Farm
	library protocol.Library
	guides  []string
	sizes   []int
	runs    int // as of which reading of the probe runs
	of      map[string]worked
}

// worked is one protocol as it was worked out.
type worked struct {
	reading  *farmfile.Reading
	protocol protocol.Protocol
	runs     []int // probe runs that speak for it
	findings []protocol.Finding
	entry    *book.Entry // nil where an error is in the way
}

// probeRuns are the farm's probe runs as their logs were read.
type probeRuns struct {
	reading  int
	asked    []protocol.Evidence
	logs     [][]byte
	read     []process.Evidence
	findings []protocol.Finding
}

// read reads a folder, over the library that comes with the program.
func (m *memory) read(fsys fs.FS) (*farmfile.Folder, []protocol.Finding) {
	if m == nil {
		return farmfile.Read(fsys, protocols.Library)
	}
	return m.reader.Read(fsys, protocols.Library)
}

// begin has what was worked out in the farm's language, if all still holds that it rests
// on but for the protocols' own files; else it begins anew.
func (m *memory) begin(f *farm, sizes []int) *workedOut {
	if m == nil {
		return &workedOut{}
	}
	if m.spoken == nil {
		m.spoken = map[string]*workedOut{}
	}
	var guides []string
	for _, g := range f.guides {
		guides = append(guides, g.Name)
	}
	now := &workedOut{farm: f.folder.Farm, library: f.folder.Library, guides: guides, sizes: sizes, runs: m.runs.reading, of: map[string]worked{}}
	tag := f.voice.Tag()
	was := m.spoken[tag]
	if was == nil || was.runs != now.runs || !slices.Equal(was.guides, guides) || !slices.Equal(was.sizes, sizes) ||
		!reflect.DeepEqual(was.farm, now.farm) || !reflect.DeepEqual(was.library, now.library) {
		m.spoken[tag] = now
		return now
	}
	return was
}

// find is a protocol as it was worked out; false where it may be another now.
func (w *workedOut) find(f *farm, p protocol.Protocol) (worked, bool) {
	out, ok := w.of[p.Name]
	reading := f.folder.Reading(p.Name)
	return out, ok && reading != nil && out.reading == reading && slices.Equal(out.runs, f.runsFor(p)) &&
		(f.folder == f.written || reflect.DeepEqual(out.protocol, p)) // its words may be others
}

// runsFor are the probe runs that speak for a protocol by their place in the farm's file.
func (f *farm) runsFor(p protocol.Protocol) []int {
	var out []int
	for _, e := range f.evidenceFor(p) {
		out = append(out, e.Index)
	}
	return out
}

func (w *workedOut) keep(f *farm, p protocol.Protocol, x worked) {
	if reading := f.folder.Reading(p.Name); w.of != nil && reading != nil {
		x.reading, x.protocol, x.runs = reading, p, f.runsFor(p)
		w.of[p.Name] = x
	}
}

// probeRuns reads the farm's probe runs by a function, or has them as they were read
// from the same logs.
func (m *memory) probeRuns(f *farm, read func()) {
	if m == nil {
		read()
		return
	}
	var logs [][]byte
	for _, e := range f.folder.Farm.Evidence {
		data, err := fs.ReadFile(f.fsys, farmfile.LogPath(e))
		if err != nil {
			data = []byte(err.Error())
		}
		logs = append(logs, data)
	}
	// Findings are told where the farm's file asks for a run, which may have moved.
	if r := &m.runs; r.reading == 0 || len(r.findings) > 0 || !reflect.DeepEqual(r.asked, f.folder.Farm.Evidence) || !reflect.DeepEqual(r.logs, logs) {
		before := len(f.findings)
		read()
		m.runs = probeRuns{r.reading + 1, f.folder.Farm.Evidence, logs, f.evidence, slices.Clone(f.findings[before:])}
		return
	}
	f.evidence = slices.Clone(m.runs.read)
	f.findings = append(f.findings, m.runs.findings...)
}
