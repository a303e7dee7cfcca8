// Package book sets a whole book, a static site of sheets, protocols, workings,
// guides, the library and the limits, and publishes it into a folder whole or
// not at all.
//
// Render is a pure function from what was worked out to the bytes of every
// file; Publish alone touches the disk.
package book

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/templates"
)

// Input is all that a book is made of.
type Input struct {
	leaf.Edition
	Entries []Entry // sorted by the protocol's name
	Guides  []Guide // sorted by name
	Library protocol.Library
	Climate *leaf.Climate   // of the rooms that have setpoints; nil where there are none
	Season  *leaf.Season    // nil where the farm has written down no orders
	Results *results.Record // nil where the farm has written down none
	Trace   *trace.Web      // nil where nothing of batches can be traced
	Review  *leaf.Review    // of the safety texts; nil where they are the original
	// Module works sheets out in their pages, for any number of vessels; nil for a book
	// without. Today is the day that counts as today there, "" for none.
	Module []byte
	Today  string
	// Others are the same book in other languages; each goes into the folder of its edition.
	Others []Input
}

// Entry is one protocol with its batches.
type Entry struct {
	Process  *process.Process
	Batches  []*batch.Batch // one for each size, ascending
	Method   leaf.Method
	Findings []protocol.Finding // with their places, sorted
	Changes  *leaf.Compared     // with what is new since then; nil where that is not told
	Past     *leaf.Past         // its versions; nil where they are not told
}

// Guide is a page in Markdown.
type Guide struct {
	Name     string // "pressure-vessels"
	Markdown []byte
	Document string                   // the file, for messages
	Pictures map[string]prose.Picture // that it shows, by their path in the folder site
	Written  string                   // the language that it is written in, where that is not the book's
}

// Astray is a link in a guide that leads to no page of the book.
type Astray struct {
	Document string // of the guide
	Written  string // the link as it stands there
}

// Lost lists the links of guides that lead to no page, without setting a page:
// what Render would refuse, soon enough to tell where it stands.
func (in Input) Lost() []Astray {
	has := map[string]bool{}
	for _, p := range in.addresses() {
		has[p] = true
	}
	var out []Astray
	for _, g := range in.Guides {
		for _, l := range (prose.Text{Name: g.Name, Document: g.Document, Markdown: g.Markdown}).Links() {
			if !has[l.Path] {
				out = append(out, Astray{g.Document, l.Written})
			}
		}
	}
	return out
}

// addresses lists the pages of the book.
func (in Input) addresses() []string {
	out := []string{leaf.HomePath, leaf.LimitsPath, leaf.SpeciesPath, leaf.IngredientsPath, leaf.VesselsPath, leaf.SterilizersPath, leaf.TroubleEntriesPath, leaf.SearchPath, leaf.IndexPath}
	for _, g := range in.Guides {
		out = append(out, leaf.GuidePath(g.Name))
	}
	if len(in.Entries) > 0 {
		out = append(out, leaf.ShiftPath)
	}
	if in.Results != nil {
		out = append(out, leaf.ResultsPath, leaf.ResultsWorkingPath)
	}
	if in.Trace != nil {
		out = append(out, leaf.TracePath)
	}
	if in.Review != nil {
		out = append(out, leaf.ReviewPath)
	}
	if in.Edition.Farm.Hygiene != nil {
		out = append(out, leaf.HygienePath)
	}
	if in.Climate != nil {
		out = append(out, leaf.RoomsPath)
		for _, room := range in.Climate.Rooms {
			out = append(out, leaf.RoomPath(room.ID), leaf.RoomWorkingPath(room.ID))
		}
	}
	if in.Season != nil {
		out = append(out, leaf.SeasonPath)
		for _, monday := range in.Season.Mondays() {
			out = append(out, leaf.WeekPath(monday))
		}
	}
	edition := in.beside().Edition
	for _, e := range in.Entries {
		name := e.Process.Input.Protocol.Name
		out = append(out, leaf.ProtocolPath(name), leaf.TrainerPath(name), leaf.ReleasePath(name), leaf.TroublesPath(name), leaf.SterilizerCardPath(name), leaf.EvidencePath(name))
		if e.Process.Grain != nil {
			out = append(out, leaf.GrainPath(name))
		}
		if e.Changes != nil {
			out = append(out, leaf.ChangesPath(name))
		}
		if e.Past != nil {
			out = append(out, leaf.VersionsPath(name))
		}
		for _, b := range e.Batches {
			out = append(append(out, leaf.WorkingPath(name, b.Vessels)), edition.DocumentPaths(b)...)
		}
	}
	return out
}

// File is one file of a book.
type File struct {
	Path string // relative, with slashes
	Data []byte
}

// Render sets every page of the book. It is a pure function: the same input
// gives the same bytes. The files come sorted by path.
func Render(in Input) ([]File, error) {
	in = in.beside()
	all := append([]Input{in}, in.Others...)
	files, errs := make([][]File, len(all)), make([]error, len(all))
	var languages sync.WaitGroup
	for i, one := range all {
		languages.Go(func() { files[i], errs[i] = one.render() })
	}
	languages.Wait()
	var out []File
	for i, one := range all {
		if errs[i] != nil {
			return nil, errs[i]
		}
		for _, f := range files[i] {
			out = append(out, File{path.Join(one.Folder, f.Path), f.Data})
		}
	}
	return ordered(out)
}

// beside is the input with each of its languages knowing of the others.
func (in Input) beside() Input {
	in.Tongues = nil
	if len(in.Others) == 0 {
		return in
	}
	for _, one := range append([]Input{in}, in.Others...) {
		v := one.Voice
		in.Tongues = append(in.Tongues, leaf.Tongue{Tag: v.Tag(), Name: v.Say(words.Message("language.name")), Folder: one.Folder})
	}
	in.Others = slices.Clone(in.Others)
	for i := range in.Others {
		in.Others[i].Tongues = in.Tongues
	}
	return in
}

// render sets the pages of one language.
func (in Input) render() ([]File, error) {
	e, err := in.Edition.Ready()
	if err != nil {
		return nil, err
	}
	r := &shelf{edition: e}
	for _, other := range in.Others {
		if other.Edition, err = other.Edition.Ready(); err != nil {
			return nil, err
		}
		r.others = append(r.others, other)
	}
	r.look()
	r.anySize(in.Module)
	recipes := make([]leaf.Recipe, len(in.Entries))
	for i, entry := range in.Entries {
		recipes[i] = r.entry(entry)
		r.carried(entry, in.Today)
	}
	titles, texts := make([]leaf.GuideLink, len(in.Guides)), make([]leaf.GuideParts, len(in.Guides))
	for i, g := range in.Guides {
		t := prose.Text{Name: g.Name, Document: g.Document, Markdown: g.Markdown, Pictures: g.Pictures}
		texts[i] = t.Parts()
		r.pictures(g)
		titles[i] = leaf.GuideLink{Name: g.Name, Title: texts[i].Title}
		page, links, err := prose.Guide(e, t)
		r.add(leaf.GuidePath(g.Name), page, err)
		for _, l := range links {
			r.links = append(r.links, reference{g.Document, l})
		}
	}
	shelves, err := leaf.Library(e, in.Library, recipes)
	for _, name := range slices.Sorted(maps.Keys(shelves)) {
		r.add(name, shelves[name], nil)
	}
	if err != nil {
		r.add(leaf.SpeciesPath, nil, err)
	}
	cleans := in.cleans()
	page, err := leaf.Limits(e, recipes, in.Climate, cleans)
	r.add(leaf.LimitsPath, page, err)
	if len(recipes) > 0 {
		page, err = leaf.Shift(e, recipes)
		r.add(leaf.ShiftPath, page, err)
	}
	r.rooms(in.Climate)
	r.season(in.Season, recipes)
	if in.Results != nil {
		page, err := leaf.Results(e, in.Results, recipes, in.Trace != nil)
		r.ofFarm(leaf.ResultsFarmPage(e), page, err)
		page, err = leaf.ResultsWorking(e, in.Results)
		r.add(leaf.ResultsWorkingPath, page, err)
	}
	if in.Trace != nil {
		page, err := leaf.Trace(e, in.Trace)
		r.ofFarm(leaf.TraceFarmPage(e), page, err)
	}
	if cleans != nil {
		page, err := leaf.Hygiene(e, cleans)
		r.ofFarm(leaf.HygieneFarmPage(e), page, err)
	}
	if in.Review != nil {
		page, err := leaf.Reviewing(e, in.Review)
		r.ofFarm(leaf.ReviewFarmPage(e, in.Review), page, err)
	}
	page, err = leaf.Home(e, recipes, r.farm, titles, in.Library)
	r.add(leaf.HomePath, page, err)
	r.finding(e.Terms(recipes, r.farm, texts, in.Library))
	return r.done()
}

// rooms sets the cards for the doors of the rooms, and the author's page on them.
func (s *shelf) rooms(c *leaf.Climate) {
	if c == nil {
		return
	}
	page, err := leaf.Rooms(s.edition, *c)
	s.ofFarm(leaf.RoomsFarmPage(s.edition, *c), page, err)
	for _, room := range c.Rooms {
		page, err := leaf.RoomCard(s.edition, room, c.Processes)
		s.add(leaf.RoomPath(room.ID), page, err)
		page, err = leaf.RoomWorking(s.edition, *c, room)
		s.add(leaf.RoomWorkingPath(room.ID), page, err)
	}
}

// season sets the pages of the season, where there is one.
func (s *shelf) season(planned *leaf.Season, recipes []leaf.Recipe) {
	if planned == nil {
		return
	}
	page, err := leaf.SeasonPage(s.edition, *planned, recipes)
	s.ofFarm(planned.FarmPage(s.edition), page, err)
	weeks, err := leaf.Weeks(s.edition, *planned, recipes)
	if err != nil {
		s.add(leaf.SeasonPath, nil, err)
	}
	for _, name := range slices.Sorted(maps.Keys(weeks)) {
		s.add(name, weeks[name], nil)
	}
}

// cleans is what the farm cleans with; nil where it has not written that down.
func (in Input) cleans() *sanitation.Plan {
	var grown []protocol.Species
	for _, e := range in.Entries {
		grown = append(grown, e.Process.Species)
	}
	return sanitation.New(in.Edition.Farm, grown)
}

// pictures brings the pictures of a guide, once each.
func (s *shelf) pictures(g Guide) {
	for _, name := range slices.Sorted(maps.Keys(g.Pictures)) {
		at := path.Join(path.Dir(leaf.GuidePath(g.Name)), name)
		if !slices.ContainsFunc(s.files, func(f File) bool { return f.Path == at }) {
			s.add(at, g.Pictures[name].Data, nil)
		}
	}
}

// finding sets the pages that find things: the search with its data, and the
// printed index.
func (s *shelf) finding(terms leaf.Terms) {
	page, err := leaf.Search(s.edition, terms)
	s.add(leaf.SearchPath, page, err)
	data, err := s.edition.SearchIndex(terms)
	s.add(leaf.SearchIndexPath, data, err)
	page, err = leaf.Index(s.edition, terms)
	s.add(leaf.IndexPath, page, err)
}

// shelf gathers the files; the first error stays.
type shelf struct {
	edition leaf.Edition
	others  []Input // in the book's other languages, for the documents in two
	files   []File
	links   []reference
	farm    []leaf.FarmPage // that the home page lists, in that order
	err     error
}

// reference is a link that somebody wrote into a guide.
type reference struct{ document, path string }

func (s *shelf) add(name string, data []byte, err error) {
	if s.err == nil && err != nil {
		s.err = fmt.Errorf("book: %s: %w", name, err)
	}
	s.files = append(s.files, File{name, data})
}

// ofFarm adds a page that is the farm's and no protocol's, and lists it.
func (s *shelf) ofFarm(p leaf.FarmPage, data []byte, err error) {
	s.add(p.Path, data, err)
	s.farm = append(s.farm, p)
}

// look brings the stylesheet and the font, with the font's licence.
func (s *shelf) look() {
	err := fs.WalkDir(templates.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(name, ".tmpl") {
			return err
		}
		data, err := fs.ReadFile(templates.Files, name)
		if path.Join(path.Dir(leaf.StylePath), name) == leaf.StylePath {
			data, err = s.edition.Stylesheet()
		}
		s.add(path.Join(path.Dir(leaf.StylePath), name), data, err)
		return nil
	})
	if err != nil && s.err == nil {
		s.err = err
	}
}

// entry sets the pages of one protocol.
func (s *shelf) entry(entry Entry) leaf.Recipe {
	name := entry.Process.Input.Protocol.Name
	recipe := leaf.Recipe{Process: entry.Process, Batches: entry.Batches, Method: entry.Method, Findings: entry.Findings}
	for i, b := range entry.Batches {
		told := procedure.Build(b)
		if i == 0 {
			recipe.Procedure = told
		}
		documents, err := leaf.Documents(s.edition, told, entry.Method, s.inOthers(name, b.Vessels)...)
		if err != nil {
			s.add(leaf.SheetPath(name, b.Vessels), nil, err)
		}
		for _, at := range slices.Sorted(maps.Keys(documents)) {
			s.add(at, documents[at], nil)
		}
		page, err := leaf.Working(s.edition, b, entry.Method)
		s.add(leaf.WorkingPath(name, b.Vessels), page, err)
	}
	if entry.Changes != nil {
		page, err := leaf.Changes(s.edition, *entry.Changes, entry.Method)
		s.add(leaf.ChangesPath(name), page, err)
	}
	if entry.Past != nil {
		page, err := leaf.Versions(s.edition, entry.Process, *entry.Past, entry.Method)
		s.add(leaf.VersionsPath(name), page, err)
	}
	page, err := leaf.Trainer(s.edition, recipe.Procedure, entry.Method)
	s.add(leaf.TrainerPath(name), page, err)
	page, err = leaf.Release(s.edition, recipe.Procedure, entry.Method)
	s.add(leaf.ReleasePath(name), page, err)
	page, err = leaf.Troubles(s.edition, recipe.Procedure.Batch, entry.Method)
	s.add(leaf.TroublesPath(name), page, err)
	page, err = leaf.SterilizerCard(s.edition, recipe.Procedure.Batch, entry.Method)
	s.add(leaf.SterilizerCardPath(name), page, err)
	page, err = leaf.Evidence(s.edition, entry.Process, entry.Method)
	s.add(leaf.EvidencePath(name), page, err)
	if page, err = leaf.Grain(s.edition, recipe); page != nil || err != nil {
		s.add(leaf.GrainPath(name), page, err)
	}
	page, err = leaf.Protocol(s.edition, recipe)
	s.add(leaf.ProtocolPath(name), page, err)
	return recipe
}

// inOthers is a batch in the book's other languages.
func (s *shelf) inOthers(protocol string, vessels int) []leaf.Told {
	var out []leaf.Told
	for _, other := range s.others {
		for _, entry := range other.Entries {
			for _, b := range entry.Batches {
				if entry.Method.Protocol == protocol && b.Vessels == vessels {
					out = append(out, leaf.Told{Edition: other.Edition, Procedure: procedure.Build(b), Method: entry.Method})
				}
			}
		}
	}
	return out
}

// Twice says that two pages would have one path: a protocol or a guide has the name of
// a folder that the book needs for itself.
type Twice struct{ Path string }

func (e *Twice) Error() string { return "book: two pages would be " + e.Path }

// ordered sorts files by path, and refuses two of one path.
func ordered(files []File) ([]File, error) {
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	for i := range len(files) - 1 {
		if files[i].Path == files[i+1].Path {
			return nil, &Twice{files[i].Path}
		}
	}
	return files, nil
}

// done refuses links into the void.
func (s *shelf) done() ([]File, error) {
	if s.err != nil {
		return nil, s.err
	}
	has := map[string]bool{}
	for _, f := range s.files {
		has[f.Path] = true
	}
	for _, l := range s.links {
		if !has[l.path] {
			return nil, fmt.Errorf("%s: a link leads to %s, and the book has no such page", l.document, l.path)
		}
	}
	return s.files, nil
}
