//go:build !unix

package filing

import (
	"errors"
	"io/fs"
	"os"
)

// closeFirst is whether a file has to be closed before it gets another name.
const closeFirst = true

// errNoLocks says that a file can't be locked here.
var errNoLocks = errors.New("no locks here")

func tryLock(*os.File) (got bool, err error) { return false, errNoLocks }

func owned(*os.File, fs.FileInfo) {} // a file is its maker's here

func mine(fs.FileInfo) bool { return true } // the folder of temporary files is each user's own here

func syncFolder(*os.Root, string) error { return nil } // a folder can't be synced here

// Writable reports whether this user may change what is in a folder.
func Writable(folder string) bool {
	info, err := os.Stat(folder)
	return err == nil && info.Mode().Perm()&0o200 != 0
}
