// Package filing puts files in their place, whole or not at all, and clears away what a
// killed run left beside them. It knows names and bytes, and nothing of what stands in a
// file.
//
// A file is written beside the one whose place it takes, under a name of its own, and
// then renamed: whoever reads it, and whatever happens, there is the old text or the new
// one. What a farm's keeper wrote is synced to the disk before that, and never replaced
// by somebody who did not read it as it is.
package filing

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
)

// Why a file is left as it is.
var (
	ErrLink     = errors.New("is a link")
	ErrNotFile  = errors.New("is not a file")
	ErrReadOnly = errors.New("is read-only")
	ErrForeign  = errors.New("is something else than what is to be written")
	ErrChanged  = errors.New("has changed since it was read")
	ErrThere    = errors.New("is there already")
)

// Refused is a file that is left as it is.
type Refused struct {
	File string
	Why  error // one of the Err values
}

func (r *Refused) Error() string { return fmt.Sprintf("%s %v", r.File, r.Why) }
func (r *Refused) Unwrap() error { return r.Why }

// Held is a file that is to be written anew, as it was when it was read.
type Held struct {
	Name string // in the folder that it was read in, with slashes
	Text []byte
}

// Hold reads a file that is to be written anew. A link is refused: what it leads to may
// be somebody else's, and putting a file in its place would cut it.
func Hold(root *os.Root, name string) (Held, error) {
	if _, err := regular(root, name); err != nil {
		return Held{}, err
	}
	text, err := root.ReadFile(name)
	return Held{Name: name, Text: text}, err
}

// regular is a file that may be written anew.
func regular(root *os.Root, name string) (fs.FileInfo, error) {
	info, err := root.Lstat(name)
	switch {
	case err != nil:
		return nil, err
	case info.Mode()&fs.ModeSymlink != 0:
		return nil, &Refused{name, ErrLink}
	case !info.Mode().IsRegular():
		return nil, &Refused{name, ErrNotFile}
	case info.Mode().Perm()&0o222 == 0: // its keeper said that nobody writes it, the superuser too
		return nil, &Refused{name, ErrReadOnly}
	}
	return info, nil
}

// Put puts a text in the place of the file, with its mode and owner, if it still is as it
// was read: of two that write at once the second is told ErrChanged, and so is one who
// comes behind an editor. Between the last look and the rename lie some microseconds in
// which an editor could still save unseen; another run can't.
func (h Held) Put(ctx context.Context, root *os.Root, text []byte) error {
	defer Begin()()
	changed := &Refused{h.Name, ErrChanged}
	if _, err := regular(root, h.Name); errors.Is(err, fs.ErrNotExist) {
		return changed
	} else if err != nil {
		return err
	}
	// The lock is on the file itself. Who waits for it finds another one in its place.
	old, err := root.OpenFile(h.Name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer old.Close()
	if err := Lock(ctx, old); err != nil {
		return err
	}
	Clear(root, path.Dir(h.Name))
	x, err := writeHalf(root, path.Dir(h.Name), text, old)
	if err != nil {
		return err
	}
	defer x.discard()
	as, err := old.Stat()
	if err != nil {
		return err
	}
	now, err := io.ReadAll(old)
	if err != nil {
		return err
	}
	if at, err := root.Lstat(h.Name); err != nil || !os.SameFile(at, as) || !bytes.Equal(now, h.Text) {
		return changed
	}
	return x.become(h.Name)
}

// Look says where a file that somebody named would be written: a link is followed, since
// whoever named it wants it there. What is there already has to be like what is to be
// written, by its first bytes: a name that slipped costs nobody a text.
func Look(file string, like func(head []byte) bool) (at string, err error) {
	at = file
	if _, err := os.Lstat(file); err == nil {
		if at, err = filepath.EvalSymlinks(file); err != nil {
			return "", Named(file, err)
		}
	}
	root, err := os.OpenRoot(filepath.Dir(at))
	if err != nil {
		return "", Named(file, err)
	}
	defer root.Close()
	name := filepath.Base(at)
	info, err := regular(root, name)
	var refused *Refused
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return at, nil
	case errors.As(err, &refused):
		return "", &Refused{file, refused.Why}
	case err != nil:
		return "", Named(file, err)
	case info.Size() == 0:
		return at, nil
	}
	f, err := root.Open(name)
	if err != nil {
		return "", Named(file, err)
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, headBytes))
	if err != nil {
		return "", Named(file, err)
	}
	if !like(head) {
		return "", &Refused{file, ErrForeign}
	}
	return at, nil
}

// headBytes is how much of a file tells what it is (design choice).
const headBytes = 4096

// Put writes a file that somebody named, in the place of one that is like it.
func Put(file string, text []byte, like func(head []byte) bool) error {
	defer Begin()()
	at, err := Look(file, like)
	if err != nil {
		return err
	}
	root, err := os.OpenRoot(filepath.Dir(at))
	if err != nil {
		return Named(file, err)
	}
	defer root.Close()
	Clear(root, ".")
	old, err := root.Open(filepath.Base(at))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return Named(file, err)
	}
	if old != nil {
		defer old.Close()
	}
	x, err := writeHalf(root, ".", text, old)
	if err != nil {
		return Named(file, err)
	}
	defer x.discard()
	return Named(file, x.become(filepath.Base(at)))
}

// Create writes a file where none is yet, and never over one: ErrThere.
func Create(root *os.Root, name string, text []byte) error {
	defer Begin()()
	Clear(root, path.Dir(name))
	x, err := writeHalf(root, path.Dir(name), text, nil)
	if err != nil {
		return err
	}
	defer x.discard()
	return x.appear(name)
}

// Keep writes a file of a cache. Nothing rests on it: it is not synced, and who reads it
// looks whether it is whole.
func Keep(root *os.Root, name string, text []byte) error {
	defer Begin()()
	x, err := begin(root, path.Dir(name), 0o600)
	if err != nil {
		return err
	}
	defer x.discard()
	if _, err := x.file.Write(text); err != nil {
		return err
	}
	return x.rename(name)
}

// Named is an error of a file under another name, such as that of one beside it, told of
// the name that the reader knows.
func Named(file string, err error) error {
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &at):
		err = at.Err
	case errors.As(err, &link):
		err = link.Err
	default:
		return err
	}
	return &fs.PathError{Op: "write", Path: file, Err: err}
}
