//go:build !unix

package book

import "path/filepath"

// linker links pages from a folder of the book that stands into that of the new one: the
// same file, which loses its name in the old book when that goes. Should somebody write in
// it until then, that book is not replaced (place.swap).
func (a *again) linker(f *fresh, dir string) (link func(page string) error, end func()) {
	err := f.root.MkdirAll(filepath.FromSlash(dir), 0o755)
	return func(page string) error {
		if err != nil {
			return err
		}
		name := filepath.Join(filepath.FromSlash(dir), page)
		return a.place.parent.Link(filepath.Join(a.place.name, name), filepath.Join(f.name, name))
	}, func() {}
}
