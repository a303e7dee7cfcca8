package main

import (
	"bytes"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/words"
)

// safetyPage is the program's page on pressure vessels.
const safetyPage = "pressure-vessels"

// What a farm may have of pages and templates (design choices); what one page may hold is
// package prose's to say.
const (
	mostGuides      = 500     // pages of the folder site
	mostOfATemplate = 1 << 20 // bytes of a template, or of the stylesheet
)

// pages reads the guides: the program's own, and those of the farm's site
// folder, which may replace them by name.
func (f *farm) pages() {
	byName := map[string]book.Guide{}
	for name, text := range ourGuides(words.Original) {
		byName[name] = book.Guide{Name: name, Markdown: text, Document: "site/" + name + ".md", Written: words.Original}
	}
	for name, text := range ourGuides(base(f.languages()[0])) {
		byName[name] = book.Guide{Name: name, Markdown: text, Document: "site/" + name + ".md"}
	}
	theirs, err := fs.Glob(f.fsys, "site/*.md")
	if err != nil {
		panic(err)
	}
	if len(theirs) > mostGuides {
		f.findings = append(f.findings, pageFault("site", 0, "many", "found", len(theirs), "most", mostGuides))
		return
	}
	for _, file := range theirs {
		text, fault := f.page(file)
		if fault != nil {
			f.findings = append(f.findings, *fault)
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
	in := book.Input{Edition: f.edition(), Entries: f.entries, Guides: f.guides, Library: f.folder.Library, Trace: f.traced(), Review: f.review}
	// To know which pages there are takes no figures.
	if len(f.folder.Results.Batches) > 0 {
		in.Results = &results.Record{}
	}
	if shown := climate.Shown(f.folder.Farm); len(shown) > 0 {
		in.Climate = &leaf.Climate{}
		for _, i := range shown {
			in.Climate.Rooms = append(in.Climate.Rooms, &climate.Room{Room: f.folder.Farm.Rooms[i]})
		}
	}
	texts := slices.Clone(f.guides)
	for _, tag := range f.languages()[1:] {
		v, err := f.voiceIn(tag)
		if err != nil {
			panic(err) // the reader has refused a language that there is not
		}
		other := in
		other.Edition.Voice, other.Edition.Folder, other.Guides = v, tag, f.elsewhere[base(tag)]
		in.Others = append(in.Others, other)
		texts = append(texts, other.Guides...)
	}
	lost, err := in.Lost()
	if err != nil {
		return // two pages of one path, which is said as the book is made
	}
	for _, l := range lost {
		if len(f.folder.Orders.Orders) > 0 && leaf.IsOfSeason(l.Path) {
			continue // not planned yet; the book refuses a week that is not in it
		}
		place := protocol.Place{File: l.Document}
		for _, g := range texts {
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
func (f *farm) page(file string) (text []byte, fault *protocol.Finding) {
	refuse := func(line int, wrong string, pairs ...any) ([]byte, *protocol.Finding) {
		x := pageFault(file, line, wrong, pairs...)
		return nil, &x
	}
	text, size, wrong := f.text(file, prose.MostBytes)
	switch wrong {
	case "":
	case "too_large":
		return refuse(0, "bytes", "found", kilobytes(size), "most", kilobytes(prose.MostBytes))
	default:
		return refuse(0, wrong)
	}
	if farmfile.IsDevice(guideName(file)) {
		return refuse(0, "device", "name", guideName(file))
	}
	if !farmfile.IsName(guideName(file)) {
		return refuse(0, "name", "most", farmfile.MostName)
	}
	if x, over := prose.TooMuch(text); over {
		return refuse(x.Line, x.Of, "found", x.Found, "most", x.Most)
	}
	return text, nil
}

// pageFault is what is wrong with a page, and on which line, 0 for none.
func pageFault(file string, line int, wrong string, pairs ...any) protocol.Finding {
	return protocol.Finding{Severity: protocol.Error, Rule: "page." + wrong, Place: protocol.Place{File: file, Line: line},
		What: words.Message("page."+wrong, pairs...), Hint: words.Message("page." + wrong + ".hint")}
}

// kilobytes rounds up: what is over a bound by a byte is not told as what is within it.
func kilobytes(bytes int64) int { return int((bytes + 1023) >> 10) }

// text reads a text of the farm's that a page is made of and that has so many bytes at
// most, or says what is wrong with it.
func (f *farm) text(file string, most int64) (text []byte, size int64, wrong string) {
	info, err := fs.Stat(f.fsys, file)
	switch {
	case err != nil:
		return nil, 0, "unreadable"
	case !info.Mode().IsRegular():
		return nil, 0, "not_a_file"
	case info.Size() > most:
		return nil, info.Size(), "too_large"
	}
	opened, err := f.fsys.Open(file)
	if err != nil {
		return nil, 0, "unreadable"
	}
	defer opened.Close()
	text, err = io.ReadAll(io.LimitReader(opened, most+1)) // it may have grown, or be no plain file any more
	switch {
	case err != nil:
		return nil, 0, "unreadable"
	case int64(len(text)) > most:
		return nil, int64(len(text)), "too_large"
	case !utf8.Valid(text):
		return nil, 0, "not_utf8"
	}
	return bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), int64(len(text)), "" // as Windows ends lines
}

func guideName(file string) string { return strings.TrimSuffix(path.Base(file), ".md") }
