//go:build unix

package book

import (
	"errors"
	"io/fs"
	"syscall"
)

// otherDisk reports whether a folder is on another disk than the one that it is in: it
// is the root of that disk, and can't be swapped.
func otherDisk(within, folder fs.FileInfo) bool {
	a, is := within.Sys().(*syscall.Stat_t)
	b, too := folder.Sys().(*syscall.Stat_t)
	return is && too && a.Dev != b.Dev
}

// isMount reports whether a renaming failed for that reason: a folder of the same disk
// can be made the root of one too.
func isMount(err error) bool { return errors.Is(err, syscall.EBUSY) || errors.Is(err, syscall.EXDEV) }
