//go:build unix

package book

import (
	"os"

	"golang.org/x/sys/unix"
)

// lock keeps two runs from publishing beside each other. It locks the parent
// folder itself, so that no lock file is left behind.
func lock(parent string) (func(), error) {
	d, err := os.Open(parent)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(d.Fd()), unix.LOCK_EX); err != nil {
		d.Close()
		return nil, &os.PathError{Op: "lock", Path: parent, Err: err}
	}
	return func() { d.Close() }, nil
}
