package book

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/sanitation"
	"bottlecrop/templates"
)

// Page is one file of a book that is not set yet. Pages may be set in any order and
// several at a time; what some of them have in common is worked out once, for the first
// that asks.
type Page struct {
	Path string // in the book, with slashes
	Of   string // a name for all that it is made of, "" where there is none
	Set  func() ([]byte, error)
}

// Pages are all files of a book, without one of them set: those of a batch together,
// protocol by protocol, and then what is the farm's. An error is one that stands in the
// way of all of them: a template that is none, two pages of one path.
func Pages(in Input) ([]Page, error) {
	pages, _, err := in.listed(leaf.Edition.Ready)
	return pages, err
}

// listed is Pages with what each language has, in editions as ready makes them: pages
// that are only listed need none with templates.
func (in Input) listed(ready func(leaf.Edition) (leaf.Edition, error)) (pages []Page, shelves []*shelf, err error) {
	in = in.beside()
	most := 0
	for _, one := range append([]Input{in}, in.Others...) {
		e, err := ready(one.Edition)
		if err != nil {
			return nil, nil, err
		}
		shelves = append(shelves, &shelf{in: one, edition: e, has: map[string]bool{}, pages: &pages, of: one.Of})
		most = max(most, len(one.Entries))
	}
	for _, s := range shelves {
		if err := s.look(); err != nil {
			return nil, nil, err
		}
		s.anySize(s.in.Module)
	}
	// Protocol by protocol in all languages: what their pages share is soon let go of.
	tell := tellers{}
	for i := range most {
		for _, s := range shelves {
			if i < len(s.in.Entries) {
				s.entry(s.in.Entries[i], tell, shelves)
			}
		}
	}
	for _, s := range shelves {
		s.in.Entries, s.in.Others = s.briefly(), nil
		s.ofTheFarm()
	}
	return pages, shelves, unlike(pages)
}

// Twice says that two pages would have one path: a protocol or a guide has the name of
// a folder that the book needs for itself.
type Twice struct{ Path string }

func (e *Twice) Error() string { return "book: two pages would be " + e.Path }

// unlike refuses two pages of one path.
func unlike(pages []Page) error {
	paths := make([]string, len(pages))
	for i, p := range pages {
		paths[i] = p.Path
	}
	slices.Sort(paths)
	for i := range len(paths) - 1 {
		if paths[i] == paths[i+1] {
			return &Twice{paths[i]}
		}
	}
	return nil
}

// Set sets pages, as many at a time as there are processors, and gives each to write as
// soon as it is set, with its place among them. Write is called by several at a time. A
// page is let go of once it is set, so that a long book takes no more room than a short
// one. The error is that of the first page that fails, in the order of the pages.
func Set(ctx context.Context, pages []Page, write func(i int, f File) error) error {
	errs := make([]error, len(pages))
	var stopped atomic.Bool
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for i := range pages {
		if stopped.Load() { // all before it were begun, and are waited for
			break
		}
		several.Go(func() error {
			if errs[i] = ctx.Err(); errs[i] == nil {
				var data []byte
				if data, errs[i] = pages[i].Set(); errs[i] == nil {
					errs[i] = write(i, File{pages[i].Path, data})
				}
			}
			pages[i].Set = nil
			if errs[i] != nil {
				stopped.Store(true)
			}
			return nil
		})
	}
	_ = several.Wait() // the error is the first in the order of the pages, not of the clock
	return cmp.Or(errs...)
}

// tellers tell each batch of a book once in each of its languages, for the pages of that
// language and for those in two.
type tellers map[teller]func() leaf.Told

type teller struct {
	folder, protocol string
	vessels          int
}

func (t tellers) of(e leaf.Edition, b *batch.Batch, m leaf.Method) func() leaf.Told {
	key := teller{e.Folder, m.Protocol, b.Vessels}
	if t[key] == nil {
		t[key] = leaf.Once(e, b, m)
	}
	return t[key]
}

// shelf gathers the pages of one language.
type shelf struct {
	in      Input
	edition leaf.Edition
	pages   *[]Page         // of the whole book
	has     map[string]bool // its own, by their paths in the language
	recipes []leaf.Recipe
	gists   []func() leaf.Gist
	farm    []leaf.FarmPage // that the home page lists, in that order
	of      string          // the name for what is being added (Page.Of)
}

func (s *shelf) add(name string, set func() ([]byte, error)) {
	s.has[name] = true
	*s.pages = append(*s.pages, Page{path.Join(s.edition.Folder, name), s.of, func() ([]byte, error) {
		data, err := set()
		var astray *astray
		if err != nil && !errors.As(err, &astray) {
			err = fmt.Errorf("book: %s: %w", name, err)
		}
		return data, err
	}})
}

// ready adds a file that is there.
func (s *shelf) ready(name string, data []byte) {
	s.add(name, func() ([]byte, error) { return data, nil })
}

// ofFarm adds a page that is the farm's and no protocol's, and lists it.
func (s *shelf) ofFarm(p leaf.FarmPage, set func() ([]byte, error)) {
	s.add(p.Path, set)
	s.farm = append(s.farm, p)
}

// look brings the stylesheet and the font, with the font's licence.
func (s *shelf) look() error {
	return fs.WalkDir(templates.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(name, ".tmpl") {
			return err
		}
		at := path.Join(path.Dir(leaf.StylePath), name)
		set := func() ([]byte, error) { return fs.ReadFile(templates.Files, name) }
		if at == leaf.StylePath {
			set = s.edition.Stylesheet
		}
		s.add(at, set)
		return nil
	})
}

// entry adds the pages of one protocol.
func (s *shelf) entry(entry Entry, tell tellers, shelves []*shelf) {
	e, name, method := s.edition, entry.Process.Input.Protocol.Name, entry.Method
	defer func(of string) { s.of = of }(s.of)
	s.of = entry.Of
	recipe := leaf.Recipe{Process: entry.Process, Batches: entry.Batches, Method: method, Findings: entry.Findings}
	told := func() leaf.Told { return leaf.Told{} }
	var first *batch.Batch
	for i, b := range entry.Batches {
		this := tell.of(e, b, method)
		if i == 0 {
			first, told = b, this
		}
		var others []func() leaf.Told
		if e.Folder == "" {
			others = inOthers(name, b.Vessels, tell, shelves)
		}
		for _, d := range leaf.Documents(e, b, this, others...) {
			s.add(d.Path, d.Set)
		}
		s.add(leaf.WorkingPath(name, b.Vessels), func() ([]byte, error) { return leaf.Working(e, b, method) })
	}
	gist := sync.OnceValue(func() leaf.Gist { return e.Gist(recipe, told().Procedure) })
	s.recipes, s.gists = append(s.recipes, brief(recipe)), append(s.gists, gist)
	if entry.Changes != nil {
		s.add(leaf.ChangesPath(name), func() ([]byte, error) { return leaf.Changes(e, *entry.Changes, method) })
	}
	if entry.Past != nil {
		s.add(leaf.VersionsPath(name), func() ([]byte, error) { return leaf.Versions(e, entry.Process, *entry.Past, method) })
	}
	s.add(leaf.TrainerPath(name), func() ([]byte, error) { return leaf.Trainer(e, told().Procedure, method) })
	s.add(leaf.ReleasePath(name), func() ([]byte, error) { return leaf.Release(e, told().Procedure, method) })
	s.add(leaf.TroublesPath(name), func() ([]byte, error) { return leaf.Troubles(e, first, method) })
	s.add(leaf.SterilizerCardPath(name), func() ([]byte, error) { return leaf.SterilizerCard(e, first, method) })
	s.add(leaf.EvidencePath(name), func() ([]byte, error) { return leaf.Evidence(e, entry.Process, method) })
	if entry.Process.Grain != nil && first != nil {
		s.add(leaf.GrainPath(name), func() ([]byte, error) { return leaf.Grain(e, recipe) })
	}
	s.of = s.found(entry)
	s.add(leaf.ProtocolPath(name), func() ([]byte, error) {
		gist() // now, as long as the others hold how it is told
		return leaf.Protocol(e, recipe)
	})
	s.carried(entry, s.in.Today)
}

// inOthers is a batch in the book's other languages.
func inOthers(name string, vessels int, tell tellers, shelves []*shelf) []func() leaf.Told {
	var out []func() leaf.Told
	for _, other := range shelves[1:] {
		i, found := slices.BinarySearchFunc(other.in.Entries, name, func(e Entry, name string) int { return strings.Compare(e.Method.Protocol, name) })
		if !found {
			continue
		}
		entry := other.in.Entries[i]
		for _, b := range entry.Batches {
			if b.Vessels == vessels {
				out = append(out, tell.of(other.edition, b, entry.Method))
			}
		}
	}
	return out
}

// ofTheFarm adds what is no protocol's: guides, the library, limits, the farm's pages,
// what finds things, and the home page.
func (s *shelf) ofTheFarm() {
	e, in := s.edition, s.in
	recipes := s.recipes
	gists := sync.OnceValue(func() []leaf.Gist {
		out := make([]leaf.Gist, len(s.gists))
		for i, g := range s.gists {
			out[i] = g()
		}
		return out
	})
	guides := s.guides()
	library := sync.OnceValues(func() (map[string][]byte, error) { return leaf.Library(e, in.Library, recipes) })
	for _, at := range []string{leaf.SpeciesPath, leaf.IngredientsPath, leaf.VesselsPath, leaf.SterilizersPath, leaf.TroubleEntriesPath} {
		s.add(at, oneOf(library, at))
	}
	cleans := in.cleans()
	s.add(leaf.LimitsPath, func() ([]byte, error) { return leaf.Limits(e, recipes, in.Climate, cleans) })
	if len(in.Entries) > 0 {
		s.add(leaf.ShiftPath, func() ([]byte, error) { return leaf.Shift(e, gists()) })
	}
	s.rooms(in.Climate)
	s.season(in.Season, recipes)
	if in.Results != nil {
		s.ofFarm(leaf.ResultsFarmPage(e), func() ([]byte, error) { return leaf.Results(e, in.Results, recipes, in.Trace != nil) })
		s.add(leaf.ResultsWorkingPath, func() ([]byte, error) { return leaf.ResultsWorking(e, in.Results) })
	}
	if in.Trace != nil {
		s.ofFarm(leaf.TraceFarmPage(e), func() ([]byte, error) { return leaf.Trace(e, in.Trace) })
	}
	if cleans != nil {
		s.ofFarm(leaf.HygieneFarmPage(e), func() ([]byte, error) { return leaf.Hygiene(e, cleans) })
	}
	if in.Review != nil {
		s.ofFarm(leaf.ReviewFarmPage(e, in.Review), func() ([]byte, error) { return leaf.Reviewing(e, in.Review) })
	}
	farm := s.farm
	s.add(leaf.HomePath, func() ([]byte, error) {
		var titles []leaf.GuideLink
		for _, g := range guides() {
			titles = append(titles, leaf.GuideLink{Name: g.Name, Title: g.Title})
		}
		return leaf.Home(e, recipes, farm, titles, in.Library)
	})
	terms := sync.OnceValue(func() leaf.Terms { return e.Terms(gists(), farm, guides(), in.Library) })
	s.add(leaf.SearchPath, func() ([]byte, error) { return leaf.Search(e, terms()) })
	s.add(leaf.SearchIndexPath, func() ([]byte, error) { return e.SearchIndex(terms()) })
	s.add(leaf.IndexPath, func() ([]byte, error) { return leaf.Index(e, terms()) })
}

// oneOf is one of several pages that are set together.
func oneOf(all func() (map[string][]byte, error), at string) func() ([]byte, error) {
	return func() ([]byte, error) {
		pages, err := all()
		return pages[at], err
	}
}

// astray is a link of a guide into the void.
type astray struct{ document, path string }

func (a *astray) Error() string {
	return fmt.Sprintf("%s: a link leads to %s, and the book has no such page", a.document, a.path)
}

// guides adds the guides with their pictures, and gives their parts.
func (s *shelf) guides() func() []leaf.GuideParts {
	texts := make([]func() leaf.GuideParts, len(s.in.Guides))
	for i, g := range s.in.Guides {
		t := prose.Text{Name: g.Name, Document: g.Document, Markdown: g.Markdown, Pictures: g.Pictures}
		texts[i] = sync.OnceValue(t.Parts)
		for _, name := range slices.Sorted(maps.Keys(g.Pictures)) {
			if at := path.Join(path.Dir(leaf.GuidePath(g.Name)), name); !s.has[at] { // once for all guides
				s.ready(at, g.Pictures[name].Data)
			}
		}
		s.add(leaf.GuidePath(g.Name), func() ([]byte, error) {
			page, links, err := prose.Guide(s.edition, t)
			for _, l := range links {
				if err == nil && !s.has[l] {
					err = &astray{g.Document, l}
				}
			}
			return page, err
		})
	}
	return sync.OnceValue(func() []leaf.GuideParts {
		out := make([]leaf.GuideParts, len(texts))
		for i, t := range texts {
			out[i] = t()
		}
		return out
	})
}

// rooms adds the cards for the doors of the rooms, and the author's page on them.
func (s *shelf) rooms(c *leaf.Climate) {
	if c == nil {
		return
	}
	e := s.edition
	s.ofFarm(leaf.RoomsFarmPage(e, *c), func() ([]byte, error) { return leaf.Rooms(e, *c) })
	for _, room := range c.Rooms {
		s.add(leaf.RoomPath(room.ID), func() ([]byte, error) { return leaf.RoomCard(e, room, c.Processes) })
		s.add(leaf.RoomWorkingPath(room.ID), func() ([]byte, error) { return leaf.RoomWorking(e, *c, room) })
	}
}

// season adds the pages of the season, where there is one.
func (s *shelf) season(planned *leaf.Season, recipes []leaf.Recipe) {
	if planned == nil {
		return
	}
	e := s.edition
	s.ofFarm(planned.FarmPage(e), func() ([]byte, error) { return leaf.SeasonPage(e, *planned, recipes) })
	weeks := sync.OnceValues(func() (map[string][]byte, error) { return leaf.Weeks(e, *planned, recipes) })
	for _, monday := range planned.Mondays() {
		s.add(leaf.WeekPath(monday), oneOf(weeks, leaf.WeekPath(monday)))
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
