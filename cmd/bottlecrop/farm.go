package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/limit"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
	"bottlecrop/site"
)

// farm is a farm folder with everything that was worked out of it.
type farm struct {
	fsys     fs.FS
	close    func() error
	folder   *farmfile.Folder
	voice    *words.Voice
	entries  []book.Entry       // the protocols without errors, by name
	findings []protocol.Finding // all, with their places, sorted
	files    int                // protocol files, those too that could not be read
	guides   []book.Guide
	sources  map[string]string  // of files in which the place of a word was looked for
	evidence []process.Evidence // the probe runs whose logs could be read
	own      own
	shared   *climate.Site
	inForce  bool // whether the farm's own templates are used
}

// readFarm reads a farm folder. Findings are for the caller to print; an error
// is a folder that can't be read at all. The caller closes it.
func readFarm(s *settings) (*farm, error) {
	info, err := os.Stat(s.farm)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &failure{environment, words.Message("command.no_folder", "folder", s.farm), words.Message("command.hint.start")}
	case err != nil:
		return nil, err
	case !info.IsDir():
		return nil, &failure{environment, words.Message("command.not_folder", "folder", s.farm), words.Message("command.hint.start")}
	}
	// A root keeps a link in the folder from leading out of it.
	root, err := os.OpenRoot(s.farm)
	if err != nil {
		return nil, err
	}
	f := &farm{fsys: root.FS(), close: root.Close, sources: map[string]string{}}
	f.folder, f.findings = farmfile.Read(f.fsys, protocols.Library)
	f.readEvidence()
	sys, err := s.system(f.folder.Farm.Units)
	if err != nil && s.units != "" {
		return nil, errors.Join(err, root.Close())
	}
	f.voice = words.English(sys)
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
	f.pages()
	if f.folder.Usable {
		for _, p := range f.folder.Protocols {
			f.plan(p, sizes)
		}
	}
	f.judgeRooms()
	f.judgeHygiene()
	f.pictures()
	f.links()
	f.readOwn()
	names, err := fs.Glob(f.fsys, protocol.Document("*"))
	if err != nil {
		panic(err) // the pattern is ours
	}
	for _, name := range names {
		// Hidden files are no protocols: editors keep copies under such names.
		if protocol.IsProtocol(name) && !strings.HasPrefix(path.Base(name), ".") {
			f.files++
		}
	}
	protocol.Sort(f.findings)
	// A protocol's own page has all that concerns it, also what a protocol that
	// it is based on has been told already.
	for i := range f.entries {
		f.entries[i].Findings = f.distinct(f.of(f.entries[i].Method.Protocol))
	}
	f.findings = told(f.distinct(f.findings))
	return f, nil
}

// judgeRooms judges the farm's rooms, full of what the protocols without errors would
// put there.
func (f *farm) judgeRooms() {
	if !f.folder.Usable {
		return
	}
	f.add(climate.Findings(f.site(), f.processes()))
}

// site is what all rooms of the farm share.
func (f *farm) site() *climate.Site {
	if f.shared == nil {
		f.shared = climate.NewSite(f.folder.Farm, f.folder.Library)
	}
	return f.shared
}

// climate is what the book shows of the rooms, nil where none has setpoints.
func (f *farm) climate(planned *leaf.Season) *leaf.Climate {
	rooms := climate.Rooms(f.site(), f.processes())
	if len(rooms) == 0 {
		return nil
	}
	out := &leaf.Climate{Site: f.site(), Rooms: rooms, Processes: f.processes()}
	if planned != nil {
		out.Busiest = map[string]leaf.Busiest{}
		for i, r := range f.folder.Farm.Rooms {
			if b, ok := busiest(f.site(), i, planned.Season, r.ID); ok {
				out.Busiest[r.ID] = b
			}
		}
	}
	return out
}

// busiest is a room on the day of a season on which what stands there gives off most
// CO2. What stands there changes on few days, so each of these is worked out once.
func busiest(site *climate.Site, i int, planned *season.Season, id string) (out leaf.Busiest, found bool) {
	most := 0.0
	for _, day := range planned.Changes(id) {
		var standing []climate.Standing
		for _, stay := range planned.In(id, day) {
			p := planned.Batches[stay.Batch].Batch.Process
			// Batches of one protocol breathe alike: they count together.
			k := slices.IndexFunc(standing, func(s climate.Standing) bool { return s.Process == p && s.Stage == stay.Stage })
			if k < 0 {
				k, standing = len(standing), append(standing, climate.Standing{Process: p, Stage: stay.Stage})
			}
			standing[k].Vessels += stay.Vessels
		}
		r := climate.Work(site, i, standing)
		if g, ok := r.Value("co2_given"); ok && g > most {
			most, out, found = g, leaf.Busiest{Day: day, Room: r}, true
		}
	}
	return out, found
}

// processes are those of the protocols without errors.
func (f *farm) processes() []*process.Process {
	var out []*process.Process
	for _, e := range f.entries {
		out = append(out, e.Process)
	}
	return out
}

// plan works out one protocol with all its sizes.
func (f *farm) plan(p protocol.Protocol, sizes []int) {
	in := process.Input{Farm: f.folder.Farm, Library: f.folder.Library, Protocol: p, Units: f.voice.Units(), Evidence: f.evidenceFor(p)}
	pr, err := process.Plan(in)
	if err != nil {
		// The reader has said already what is missing.
		return
	}
	written := append(f.authored(pr), climate.OfProtocol(f.site(), pr)...)
	f.add(pr.Findings)
	f.add(written)
	f.add(f.control(p))
	if max(protocol.Worst(pr.Findings), protocol.Worst(written)) == protocol.Error {
		return
	}
	entry := book.Entry{Process: pr, Method: f.method(p.Name)}
	for _, n := range union(p.BatchSizes, sizes) {
		b, err := batch.Compute(pr, n)
		if err != nil {
			continue // a size out of range, which the reader has refused
		}
		f.add(b.Own)
		entry.Batches = append(entry.Batches, b)
	}
	// Only now is it known what every size crosses.
	found := [][]protocol.Finding{pr.Findings, written}
	for _, b := range entry.Batches {
		found = append(found, b.Own)
	}
	f.add(limit.Unused(p.Acknowledged, in.Document(), p.Name, found...))
	f.entries = append(f.entries, entry)
}

func (f *farm) method(name string) leaf.Method {
	return leaf.Method{Protocol: name, Short: f.folder.ShortFingerprint(name), Full: f.folder.Fingerprint(name)}
}

// add takes findings in, and looks up where they stand.
func (f *farm) add(list []protocol.Finding) {
	for _, x := range list {
		if x.Place == (protocol.Place{}) {
			x.Place = f.place(x)
		}
		f.findings = append(f.findings, x)
	}
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
		// What one protocol's author stands by, another's may not have seen.
		key := where(x.Place) + "\x00" + x.Rule + "\x00" + f.voice.Say(severity(x)) + "\x00" + f.voice.Say(x.What)
		if !seen[key] {
			seen[key] = true
			out = append(out, x)
		}
	}
	return out
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
		if x.Subject == name || x.Subject == "" || x.Place.File == protocol.FarmDocument && x.By == nil {
			out = append(out, x)
		}
	}
	return out
}

func (f *farm) edition() leaf.Edition {
	e := leaf.Edition{Farm: f.folder.Farm, Voice: f.voice, Version: version, Place: f.folder.Place}
	if f.inForce {
		e.Own = f.own.files
	}
	return e
}

// safetyPage is the program's page on pressure vessels.
const safetyPage = "pressure-vessels"

// mostOfAPage is the largest Markdown page that is read, in bytes.
const mostOfAPage = 1 << 20

// pages reads the guides: the program's own, and those of the farm's site
// folder, which may replace them by name.
func (f *farm) pages() {
	byName := map[string]book.Guide{}
	own, err := fs.Glob(site.Pages, "*.md")
	if err != nil {
		panic(err) // the pattern is ours
	}
	for _, file := range own {
		text, err := fs.ReadFile(site.Pages, file)
		if err != nil {
			panic(err) // it is compiled in
		}
		byName[guideName(file)] = book.Guide{Name: guideName(file), Markdown: text, Document: "site/" + file}
	}
	theirs, err := fs.Glob(f.fsys, "site/*.md")
	if err != nil {
		panic(err)
	}
	for _, file := range theirs {
		text, what := f.page(file)
		if what != "" {
			f.findings = append(f.findings, protocol.Finding{
				Severity: protocol.Error, Rule: "page." + what, Place: protocol.Place{File: file},
				What: words.Message("page." + what), Hint: words.Message("page." + what + ".hint"),
			})
			continue
		}
		// A farm may have a page of its own in place of one of ours; that it does is
		// said, and the page on pressure vessels is one that people's safety hangs on.
		if ours, ok := byName[guideName(file)]; ok && !bytes.Equal(ours.Markdown, text) {
			x := protocol.Finding{
				Severity: protocol.Note, Rule: "page.replaced", Place: protocol.Place{File: file},
				What: words.Message("page.replaced"), Hint: words.Message("page.replaced.hint"),
			}
			if guideName(file) == safetyPage {
				x.Severity, x.Safety = protocol.Warning, true
			}
			f.findings = append(f.findings, x)
		}
		byName[guideName(file)] = book.Guide{Name: guideName(file), Markdown: text, Document: file}
	}
	for _, name := range sorted(byName) {
		f.guides = append(f.guides, byName[name])
	}
}

// links finds the links of guides into the void. With another error in the
// folder some page may be missing for that reason alone, so it waits.
func (f *farm) links() {
	if protocol.Worst(f.findings) == protocol.Error {
		return
	}
	in := book.Input{Entries: f.entries, Guides: f.guides}
	in.Results, _ = f.record() // what keeps it from being worked out keeps the book from being made
	for _, l := range in.Lost() {
		place := protocol.Place{File: l.Document}
		for _, g := range f.guides {
			if g.Document == l.Document {
				place = spot(l.Document, string(g.Markdown), "](", l.Written)
			}
		}
		f.findings = append(f.findings, protocol.Finding{
			Severity: protocol.Error, Rule: "page.link", Place: place,
			What: words.Message("page.link", "link", l.Written), Hint: words.Message("page.link.hint"),
		})
	}
}

// spot is where a part of a text stands right behind another, or the file as a
// whole.
func spot(file, text, before, part string) protocol.Place {
	for i, line := range strings.Split(text, "\n") {
		if at := strings.Index(line, before+part); at >= 0 {
			column := utf8.RuneCountInString(line[:at+len(before)]) + 1
			return protocol.Place{File: file, Line: i + 1, Column: column,
				EndColumn: column + utf8.RuneCountInString(part), Text: strings.TrimSuffix(line, "\r")}
		}
	}
	return protocol.Place{File: file}
}

// page reads one Markdown file, or says what is wrong with it.
func (f *farm) page(file string) (text []byte, wrong string) {
	if text, wrong = f.text(file); wrong != "" {
		return nil, wrong
	}
	if !guidePattern.MatchString(guideName(file)) {
		return nil, "name"
	}
	return text, ""
}

// text reads a text of the farm's that a page is made of, or says what is wrong
// with it.
func (f *farm) text(file string) (text []byte, wrong string) {
	info, err := fs.Stat(f.fsys, file)
	switch {
	case err != nil:
		return nil, "unreadable"
	case !info.Mode().IsRegular():
		return nil, "not_a_file"
	case info.Size() > mostOfAPage:
		return nil, "too_large"
	}
	text, err = fs.ReadFile(f.fsys, file)
	switch {
	case err != nil:
		return nil, "unreadable"
	case !utf8.Valid(text):
		return nil, "not_utf8"
	}
	return text, ""
}

func guideName(file string) string { return strings.TrimSuffix(path.Base(file), ".md") }

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
