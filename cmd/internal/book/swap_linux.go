package book

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// exchange exchanges the new book and the old one in one step: there is no moment without
// a book. It tells under which name the old one is then.
func (p *place) exchange(fresh string) (aside string, err error) {
	err = p.rename(fresh, unix.RENAME_EXCHANGE)
	if cannot(err) {
		return p.exchangeInTwo(fresh)
	}
	return fresh, err
}

// appear puts the new book where nothing is.
func (p *place) appear(fresh string) error {
	err := p.rename(fresh, unix.RENAME_NOREPLACE)
	if cannot(err) {
		return p.parent.Rename(fresh, p.name) // never over what is not empty
	}
	return err
}

// rename renames within the parent folder, which the lock holds open.
func (p *place) rename(fresh string, how uint) error {
	at := int(p.lock.Fd())
	if err := unix.Renameat2(at, fresh, at, p.name, how); err != nil {
		return &os.LinkError{Op: "rename", Old: fresh, New: p.name, Err: err}
	}
	return nil
}

// cannot reports whether a file system has no such renaming.
func cannot(err error) bool { return errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) }
