package book

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Marker is the file that says that the program made a folder. It lists what
// the program wrote there, so that nothing else is ever thrown away with it.
const Marker = ".bottlecrop-book"

const markerHead = "bottlecrop book 1\n"

// Folders beside the book while it is being published.
const (
	newPrefix = ".bottlecrop-new-"
	oldPrefix = ".bottlecrop-old-"
)

// Why a folder is not written to.
var (
	ErrNotFolder = errors.New("is not a folder")
	ErrForeign   = errors.New("was not made by this program")
	ErrExtra     = errors.New("holds something that this program did not write")
)

// Refused is an output folder that is left as it is.
type Refused struct {
	Folder string
	Entry  string // what was found in it
	Why    error  // one of the Err values
}

func (r *Refused) Error() string { return fmt.Sprintf("%s %v (%s)", r.Folder, r.Why, r.Entry) }
func (r *Refused) Unwrap() error { return r.Why }

// Publish sets the pages of a book into a folder, whole or not at all, each written as
// soon as it is set: they are written beside it and swapped in at the end, so that a run that fails or is killed
// leaves the old book as it was. A folder that the program did not make, or
// that holds anything else than the book, is refused and left untouched. A
// canceled context stops it with the old book in place.
func Publish(ctx context.Context, folder string, pages []Page) error {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	// A link to a folder is followed once; the book goes where it points.
	if resolved, err := filepath.EvalSymlinks(folder); err == nil {
		folder = resolved
	}
	parent := filepath.Dir(folder)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return err
	}
	unlock, err := lock(parent)
	if err != nil {
		return err
	}
	defer unlock()
	if err := recoverOld(folder, parent); err != nil {
		return err
	}
	exists, err := check(folder)
	if err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(parent, newPrefix)
	if err != nil {
		return err
	}
	// After the swap this name holds the old book; before it, what was written
	// of the new one. Either may go.
	defer os.RemoveAll(fresh)
	if err := write(ctx, fresh, pages); err != nil {
		return err
	}
	if !exists {
		return os.Rename(fresh, folder)
	}
	return swap(fresh, folder)
}

// check reports whether there is a book in the folder that may be replaced. A
// missing or empty folder is fine; what the program did not make is Refused.
func check(folder string) (exists bool, err error) {
	info, err := os.Stat(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case !info.IsDir():
		return false, &Refused{folder, filepath.Base(folder), ErrNotFolder}
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return false, err
	}
	if len(entries) == 0 {
		return true, nil
	}
	known, err := manifest(filepath.Join(folder, Marker))
	if err != nil {
		return false, &Refused{folder, entries[0].Name(), ErrForeign}
	}
	return true, extra(folder, known)
}

// manifest reads which files a marker says that the program wrote.
func manifest(path string) (map[string]bool, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	body, ok := strings.CutPrefix(string(text), markerHead)
	if !ok {
		return nil, fmt.Errorf("%s is not a marker", path)
	}
	known := map[string]bool{Marker: true}
	for line := range strings.Lines(body) {
		if _, name, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  "); ok {
			known[name] = true
		}
	}
	return known, nil
}

// extra refuses a book that somebody has put something of their own into.
func extra(folder string, known map[string]bool) error {
	return filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(folder, path)
		if err != nil {
			return err
		}
		if rel = filepath.ToSlash(rel); !known[rel] {
			return &Refused{folder, rel, ErrExtra}
		}
		return nil
	})
}

// write sets and writes the pages, and then the marker: a folder with a marker is a
// whole book.
func write(ctx context.Context, folder string, pages []Page) error {
	if err := os.Chmod(folder, 0o755); err != nil {
		return err
	}
	sums := make([]string, len(pages)) // lines of the marker
	var made sync.Map                  // folders
	err := Set(ctx, pages, func(i int, f File) error {
		if !fs.ValidPath(f.Path) || f.Path == Marker {
			return fmt.Errorf("book: %q is no path for a page", f.Path)
		}
		path := filepath.Join(folder, filepath.FromSlash(f.Path))
		if dir := filepath.Dir(path); dir != folder {
			if _, is := made.Load(dir); !is {
				if err := os.MkdirAll(dir, 0o755); err != nil {
					return err
				}
				made.Store(dir, true)
			}
		}
		sums[i] = fmt.Sprintf("%x  %s\n", sha256.Sum256(f.Data), f.Path)
		return os.WriteFile(path, f.Data, 0o644)
	})
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, Marker), marked(sums), 0o644); err != nil {
		return err
	}
	return ctx.Err()
}

// marked is the content of the marker: the SHA-256 of each file and its path, sorted by
// path.
func marked(sums []string) []byte {
	slices.SortFunc(sums, func(a, b string) int { return strings.Compare(a[2*sha256.Size:], b[2*sha256.Size:]) })
	return []byte(markerHead + strings.Join(sums, ""))
}

// recoverOld puts back a book that a killed run had moved aside, and clears
// away what such runs left. The lock is held, so no other run is at work here.
func recoverOld(folder, parent string) error {
	entries, err := os.ReadDir(parent)
	if err != nil {
		return err
	}
	for _, e := range entries {
		path := filepath.Join(parent, e.Name())
		name, aside := strings.CutPrefix(e.Name(), oldPrefix)
		switch {
		case aside && name == filepath.Base(folder):
			if _, err := os.Lstat(folder); errors.Is(err, fs.ErrNotExist) {
				if err := os.Rename(path, folder); err != nil {
					return err
				}
				continue
			}
			if err := os.RemoveAll(path); err != nil {
				return err
			}
		case strings.HasPrefix(e.Name(), newPrefix):
			if err := os.RemoveAll(path); err != nil {
				return err
			}
		}
	}
	return nil
}

// swapByTwoRenames replaces the book where the system has no single step for
// it. Killed between the two, the next run's recoverOld puts the old one back.
func swapByTwoRenames(fresh, folder string) error {
	aside := filepath.Join(filepath.Dir(folder), oldPrefix+filepath.Base(folder))
	if err := os.Rename(folder, aside); err != nil {
		return err
	}
	if err := os.Rename(fresh, folder); err != nil {
		return errors.Join(err, os.Rename(aside, folder))
	}
	return os.RemoveAll(aside)
}
