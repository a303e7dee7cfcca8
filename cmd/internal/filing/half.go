package filing

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"regexp"
)

// halfPrefix begins the names of files that are not yet in their place.
const halfPrefix = ".bottlecrop-put-"

var halfPattern = regexp.MustCompile(`^\.bottlecrop-put-[0-9a-f]{16}$`)

// IsHalf reports whether a file of that name, without its folder, is one that is not yet
// in its place, or never came there.
func IsHalf(name string) bool { return halfPattern.MatchString(name) }

// half is a file that is being written beside the one whose place it is to take. As long
// as its process lives it is locked, and nobody takes it for a leftover.
type half struct {
	root *os.Root
	name string // "" once it is in its place
	file *os.File
}

// attempts is how often a half is begun anew because another run took it for a leftover
// between its making and its lock.
const attempts = 8

func begin(root *os.Root, dir string, mode fs.FileMode) (*half, error) {
	for range attempts {
		name := path.Join(dir, fmt.Sprintf("%s%016x", halfPrefix, rand.Uint64()))
		f, err := root.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, mode)
		if err != nil {
			return nil, err
		}
		x := &half{root, name, f}
		if got, err := tryLock(f); (got || err != nil) && x.isThere() { // a disk without locks has none that clears so soon
			return x, nil
		}
		f.Close()
	}
	return nil, &fs.PathError{Op: "lock", Path: dir, Err: errors.New("other runs clear it away again and again")}
}

// isThere reports whether the half still has its name.
func (x *half) isThere() bool {
	as, err := x.file.Stat()
	if err != nil {
		return false
	}
	at, err := x.root.Lstat(x.name)
	return err == nil && os.SameFile(at, as)
}

// writeHalf writes a text beside, with the mode and the owner of the old file where there
// is one, and has it on the disk.
func writeHalf(root *os.Root, dir string, text []byte, old *os.File) (*half, error) {
	x, err := begin(root, dir, 0o644)
	if err != nil {
		return nil, err
	}
	if old != nil {
		err = likeOld(x.file, old)
	}
	if err == nil {
		_, err = x.file.Write(text)
	}
	if err == nil {
		err = x.file.Sync()
	}
	if err != nil {
		x.discard()
		return nil, err
	}
	return x, nil
}

// likeOld gives a file the owner and the mode of another. Only the superuser can give
// files away; with anybody else it is theirs, as with any editor.
func likeOld(f, old *os.File) error {
	info, err := old.Stat()
	if err != nil {
		return err
	}
	owned(f, info)
	return f.Chmod(info.Mode().Perm())
}

// rename puts the half in its place.
func (x *half) rename(name string) error {
	if closeFirst {
		if err := x.file.Close(); err != nil {
			return err
		}
	}
	if err := x.root.Rename(x.name, name); err != nil {
		return err
	}
	x.name = ""
	if closeFirst {
		return nil
	}
	return x.file.Close()
}

// become puts the half in its place, and has that on the disk too.
func (x *half) become(name string) error {
	if err := x.rename(name); err != nil {
		return err
	}
	return syncFolder(x.root, path.Dir(name))
}

// appear puts the half in a place where nothing is.
func (x *half) appear(name string) error {
	err := x.root.Link(x.name, name)
	if errors.Is(err, fs.ErrExist) {
		return &Refused{name, ErrThere}
	}
	if err == nil {
		return syncFolder(x.root, path.Dir(name)) // discard takes the other name away
	}
	// A disk that has no second names for a file. Between the two a file may come there.
	if _, err := x.root.Lstat(name); err == nil {
		return &Refused{name, ErrThere}
	}
	return x.become(name)
}

// discard takes away what did not come into its place.
func (x *half) discard() {
	if x.name == "" {
		return
	}
	if closeFirst {
		x.file.Close()
	}
	_ = x.root.Remove(x.name) // or the next run does
	x.file.Close()
	x.name = ""
}

// Clear takes away what killed runs left half written in a folder. What it can't take
// away it leaves to the next run: it is in nobody's way.
func Clear(root *os.Root, dir string) {
	d, err := root.Open(dir)
	if err != nil {
		return
	}
	defer d.Close()
	entries, err := d.ReadDir(-1)
	if err != nil {
		return
	}
	for _, e := range entries {
		if e.Type().IsRegular() && IsHalf(e.Name()) && Abandoned(root, path.Join(dir, e.Name())) {
			_ = root.Remove(path.Join(dir, e.Name()))
		}
	}
}
