package book

import (
	"errors"

	"golang.org/x/sys/unix"
)

// swap exchanges two folders in one step: there is no moment without a book.
func swap(fresh, folder string) error {
	err := unix.Renameat2(unix.AT_FDCWD, fresh, unix.AT_FDCWD, folder, unix.RENAME_EXCHANGE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) {
		return swapByTwoRenames(fresh, folder) // a file system that can't
	}
	return err
}
