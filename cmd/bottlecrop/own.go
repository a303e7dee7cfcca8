package main

import (
	"bytes"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/templates"
)

// ownFolder is where a farm keeps templates of its own.
const ownFolder = "templates"

// own is the templates and the stylesheet of a farm's own, by file name, and
// what is wrong with them. They count only for a book that is asked to use them.
type own struct {
	found    []string // names of all, those too that can't be used
	files    map[string][]byte
	findings []protocol.Finding
}

// readOwn reads a farm's own templates. A file that says the same as the
// program's is not the farm's own: this repository is a farm folder too.
func (f *farm) readOwn() {
	f.own.files = map[string][]byte{}
	known := leaf.Replaceable()
	for _, ending := range []string{".tmpl", ".css"} {
		found, err := fs.Glob(f.fsys, ownFolder+"/*"+ending)
		if err != nil {
			panic(err) // the pattern is ours
		}
		for _, file := range found {
			name := path.Base(file)
			f.readOne(file, name, known)
		}
	}
	slices.Sort(f.own.found)
	for _, x := range (leaf.Edition{Voice: f.voice, Own: f.own.files}).Faults() {
		f.own.findings = append(f.own.findings, f.own.finding(x))
	}
}

func (f *farm) readOne(file, name string, known []string) {
	text, size, wrong := f.ownFile(file)
	if ours, err := fs.ReadFile(templates.Files, name); err == nil && wrong == "" && bytes.Equal(ours, text) {
		return
	}
	f.own.found = append(f.own.found, name)
	switch {
	case !slices.Contains(known, name):
		hint := words.Message("template.unknown.hint", "known", strings.Join(known, ", "))
		if near := nearestFile(name, known); near != "" {
			hint = words.Message("template.unknown.near", "near", near)
		}
		f.own.fault(file, "unknown", words.Message("template.unknown", "found", name), hint)
	case wrong == "too_large":
		f.own.fault(file, wrong, words.Message("template.too_large", "found", kilobytes(size), "most", kilobytes(mostOfATemplate)), words.Message("template.too_large.hint"))
	case wrong != "":
		f.own.fault(file, wrong, words.Message("template."+wrong), words.Message("template."+wrong+".hint"))
	default:
		f.own.files[name] = text
	}
}

// nearestFile finds the template that was probably meant: its name without the
// endings may be two letters off.
func nearestFile(name string, known []string) string {
	if near := protocol.Nearest(name, known); near != "" {
		return near
	}
	stem := func(s string) string { s, _, _ = strings.Cut(s, "."); return s }
	for _, k := range known {
		if stem(k) == stem(name) {
			return k
		}
	}
	return ""
}

// ownFile reads one template, or says what is wrong with it.
func (f *farm) ownFile(file string) (text []byte, size int64, wrong string) {
	if text, size, wrong = f.text(file, mostOfATemplate); wrong == "not_a_file" {
		wrong = "unreadable"
	}
	return text, size, wrong
}

func (o *own) fault(file, rule string, what, hint protocol.Message) {
	o.findings = append(o.findings, protocol.Finding{
		Severity: protocol.Error, Rule: "template." + rule, Place: protocol.Place{File: file}, What: what, Hint: hint,
	})
}

// finding is a fault of a template with its place in the farm folder.
func (o *own) finding(x *leaf.Fault) protocol.Finding {
	place := protocol.Place{File: ownFolder + "/" + x.File, Line: x.Line, Column: x.Column, EndColumn: x.Column + 1}
	if lines := strings.Split(string(o.files[x.File]), "\n"); x.Line > 0 && x.Line <= len(lines) && x.Column > 0 {
		place.Text = strings.TrimSuffix(lines[x.Line-1], "\r")
	}
	return protocol.Finding{Severity: protocol.Error, Rule: x.Rule, Place: place, What: x.What, Hint: x.Hint}
}

// use puts the farm's own templates into force: what is wrong with them now
// stands in the way of a book.
func (f *farm) use() {
	f.inForce = true
	f.findings = append(f.findings, f.own.findings...)
	protocol.Sort(f.findings)
}

// broken adds the template that failed while a page was set to the findings; it
// is false where something else failed.
func (f *farm) broken(err error) bool {
	var fault *leaf.Fault
	if !errors.As(err, &fault) {
		return false
	}
	f.findings = append(f.findings, f.own.finding(fault))
	return true
}
