package main

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// farm is a farm folder with everything that was worked out of it.
type farm struct {
	fsys      fs.FS
	close     func() error
	written   *farmfile.Folder // as the files have it
	folder    *farmfile.Folder // with the program's own library in the farm's language
	voice     *words.Voice
	entries   []book.Entry       // the protocols without errors, by name
	findings  []protocol.Finding // all, with their places, sorted
	files     int                // protocol files, those too that could not be read
	guides    []book.Guide
	elsewhere map[string][]book.Guide // guides in the farm's other languages
	sources   *sync.Map               // texts of files in which the place of a word was looked for, by name
	prints    *sync.Map               // fingerprints of protocols, by name
	evidence  []process.Evidence      // the probe runs whose logs could be read
	own       own
	shared    *climate.Site
	inForce   bool                    // whether the farm's own templates are used
	reviews   map[string]*leaf.Review // of the safety texts by language, as far as they were asked for
	review    *leaf.Review            // of the safety texts in its language; nil where they are the original
	memory    *memory                 // of the time before; nil for a farm that is opened once
	all       []protocol.Protocol     // of the folder, by name, where only a part of it is read; else nil
}

// isFolder refuses a farm folder that is none.
func (s *settings) isFolder() error {
	info, err := os.Stat(s.farm)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &failure{environment, words.Message("command.no_folder", "folder", s.farm), words.Message("command.hint.start")}
	case err != nil:
		return err
	case !info.IsDir():
		return &failure{environment, words.Message("command.not_folder", "folder", s.farm), words.Message("command.hint.start")}
	}
	return nil
}

// readFarm reads a farm folder. Findings are for the caller to print; an error
// is a folder that can't be read at all. The caller closes it.
func readFarm(s *settings) (*farm, error) {
	if err := s.isFolder(); err != nil {
		return nil, err
	}
	// A root keeps a link in the folder from leading out of it.
	root, err := os.OpenRoot(s.farm)
	if err != nil {
		return nil, err
	}
	return readFiles(s, observe(root.FS()), root.Close)
}

// readFiles reads the files of a farm folder, wherever they are kept.
func readFiles(s *settings, fsys fs.FS, closing func() error) (*farm, error) {
	return readAgain(s, fsys, closing, nil)
}

// readAgain is readFiles with what is kept of the time before.
func readAgain(s *settings, fsys fs.FS, closing func() error, m *memory) (*farm, error) {
	f := &farm{fsys: fsys, close: closing, sources: &sync.Map{}, prints: &sync.Map{}, memory: m}
	f.written, f.findings = m.read(f.fsys)
	f.folder = f.written
	if base(f.languages()[0]) != words.Original {
		f.folder = f.written.Retold(f.told(f.languages()[0]))
	}
	m.probeRuns(f, f.readEvidence)
	sys, err := s.system(f.folder.Farm.Units)
	if err != nil && s.units != "" {
		return nil, errors.Join(err, f.close())
	}
	f.speak(sys)
	return f, nil
}

// openFarm reads a farm folder, plans every protocol and computes every batch
// size that it names, and those of sizes besides.
func openFarm(s *settings, sizes ...int) (*farm, error) {
	f, err := readFarm(s)
	if err != nil {
		return nil, err
	}
	defer f.close()
	f.open(sizes)
	return f, nil
}

// open works out all of a farm that was read.
func (f *farm) open(sizes []int) {
	f.pages()
	f.foreignPages()
	f.judgeTexts()
	f.review = f.reviewOf(f.languages()[0])
	f.judgeReview()
	f.workOut(sizes)
	f.judgeRooms()
	f.judgeHygiene()
	f.judgeCodes()
	f.pictures()
	f.links()
	f.readOwn()
	names, err := fs.Glob(f.fsys, protocol.Document("*"))
	if err != nil {
		panic(err) // the pattern is ours
	}
	for _, name := range names {
		if _, isProtocol := protocol.NameOf(name); isProtocol {
			f.files++
		}
	}
	f.handOut()
	f.findings = told(f.distinct(f.findings))
}

// handOut gives each protocol's own page all findings that concern it, also what a
// protocol that it is based on has been told already.
func (f *farm) handOut() {
	protocol.Sort(f.findings)
	// What concerns all of them is told apart once: a value of the farm is judged for each.
	var general []int
	own, seen := map[string][]int{}, map[string]bool{}
	keys := make([]string, len(f.findings))
	for i, x := range f.findings {
		switch keys[i] = f.key(x); {
		case !concernsAll(x):
			own[x.Subject] = append(own[x.Subject], i)
		case !seen[keys[i]]:
			seen[keys[i]] = true
			general = append(general, i)
		}
	}
	for i := range f.entries {
		told := map[string]bool{}
		f.entries[i].Findings = nil
		for _, at := range slices.Sorted(slices.Values(slices.Concat(general, own[f.entries[i].Method.Protocol]))) {
			if !told[keys[at]] {
				told[keys[at]] = true
				f.entries[i].Findings = append(f.entries[i].Findings, f.findings[at])
			}
		}
	}
}

// workOut plans every protocol and computes its batches, as far as that is not known from
// the time before.
func (f *farm) workOut(sizes []int) {
	if !f.folder.Usable {
		return
	}
	known := f.memory.begin(f, sizes)
	all := make([]worked, len(f.folder.Protocols))
	f.site() // once for all of them
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for i, p := range f.folder.Protocols {
		several.Go(func() error {
			ok := false
			if all[i], ok = known.find(f, p); !ok {
				all[i] = f.plan(p, sizes)
			}
			return nil
		})
	}
	_ = several.Wait() // none fails
	for i, x := range all {
		known.keep(f, f.folder.Protocols[i], x)
		f.findings = append(f.findings, x.findings...)
		if x.entry != nil {
			f.entries = append(f.entries, *x.entry)
		}
	}
}

// processes are those of the protocols without errors.
func (f *farm) processes() []*process.Process {
	var out []*process.Process
	for _, e := range f.entries {
		out = append(out, e.Process)
	}
	return out
}

// letGo lets go of the batches, which are most of what a farm holds.
func (f *farm) letGo() {
	f.entries = slices.Clone(f.entries)
	for i := range f.entries {
		f.entries[i].Batches = nil
	}
}

// plan works out one protocol with all its sizes.
func (f *farm) plan(p protocol.Protocol, sizes []int) (out worked) {
	in := process.Input{Farm: f.folder.Farm, Library: f.folder.Library, Protocol: p, Units: f.voice.Units(), Evidence: f.evidenceFor(p)}
	pr, err := process.Plan(in)
	if err != nil {
		// The reader has said already what is missing.
		return out
	}
	add := func(list []protocol.Finding) { out.findings = append(out.findings, f.placed(list)...) }
	written := append(f.authored(pr), climate.OfProtocol(f.site(), pr)...)
	add(pr.Findings)
	add(written)
	add(f.control(p))
	if max(protocol.Worst(pr.Findings), protocol.Worst(written)) == protocol.Error {
		return out
	}
	entry := book.Entry{Process: pr, Method: f.method(p.Name)}
	for _, n := range union(p.BatchSizes, sizes) {
		b, err := batch.Compute(pr, n)
		if err != nil {
			continue // a size out of range, which the reader has refused
		}
		add(b.Own)
		entry.Batches = append(entry.Batches, b)
	}
	// Only now is it known what every size crosses.
	found := [][]protocol.Finding{pr.Findings, written}
	for _, b := range entry.Batches {
		found = append(found, b.Own)
	}
	add(limit.Unused(p.Acknowledged, in.Document(), p.Name, found...))
	out.entry = &entry
	return out
}

func (f *farm) method(name string) leaf.Method {
	full := f.fingerprint(name)
	return leaf.Method{Protocol: name, Short: farmfile.Short(full), Full: full}
}

// fingerprint is that of a protocol, which is the same in all languages.
func (f *farm) fingerprint(name string) string {
	if known, ok := f.prints.Load(name); ok {
		return known.(string)
	}
	full := f.folder.Fingerprint(name)
	f.prints.Store(name, full)
	return full
}

// add takes findings in, and looks up where they stand.
func (f *farm) add(list []protocol.Finding) { f.findings = append(f.findings, f.placed(list)...) }

// placed are findings with where they stand.
func (f *farm) placed(list []protocol.Finding) []protocol.Finding {
	out := slices.Clone(list)
	for i, x := range out {
		if x.Place == (protocol.Place{}) {
			out[i].Place = f.place(x)
		}
	}
	return out
}

func (f *farm) place(x protocol.Finding) protocol.Place {
	switch {
	case strings.HasPrefix(x.Origin.Document, "--"):
		return protocol.Place{File: x.Origin.Document}
	case x.Origin.Document == "" && x.Subject != "":
		return protocol.Place{File: protocol.Document(x.Subject)}
	}
	return f.folder.Place(x.Origin)
}

// distinct drops findings that say the same of the same place: a value of the
// farm is judged once for each protocol.
func (f *farm) distinct(list []protocol.Finding) []protocol.Finding {
	seen := map[string]bool{}
	var out []protocol.Finding
	for _, x := range list {
		if key := f.key(x); !seen[key] {
			seen[key] = true
			out = append(out, x)
		}
	}
	return out
}

// key is what a finding says and where.
func (f *farm) key(x protocol.Finding) string {
	// What one protocol's author stands by, another's may not have seen.
	return where(x.Place) + "\x00" + x.Rule + "\x00" + f.voice.Say(severity(x)) + "\x00" + f.voice.Say(x.What)
}

// concernsAll reports whether a finding is shown by every protocol's page.
func concernsAll(x protocol.Finding) bool {
	return x.Subject == "" || x.Place.File == protocol.FarmDocument && x.By == nil
}

// told names the protocol where one value is judged differently for several, and
// where a protocol is at fault with a value of the one that it is based on.
func told(list []protocol.Finding) []protocol.Finding {
	type spot struct{ place, rule string }
	judged := map[spot]int{}
	for _, x := range list {
		judged[spot{where(x.Place), x.Rule}]++
	}
	for i, x := range list {
		inherited := x.Place.File != protocol.FarmDocument && path.Dir(x.Place.File) == path.Dir(protocol.FarmDocument)
		if (judged[spot{where(x.Place), x.Rule}] > 1 || inherited) && x.Subject != "" && x.Place.File != protocol.Document(x.Subject) {
			list[i].What = words.Message("finding.in_protocol", "protocol", x.Subject, "what", x.What)
		}
	}
	return list
}

// of lists the findings that a protocol's page shows: its own and the farm's.
func (f *farm) of(name string) []protocol.Finding {
	var out []protocol.Finding
	for _, x := range f.findings {
		if x.Subject == name || concernsAll(x) {
			out = append(out, x)
		}
	}
	return out
}

func (f *farm) edition() leaf.Edition {
	made := f.voice.Say(words.Message("calculation.of", "version", version, "n", strconv.Itoa(process.Calculation)))
	e := leaf.Edition{Farm: f.folder.Farm, Voice: f.voice, Version: made, Place: f.folder.Place, Address: f.folder.Farm.BookAddress, Prose: prose.In(f.voice)}
	e.Unreviewed = f.review != nil && !f.review.Current
	if f.inForce {
		e.Own = f.own.files
	}
	return e
}

// shorten writes a path from here where that is shorter.
func shorten(p string) string {
	here, err := os.Getwd()
	if err != nil {
		return p
	}
	rel, err := filepath.Rel(here, p)
	if err != nil || strings.HasPrefix(rel, "..") {
		return p
	}
	return rel
}
