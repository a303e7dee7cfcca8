package book

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"

	"bottlecrop/cmd/internal/filing"
)

// Folders beside the book while it is being published: a new one, which after the swap
// is the old one, and the old one where the system can't swap two folders at once.
const (
	newPrefix = ".bottlecrop-new-"
	oldPrefix = ".bottlecrop-old-"
)

var newPattern = regexp.MustCompile(`^\.bottlecrop-new-[0-9]+$`)

// Why a folder is not written to.
var (
	ErrNotFolder = errors.New("is not a folder")
	ErrForeign   = errors.New("was not made by this program")
	ErrExtra     = errors.New("holds something that this program did not write")
	ErrChanged   = errors.New("holds a page that was changed since this program wrote it")
	ErrReadOnly  = errors.New("can't be replaced")
	ErrMount     = errors.New("is the root of a disk")
	ErrMoved     = errors.New("was moved or replaced while the book was being written")
)

// Refused is an output folder that is left as it is.
type Refused struct {
	Folder string
	Entry  string // what was found in it
	Why    error  // one of the Err values
}

func (r *Refused) Error() string { return fmt.Sprintf("%s %v (%s)", r.Folder, r.Why, r.Entry) }
func (r *Refused) Unwrap() error { return r.Why }

// place is where a book goes: a name in a folder, which is held open. Whatever is moved
// or linked in the meantime, nothing is written or removed outside of that folder.
type place struct {
	folder string // as it is told
	name   string
	parent *os.Root
	lock   *os.File // the parent too
	read   manifest // the last
}

// Publish sets the pages of a book into a folder, whole or not at all, each written as
// soon as it is set: they are written beside it and swapped in at the end, so that a run
// that fails or is killed leaves the old book as it was. A folder that the program did
// not make, or that holds anything else than the book as it was written, is refused and
// left untouched. A canceled context stops it with the old book in place. Of two at once
// each makes its book, and the one that is done last stands. Pages are let go of.
//
// Nothing is synced to the disk: after a power cut a book may be torn, and is made again
// from the farm folder.
//
// Pages are taken from the book that stands, where they are made of the same by their
// names (Page.Of), which are kept for the next time; without kept all are set. done is
// called with each page that is in its place, by several at a time; it may be nil.
func Publish(ctx context.Context, folder string, pages []Page, kept Kept, done func()) error {
	defer filing.Begin()()
	p, err := placeOf(folder)
	if err != nil {
		return err
	}
	defer p.parent.Close()
	// Looked at before the work, so that nobody waits for a refusal, and again after it.
	var again *again
	var fresh *fresh
	err = p.locked(ctx, func() error {
		if err := p.recover(); err != nil {
			return err
		}
		old, err := p.look(p.name)
		if err != nil {
			return err
		}
		again = p.again(old, kept)
		fresh, err = p.begin() // until it is locked itself, another run would take it for a leftover
		return err
	})
	if err != nil {
		return err
	}
	defer fresh.remove()
	marker, err := fresh.write(ctx, pages, again, done)
	if err != nil {
		return err
	}
	if err := p.locked(ctx, func() error { return p.swap(fresh) }); err != nil {
		return err
	}
	p.keep(kept, marker, pages)
	return nil
}

// placeOf opens the folder that a book goes into.
func placeOf(folder string) (*place, error) {
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	// A link to a folder is followed once; the book goes where it points.
	if resolved, err := filepath.EvalSymlinks(folder); err == nil {
		folder = resolved
	}
	within := filepath.Dir(folder)
	if err := os.MkdirAll(within, 0o755); err != nil {
		return nil, err
	}
	parent, err := os.OpenRoot(within)
	if err != nil {
		return nil, err
	}
	return &place{folder: folder, name: filepath.Base(folder), parent: parent}, nil
}

// locked does something while no other run does the like beside this book. The parent
// folder itself is locked, so that no lock file is left behind.
func (p *place) locked(ctx context.Context, do func() error) error {
	lock, err := p.parent.Open(".")
	if err != nil {
		return err
	}
	defer lock.Close()
	if err := filing.Lock(ctx, lock); err != nil {
		return err
	}
	p.lock = lock
	return do()
}

// told is an error of something beside the book or in it, told of the book's folder.
func (p *place) told(err error) error { return filing.Named(p.folder, err) }

// fresh is a new book that is being written.
type fresh struct {
	place *place
	name  string // "" once it is in its place
	root  *os.Root
	lock  *os.File // tells other runs that it is no leftover
	info  fs.FileInfo
}

// begin makes the folder of a new book, beside the place where it will stand, which is
// on the same disk.
func (p *place) begin() (*fresh, error) {
	f := &fresh{place: p, name: fmt.Sprintf("%s%d", newPrefix, rand.Uint64())}
	if err := p.parent.Mkdir(f.name, 0o755); err != nil {
		return nil, p.told(err)
	}
	var err error
	if f.root, err = p.parent.OpenRoot(f.name); err == nil {
		if f.lock, err = f.root.Open("."); err == nil {
			err = filing.Lock(context.Background(), f.lock) // nobody has it
		}
	}
	if err == nil {
		f.info, err = f.root.Stat(".")
	}
	if err != nil {
		f.remove()
		return nil, p.told(err)
	}
	return f, nil
}

// close lets go of the folder: not every system gives another name to one that is open.
func (f *fresh) close() {
	if f.lock != nil {
		f.lock.Close()
		f.lock = nil
	}
	if f.root != nil {
		f.root.Close()
		f.root = nil
	}
}

// isThere reports whether the folder still has a name of the place.
func (f *fresh) isThere(name string) bool {
	at, err := f.place.parent.Lstat(name)
	return err == nil && os.SameFile(at, f.info)
}

// remove takes away a new book that did not come into its place.
func (f *fresh) remove() {
	f.close()
	if f.name != "" && (f.info == nil || f.isThere(f.name)) {
		_ = f.place.parent.RemoveAll(f.name) // or the next run does
	}
}

// write sets and writes the pages, and then the marker: a folder with a marker is a
// whole book. What is written goes into the folder that was made, whatever has its name.
// It gives the marker.
func (f *fresh) write(ctx context.Context, pages []Page, again *again, done func()) ([]byte, error) {
	sums := make([]string, len(pages)) // of the pages, in the marker's lines
	var made sync.Map                  // folders
	put := func(name string, place func(name string) error) error {
		if !fs.ValidPath(name) {
			return fmt.Errorf("book: %q is no path for a page", name)
		}
		name = filepath.FromSlash(name)
		if dir := filepath.Dir(name); dir != "." {
			if _, is := made.Load(dir); !is {
				if err := f.root.MkdirAll(dir, 0o755); err != nil {
					return filing.Named(filepath.Join(f.place.folder, name), err)
				}
				made.Store(dir, true)
			}
		}
		return filing.Named(filepath.Join(f.place.folder, name), place(name))
	}
	if again != nil {
		var err error
		if sums, err = again.take(ctx, f, pages, done); err != nil {
			return nil, err
		}
	}
	var wanting []Page
	var at []int // of each among all
	for i, page := range pages {
		if sums[i] == "" {
			wanting, at = append(wanting, page), append(at, i)
		}
		pages[i].Set = nil
	}
	err := Set(ctx, wanting, func(n int, page File) error {
		if done != nil {
			defer done()
		}
		if page.Path == Marker {
			return fmt.Errorf("book: %q is no path for a page", page.Path)
		}
		sums[at[n]] = fmt.Sprintf("%x", sha256.Sum256(page.Data))
		return put(page.Path, func(name string) error { return f.root.WriteFile(name, page.Data, 0o644) })
	})
	if err != nil {
		return nil, err
	}
	for i := range sums {
		sums[i] += "  " + pages[i].Path + "\n"
	}
	marker := marked(sums)
	if err := put(Marker, func(name string) error { return f.root.WriteFile(name, marker, 0o644) }); err != nil {
		return nil, err
	}
	return marker, ctx.Err()
}

// recover puts back a book that a killed run had moved aside, and clears away what such
// runs left. The lock is held.
func (p *place) recover() error {
	entries, err := fs.ReadDir(p.parent.FS(), ".")
	if err != nil {
		return p.told(err)
	}
	for _, e := range entries {
		name := e.Name()
		switch {
		case !e.IsDir():
		case name == oldPrefix+p.name:
			if _, err := p.parent.Lstat(p.name); errors.Is(err, fs.ErrNotExist) {
				err = p.parent.Rename(name, p.name)
				if err != nil {
					return p.told(err)
				}
				continue
			}
			if err := p.discard(name); err != nil {
				return err
			}
		case newPattern.MatchString(name) && filing.Abandoned(p.parent, name):
			if err := p.discard(name); err != nil {
				return err
			}
		}
	}
	return nil
}

// swap puts the new book in its place. The lock is held.
func (p *place) swap(f *fresh) error {
	old, err := p.look(p.name)
	if err != nil {
		return err
	}
	moved := &Refused{p.folder, p.name, ErrMoved}
	if now, err := os.Stat(filepath.Dir(p.folder)); err != nil || !f.isThere(f.name) {
		return moved
	} else if at, err := p.parent.Stat("."); err != nil || !os.SameFile(now, at) {
		return moved // the book would come where nobody looks for it
	}
	if old.info != nil {
		if err := f.root.Chmod(".", old.info.Mode().Perm()); err != nil {
			return p.told(err)
		}
	}
	f.close()
	if old.info == nil {
		if err := p.appear(f.name); err != nil {
			return p.told(err)
		}
		f.name = ""
		return nil
	}
	aside, err := p.exchange(f.name)
	if err != nil {
		if isMount(err) {
			return &Refused{p.folder, p.name, ErrMount}
		}
		return p.told(err)
	}
	// Nobody else is kept from the folder: what came out has to be what was looked at,
	// with nothing more in it.
	now, err := p.look(aside)
	if err == nil && (now.info == nil || !os.SameFile(now.info, old.info) || !f.isThere(p.name)) {
		err = moved
	}
	if err != nil {
		var refused *Refused
		if errors.As(err, &refused) {
			refused.Folder = p.folder
		}
		return errors.Join(err, p.back(aside, f.name))
	}
	f.name = ""
	if old.written == nil { // it was empty, and is not removed with anything in it
		return p.told(p.parent.Remove(aside))
	}
	return p.discard(aside)
}

// exchangeInTwo replaces the book where the system has no single step for it, and tells
// where the old one is then. Killed between the two, the next run's recover puts the old
// one back.
func (p *place) exchangeInTwo(fresh string) (aside string, err error) {
	aside = oldPrefix + p.name
	if err := p.parent.Rename(p.name, aside); err != nil {
		return "", err
	}
	if err := p.parent.Rename(fresh, p.name); err != nil {
		return "", errors.Join(err, p.parent.Rename(aside, p.name))
	}
	return aside, nil
}

// back undoes an exchange.
func (p *place) back(aside, fresh string) error {
	if strings.HasPrefix(aside, newPrefix) {
		_, err := p.exchange(aside)
		return err
	}
	if err := p.parent.Rename(p.name, fresh); err != nil {
		return err
	}
	return p.parent.Rename(aside, p.name)
}
