package main

import (
	"bytes"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// safetyPage is the program's page on pressure vessels.
const safetyPage = "pressure-vessels"

// mostOfAPage is the largest Markdown page that is read, in bytes.
const mostOfAPage = 1 << 20

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
	in.Trace = f.traced()
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
