package book

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/filing"
)

// Marker is the file that says that the program made a folder. It lists what
// the program wrote there, so that nothing else is ever thrown away with it.
const Marker = ".bottlecrop-book"

const markerHead = "bottlecrop book 1\n"

// marked is the content of the marker: the SHA-256 of each file and its path, sorted by
// path.
func marked(sums []string) []byte {
	slices.SortFunc(sums, func(a, b string) int { return strings.Compare(a[2*sha256.Size:], b[2*sha256.Size:]) })
	return []byte(markerHead + strings.Join(sums, ""))
}

// stands is what stands in the place of a book.
type stands struct {
	info    fs.FileInfo       // nil where there is nothing
	written map[string]string // the files of the book with their sums; nil of an empty folder
	marker  string            // a name for its marker (Name)
	folders map[string]bool
}

// look looks at what has a name beside the book or its own. A missing or empty folder may
// be replaced, and a book as the program wrote it; all else is Refused.
func (p *place) look(name string) (stands, error) {
	refused := func(entry string, why error) (stands, error) {
		return stands{}, &Refused{filepath.Join(filepath.Dir(p.folder), name), entry, why}
	}
	info, err := p.parent.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return stands{}, nil
	case err != nil:
		return stands{}, p.told(err)
	case !info.IsDir():
		return refused(name, ErrNotFolder)
	}
	if within, err := p.parent.Stat("."); err != nil {
		return stands{}, p.told(err)
	} else if otherDisk(within, info) {
		return refused(name, ErrMount)
	}
	s := stands{info: info}
	entries, err := fs.ReadDir(p.parent.FS(), name)
	if err != nil {
		return stands{}, p.told(err)
	}
	if len(entries) > 0 {
		if s.written, s.marker, err = p.manifest(name); err != nil {
			return refused(entries[0].Name(), ErrForeign)
		}
	}
	s.folders = foldersOf(s.written)
	s.folders["."] = true
	return s, p.asWritten(name, s)
}

// foldersOf are the folders that files are in, but for the book itself.
func foldersOf(written map[string]string) map[string]bool {
	out := map[string]bool{}
	for file := range written {
		for dir := path.Dir(file); dir != "."; dir = path.Dir(dir) {
			out[dir] = true
		}
	}
	return out
}

// manifest reads which files a marker says that the program wrote, with their sums, and
// gives a name for the marker.
func (p *place) manifest(name string) (written map[string]string, marker string, err error) {
	text, err := p.parent.ReadFile(path.Join(name, Marker))
	if err != nil {
		return nil, "", err
	}
	body, ok := strings.CutPrefix(string(text), markerHead)
	if !ok {
		return nil, "", fmt.Errorf("%s is not a marker", Marker)
	}
	written = map[string]string{Marker: ""}
	for line := range strings.Lines(body) {
		if sum, file, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  "); ok && fs.ValidPath(file) {
			written[file] = sum
		}
	}
	return written, Name(string(text)), nil
}

// asWritten refuses a book that somebody has put something of their own into, has
// written in, or protects from being replaced.
func (p *place) asWritten(name string, s stands) error {
	var since fs.FileInfo // of the marker, which was written last
	if s.written != nil {
		var err error
		if since, err = p.parent.Lstat(path.Join(name, Marker)); err != nil {
			return p.told(err)
		}
	}
	return fs.WalkDir(p.parent.FS(), name, func(at string, d fs.DirEntry, err error) error {
		if err != nil {
			return p.told(err)
		}
		file := strings.TrimPrefix(strings.TrimPrefix(at, name), "/")
		refused := func(why error) error {
			return &Refused{filepath.Join(filepath.Dir(p.folder), name), file, why}
		}
		sum, known := s.written[file]
		switch {
		case file == "": // the folder itself
			file = "."
			fallthrough
		case d.IsDir() && s.folders[file]:
			if !filing.Writable(filepath.Join(filepath.Dir(p.folder), filepath.FromSlash(at))) {
				return refused(ErrReadOnly)
			}
			return nil
		case !known || !d.Type().IsRegular():
			return refused(ErrExtra)
		case file == Marker:
			return nil
		}
		// Only what is younger than the marker can be another than it says.
		if info, err := d.Info(); err != nil {
			return p.told(err)
		} else if !info.ModTime().After(since.ModTime()) {
			return nil
		}
		if now, err := p.sum(at); err != nil {
			return p.told(err)
		} else if now != sum {
			return refused(ErrChanged)
		}
		return nil
	})
}

// sum is the SHA-256 of a file, as the marker has it.
func (p *place) sum(at string) (string, error) {
	f, err := p.parent.Open(at)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return fmt.Sprintf("%x", h.Sum(nil)), nil
}

// discard removes an old book, or one that a killed run left half written. Of a whole
// book only what the program wrote goes, the marker last: should somebody have put
// something into it, that stays, and is told.
func (p *place) discard(name string) error {
	written, _, err := p.manifest(name)
	if err != nil {
		return p.told(p.parent.RemoveAll(name))
	}
	remove := func(file string) error {
		if err := p.parent.Remove(path.Join(name, file)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return filing.Named(filepath.Join(filepath.Dir(p.folder), name, filepath.FromSlash(file)), err)
		}
		return nil
	}
	for file := range written {
		if file != Marker {
			if err := remove(file); err != nil {
				return err
			}
		}
	}
	folders := foldersOf(written)
	deepest := slices.Backward(slices.Sorted(maps.Keys(folders))) // behind those that they are in
	for _, dir := range deepest {
		_ = remove(dir) // what is in it yet is found below
	}
	var left string
	err = fs.WalkDir(p.parent.FS(), name, func(at string, d fs.DirEntry, err error) error {
		if file := strings.TrimPrefix(strings.TrimPrefix(at, name), "/"); err == nil && left == "" && file != "" && file != Marker && !folders[file] {
			left = file
		}
		return err
	})
	if err != nil {
		return p.told(err)
	}
	if left != "" {
		return &Refused{filepath.Join(filepath.Dir(p.folder), name), left, ErrExtra}
	}
	for _, file := range []string{Marker, "."} {
		if err := remove(file); err != nil {
			return err
		}
	}
	return nil
}
