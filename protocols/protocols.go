// Package protocols carries the library of species, ingredients, vessels and
// sterilizers inside the program, so that a farm folder needs no copy of it.
//
// The folder that this file stands in is also the protocols folder of a
// made-up farm, Willow Fork. Its farm.toml and its protocols are read from the
// disk like those of any farm, and are not carried.
package protocols

import (
	"embed"
	"io"
	"io/fs"
	"strings"
	"time"
)

// Library holds the library's files as library/NAME.toml. A reader of farm
// folders wants Base, which has them where a farm folder has its own.
//
//go:embed library/*.toml
var Library embed.FS

// folder is what a farm folder calls the place of its TOML files.
const folder = "protocols"

// Base is a farm folder with nothing in it but the library, under
// protocols/library/: a reader lays the farm's own folder over it.
func Base() fs.FS { return base{} }

// base puts Library one folder deeper than it was embedded: an embedding
// cannot name the folder that it stands in.
type base struct{}

func (base) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	if name == "." {
		return &root{}, nil
	}
	if name == folder {
		dir, err := Library.Open(".")
		if err != nil {
			return nil, err
		}
		return renamed{dir.(fs.ReadDirFile)}, nil
	}
	inside, found := strings.CutPrefix(name, folder+"/")
	if !found {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	file, err := Library.Open(inside)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return file, nil
}

// renamed is the embedding's own root under the name that it has in Base.
type renamed struct{ fs.ReadDirFile }

func (renamed) Stat() (fs.FileInfo, error) { return dirInfo(folder), nil }

// root is the directory above: its one entry is the folder.
type root struct{ listed bool }

func (*root) Stat() (fs.FileInfo, error) { return dirInfo("."), nil }
func (*root) Close() error               { return nil }

func (*root) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: ".", Err: fs.ErrInvalid}
}

func (r *root) ReadDir(n int) ([]fs.DirEntry, error) {
	if r.listed {
		if n > 0 {
			return nil, io.EOF
		}
		return nil, nil
	}
	r.listed = true
	return []fs.DirEntry{fs.FileInfoToDirEntry(dirInfo(folder))}, nil
}

// dirInfo describes a directory that is in no embedding; the string is its name.
type dirInfo string

func (d dirInfo) Name() string     { return string(d) }
func (dirInfo) Size() int64        { return 0 }
func (dirInfo) Mode() fs.FileMode  { return fs.ModeDir | 0o555 }
func (dirInfo) ModTime() time.Time { return time.Time{} }
func (dirInfo) IsDir() bool        { return true }
func (dirInfo) Sys() any           { return nil }
