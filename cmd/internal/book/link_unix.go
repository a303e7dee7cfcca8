//go:build unix

package book

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// linker holds a folder of the book that stands and that of the new one open, and links
// pages from the one into the other: the same file, which loses its name in the old book
// when that goes. Should somebody write in it until then, that book is not replaced
// (place.swap).
func (a *again) linker(f *fresh, dir string) (link func(page string) error, end func()) {
	var open []interface{ Close() error }
	end = func() {
		for _, x := range open {
			_ = x.Close()
		}
	}
	folder := func(book *os.Root) (*os.File, error) {
		// A root opens nothing but a folder: never a pipe, which would be waited for.
		root, err := book.OpenRoot(dir)
		if err != nil {
			return nil, err
		}
		defer root.Close()
		at, err := root.Open(".")
		if err == nil {
			open = append(open, at)
		}
		return at, err
	}
	from, err := folder(a.book)
	to, fault := (*os.File)(nil), f.root.MkdirAll(dir, 0o755)
	if fault == nil {
		to, fault = folder(f.root)
	}
	if err = errors.Join(err, fault); err != nil {
		return func(string) error { return err }, end
	}
	old, fresh := int(from.Fd()), int(to.Fd())
	return func(page string) error { return unix.Linkat(old, page, fresh, page, 0) }, end
}
