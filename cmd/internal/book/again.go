package book

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// Kept keeps things from one run of the program to the next, each by a key. It may
// forget, but never tells what was not kept.
type Kept interface {
	Find(key string) (data []byte, found bool)
	Keep(key string, data []byte)
}

// again is the book that stands in the place of a new one, for those of its pages that
// the new one has just as they are.
type again struct {
	place *place
	sums  map[string]string // of its files
	of    map[string]bool   // the names for what its pages are made of (Page.Of)
}

// again tells what is known of the book that stands; nil where nothing is. The names that
// were kept count for the book with the very marker that was written with them.
func (p *place) again(old stands, kept Kept) *again {
	if kept == nil || old.written == nil {
		return nil
	}
	marker, err := p.parent.ReadFile(filepath.Join(p.name, Marker))
	if err != nil {
		return nil
	}
	data, found := kept.Find(p.folder)
	if !found {
		return nil
	}
	of, is := strings.CutPrefix(string(data), markerName(marker))
	if !is {
		return nil
	}
	a := &again{place: p, sums: old.written, of: map[string]bool{}}
	for name := range strings.Lines(of) {
		a.of[strings.TrimSuffix(name, "\n")] = true
	}
	return a
}

// keep keeps the names of the pages of a book that was put in its place.
func (p *place) keep(kept Kept, marker []byte, pages []Page) {
	if kept == nil {
		return
	}
	var data strings.Builder
	data.WriteString(markerName(marker))
	last := ""
	for _, page := range pages {
		if page.Of != last && page.Of != "" {
			data.WriteString(page.Of + "\n")
		}
		last = page.Of
	}
	kept.Keep(p.folder, []byte(data.String()))
}

func markerName(marker []byte) string { return fmt.Sprintf("%x\n", sha256.Sum256(marker)) }

// has reports whether the book that stands has a page just as it would be set, and with
// which sum.
func (a *again) has(page Page) (sum string, same bool) {
	if a == nil || page.Of == "" || !a.of[page.Of] {
		return "", false
	}
	sum, same = a.sums[page.Path]
	return sum, same
}

// link has a page in the new book as it is in the one that stands: the same file, which
// loses its name there when that book goes. Should somebody write in it until then, that
// book is not replaced (place.swap). Not every file system can do it.
func (a *again) link(f *fresh, name string) error {
	return a.place.parent.Link(filepath.Join(a.place.name, name), filepath.Join(f.name, name))
}

// found is a name for what the page is made of that tells what was found of a protocol,
// which may come from anywhere.
func (s *shelf) found(entry Entry) string {
	if entry.Of == "" {
		return ""
	}
	h := sha256.New()
	fmt.Fprintln(h, entry.Of)
	for _, x := range entry.Findings {
		said := func(m protocol.Message) string {
			if m.ID == "" {
				return ""
			}
			return s.edition.Voice.Say(m)
		}
		fmt.Fprintf(h, "%v %q %+v %q %q %q %q %v\n", x.Severity, x.Rule, x.Place, said(x.What), said(x.Why), said(x.Hint), x.Source, x.Safety)
		if x.By != nil {
			fmt.Fprintf(h, "%+v\n", *x.By)
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}
