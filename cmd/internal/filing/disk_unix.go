//go:build unix

package filing

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// closeFirst is whether a file has to be closed before it gets another name.
const closeFirst = false

// tryLock locks a file or a folder until it is closed, if nobody else has. The error is a
// disk without locks.
func tryLock(f *os.File) (got bool, err error) {
	for {
		err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		switch {
		case err == nil:
			return true, nil
		case errors.Is(err, unix.EINTR):
		case errors.Is(err, unix.EWOULDBLOCK):
			return false, nil
		default:
			return false, err
		}
	}
}

// owned gives a file to the owner of another, as far as that may be.
func owned(f *os.File, of fs.FileInfo) {
	if as, ok := of.Sys().(*syscall.Stat_t); ok {
		if f.Chown(int(as.Uid), int(as.Gid)) != nil {
			_ = f.Chown(-1, int(as.Gid)) // a group that both are in
		}
	}
}

// mine reports whether a file is this user's: another's may have been put there for the
// superuser to stumble over.
func mine(info fs.FileInfo) bool {
	as, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(as.Uid) == os.Geteuid()
}

// syncFolder has the names of a folder on the disk, where the disk can do that.
func syncFolder(root *os.Root, dir string) error {
	d, err := root.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, unix.EINVAL) && !errors.Is(err, unix.ENOTSUP) {
		return err
	}
	return nil
}

// Writable reports whether this user may change what is in a folder.
func Writable(folder string) bool { return unix.Access(folder, unix.W_OK) == nil }
