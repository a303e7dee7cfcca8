package main

import (
	"slices"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/book"
)

// preview is a book whose pages are set when somebody asks for them: at first those of
// one protocol, without a look at the others.
type preview struct {
	in     book.Input
	folder map[string]bool // of the other languages
	whole  func() (map[string]func() ([]byte, error), error)

	mu    sync.Mutex
	alone map[string]func() (map[string]func() ([]byte, error), error) // by protocol
}

// newPreview is the book of an input; what does not depend on farm or protocols is taken
// over from the last one.
func newPreview(in book.Input, last *preview) (*preview, error) {
	p := &preview{in: in, folder: map[string]bool{}, alone: map[string]func() (map[string]func() ([]byte, error), error){}}
	was := book.Input{}
	if last != nil {
		was = last.in
	}
	var err error
	if p.in.Edition, err = in.Edition.ReadyAs(was.Edition); err != nil {
		return nil, err
	}
	p.in.Others = slices.Clone(in.Others)
	for i, other := range p.in.Others {
		p.folder[other.Folder] = true
		if i < len(was.Others) {
			was.Edition = was.Others[i].Edition
		}
		if p.in.Others[i].Edition, err = other.Edition.ReadyAs(was.Edition); err != nil {
			return nil, err
		}
	}
	p.whole = sync.OnceValues(func() (map[string]func() ([]byte, error), error) { return settable(p.in) })
	return p, nil
}

// settable are the pages of a book by path, each set once.
func settable(in book.Input) (map[string]func() ([]byte, error), error) {
	pages, err := book.Pages(in)
	if err != nil {
		return nil, err
	}
	out := make(map[string]func() ([]byte, error), len(pages))
	for _, page := range pages {
		out[page.Path] = sync.OnceValues(page.Set)
	}
	return out, nil
}

// Page implements view.Pages.
func (p *preview) Page(path string) (data []byte, found bool, err error) {
	for _, pages := range []func() (map[string]func() ([]byte, error), error){p.of(path), p.whole} {
		if pages == nil {
			continue
		}
		all, err := pages()
		if err != nil {
			return nil, true, err
		}
		if set := all[path]; set != nil {
			data, err = set()
			return data, true, err
		}
	}
	return nil, false, nil
}

// of are the pages of the protocol that a path is of; nil where it is of none.
func (p *preview) of(path string) func() (map[string]func() ([]byte, error), error) {
	name, rest, _ := strings.Cut(path, "/")
	if p.folder[name] {
		name, _, _ = strings.Cut(rest, "/")
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if pages := p.alone[name]; pages != nil {
		return pages
	}
	in, ok := only(p.in, name)
	if !ok {
		return nil
	}
	in.Others = slices.Clone(in.Others)
	for i, other := range in.Others {
		in.Others[i], _ = only(other, name)
	}
	// What is the farm's is the whole book's, and is not asked for here.
	p.alone[name] = sync.OnceValues(func() (map[string]func() ([]byte, error), error) {
		pages, err := settable(in)
		for path := range pages {
			own := path
			if folder, rest, ok := strings.Cut(path, "/"); ok && p.folder[folder] {
				own = rest
			}
			if !strings.HasPrefix(own, name+"/") {
				delete(pages, path)
			}
		}
		return pages, err
	})
	return p.alone[name]
}

// only is a book with one of its protocols, and whether it has that.
func only(in book.Input, name string) (book.Input, bool) {
	i, found := slices.BinarySearchFunc(in.Entries, name, func(e book.Entry, name string) int { return strings.Compare(e.Method.Protocol, name) })
	if found {
		in.Entries = in.Entries[i : i+1]
	} else {
		in.Entries = nil
	}
	return in, found
}
