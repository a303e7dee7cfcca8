// Package book sets a whole book, a static site of sheets, protocols, workings,
// guides, the library and the limits, and publishes it into a folder whole or
// not at all.
//
// Render is a pure function from what was worked out to the bytes of every
// file; Publish alone touches the disk.
package book

import (
	"context"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/results"
	"bottlecrop/cmd/internal/trace"
	"bottlecrop/cmd/internal/words"
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
	// Of is a name for all that the farm's own pages are made of: the same name, the same
	// pages. Without one they are set each time.
	Of string
}

// Entry is one protocol with its batches.
type Entry struct {
	Process  *process.Process
	Batches  []*batch.Batch // one for each size, ascending
	Method   leaf.Method
	Findings []protocol.Finding // with their places, sorted
	Changes  *leaf.Compared     // with what is new since then; nil where that is not told
	Past     *leaf.Past         // its versions; nil where they are not told
	Of       string             // as Input.Of, for the pages of the protocol, but for its findings
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
	Path     string // where it leads in the book; "" where that can be nowhere
}

// Lost lists the links of guides that lead to no page in their language, without setting
// a page: what Render would refuse, soon enough to tell where it stands. A guide that
// stands in several languages as it is written in one is looked at in each. An error is
// one of Pages.
func (in Input) Lost() ([]Astray, error) {
	_, shelves, err := in.listed(func(e leaf.Edition) (leaf.Edition, error) { return e, nil })
	if err != nil {
		return nil, err
	}
	var out []Astray
	for _, s := range shelves {
		for _, g := range s.in.Guides {
			for _, l := range (prose.Text{Name: g.Name, Document: g.Document, Markdown: g.Markdown}).Links() {
				if a := (Astray{g.Document, l.Written, l.Path}); !s.has[l.Path] && !slices.Contains(out, a) {
					out = append(out, a)
				}
			}
		}
	}
	return out, nil
}

// File is one file of a book.
type File struct {
	Path string // relative, with slashes
	Data []byte
}

// Render sets every page of the book. It is a pure function: the same input
// gives the same bytes. The files come sorted by path.
func Render(in Input) ([]File, error) {
	pages, err := Pages(in)
	if err != nil {
		return nil, err
	}
	out := make([]File, len(pages))
	err = Set(context.Background(), pages, func(i int, f File) error {
		out[i] = f
		return nil
	})
	if err != nil {
		return nil, err
	}
	slices.SortFunc(out, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return out, nil
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
