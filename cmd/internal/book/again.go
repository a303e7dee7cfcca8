package book

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path"
	"runtime"
	"strings"

	"golang.org/x/sync/errgroup"

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
	info  fs.FileInfo       // of its folder
	book  *os.Root          // while pages are taken
	sums  map[string]string // of its files
	of    map[string]bool   // the names for what its pages are made of (Page.Of)
}

// again tells what is known of the book that stands; nil where nothing is. The names that
// were kept count for the book with the very marker that was written with them.
func (p *place) again(old stands, kept Kept) *again {
	if kept == nil || old.written == nil {
		return nil
	}
	data, found := kept.Find(p.folder)
	of, is := strings.CutPrefix(string(data), old.marker+"\n")
	if !found || !is {
		return nil
	}
	a := &again{place: p, info: old.info, sums: old.written, of: map[string]bool{}}
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
	data.WriteString(Name(string(marker)) + "\n")
	last := ""
	for _, page := range pages {
		if page.Of != last && page.Of != "" {
			data.WriteString(page.Of + "\n")
		}
		last = page.Of
	}
	kept.Keep(p.folder, []byte(data.String()))
}

// has reports whether the book that stands has a page just as it would be set, and with
// which sum.
func (a *again) has(page Page) (sum string, same bool) {
	if page.Of == "" || !a.of[page.Of] {
		return "", false
	}
	sum, same = a.sums[page.Path]
	return sum, same
}

// take has pages in the new book as they are in the one that stands, and gives the sum of
// each; none of one that has to be set. Folders are gone through several at a time, for to
// find one anew takes longer than to link a page.
func (a *again) take(ctx context.Context, f *fresh, pages []Page, done func()) (sums []string, err error) {
	sums = make([]string, len(pages))
	if a.book, err = a.place.parent.OpenRoot(a.place.name); err != nil {
		return sums, nil // it went away, and that is told where it is to be replaced
	}
	defer a.book.Close()
	if now, err := a.book.Stat("."); err != nil || !os.SameFile(now, a.info) {
		return sums, nil
	}
	of := map[string][]int{} // pages by their folder
	var folders []string
	for i, page := range pages {
		if _, same := a.has(page); !same || !fs.ValidPath(page.Path) {
			continue
		}
		dir := path.Dir(page.Path)
		if of[dir] == nil {
			folders = append(folders, dir)
		}
		of[dir] = append(of[dir], i)
	}
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for _, dir := range folders {
		several.Go(func() error {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			link, end := a.linker(f, dir)
			defer end()
			for _, i := range of[dir] {
				if link(path.Base(pages[i].Path)) != nil {
					continue // not every file system can do it
				}
				if sums[i], _ = a.has(pages[i]); done != nil {
					done()
				}
			}
			return nil
		})
	}
	return sums, several.Wait()
}

// Name is one name for several texts, for Page.Of: with any of them another, it is
// another.
func Name(texts ...string) string {
	h := sha256.New()
	for _, t := range texts {
		fmt.Fprintf(h, "%d %s\n", len(t), t)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// found is a name for what the page is made of that tells what was found of a protocol,
// which may come from anywhere.
func (s *shelf) found(entry Entry) string {
	if entry.Of == "" {
		return ""
	}
	of := []string{entry.Of}
	for _, x := range entry.Findings {
		of = append(of, fmt.Sprint(x.Severity, x.Safety), x.Rule, fmt.Sprintf("%+v", x.Place), x.Source)
		for _, m := range []protocol.Message{x.What, x.Why, x.Hint} {
			if m.ID != "" {
				of = append(of, s.edition.Voice.Say(m))
			}
		}
		if x.By != nil {
			of = append(of, fmt.Sprintf("%+v", *x.By))
		}
	}
	return Name(of...)
}
