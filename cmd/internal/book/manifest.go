package book

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

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
	info, err := p.parent.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return stands{}, nil
	case err != nil:
		return stands{}, p.told(err)
	case !info.IsDir():
		return stands{}, p.refused(name, name, ErrNotFolder)
	}
	if within, err := p.parent.Stat("."); err != nil {
		return stands{}, p.told(err)
	} else if otherDisk(within, info) {
		return stands{}, p.refused(name, name, ErrMount)
	}
	s := stands{info: info}
	entries, err := fs.ReadDir(p.parent.FS(), name)
	if err != nil {
		return stands{}, p.told(err)
	}
	if len(entries) > 0 {
		if s.written, s.marker, err = p.manifest(name); err != nil {
			return stands{}, p.refused(name, entries[0].Name(), ErrForeign)
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
		for dir := path.Dir(file); dir != "." && !out[dir]; dir = path.Dir(dir) {
			out[dir] = true
		}
	}
	return out
}

// manifest is a marker as it was read. A book is looked at three times and then removed,
// mostly with one and the same marker.
type manifest struct {
	text    string
	written map[string]string
	marker  string
}

// manifest reads which files a marker says that the program wrote, with their sums, and
// gives a name for the marker.
func (p *place) manifest(name string) (written map[string]string, marker string, err error) {
	text, err := p.parent.ReadFile(path.Join(name, Marker))
	if err != nil {
		return nil, "", err
	}
	if p.read.written != nil && p.read.text == string(text) {
		return p.read.written, p.read.marker, nil
	}
	body, ok := strings.CutPrefix(string(text), markerHead)
	if !ok {
		return nil, "", fmt.Errorf("%s is not a marker", Marker)
	}
	written = make(map[string]string, strings.Count(body, "\n")+1)
	written[Marker] = ""
	for line := range strings.Lines(body) {
		if sum, file, ok := strings.Cut(strings.TrimSuffix(line, "\n"), "  "); ok && fs.ValidPath(file) {
			written[file] = sum
		}
	}
	p.read = manifest{string(text), written, Name(string(text))}
	return written, p.read.marker, nil
}

// asWritten refuses a book that somebody has put something of their own into, has
// written in, or protects from being replaced. Folders are looked at several at a time;
// the refusal is that of the first, in the order in which one reads a tree.
func (p *place) asWritten(name string, s stands) error {
	var since fs.FileInfo // of the marker, which was written last
	if s.written != nil {
		var err error
		if since, err = p.parent.Lstat(path.Join(name, Marker)); err != nil {
			return p.told(err)
		}
	}
	folders := slices.Collect(maps.Keys(s.folders))
	slices.SortFunc(folders, inTree)
	type fault struct {
		file string
		err  error
	}
	faults := make([]fault, len(folders))
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for i, dir := range folders {
		several.Go(func() error {
			faults[i].file, faults[i].err = p.folderAsWritten(name, dir, s, since)
			return nil
		})
	}
	_ = several.Wait() // what was found is in its place
	var first fault
	for _, x := range faults {
		if x.err != nil && (first.err == nil || inTree(x.file, first.file) < 0) {
			first = x
		}
	}
	return first.err
}

// inTree compares paths as a tree is read: a folder, then what is in it.
func inTree(a, b string) int {
	if a == "." || b == "." {
		return cmp.Compare(len(strings.TrimPrefix(a, ".")), len(strings.TrimPrefix(b, ".")))
	}
	return slices.Compare(strings.Split(a, "/"), strings.Split(b, "/"))
}

// folderAsWritten is asWritten for one folder of a book, without those in it. It tells
// which file the refusal is for.
func (p *place) folderAsWritten(name, dir string, s stands, since fs.FileInfo) (file string, err error) {
	at := path.Join(name, dir)
	if !filing.Writable(filepath.Join(filepath.Dir(p.folder), filepath.FromSlash(at))) {
		if _, err := p.parent.Lstat(at); errors.Is(err, fs.ErrNotExist) && dir != "." {
			return "", nil // somebody has taken it out
		}
		return dir, p.refused(name, dir, ErrReadOnly)
	}
	entries, err := fs.ReadDir(p.parent.FS(), at)
	if err != nil {
		return dir, p.told(err)
	}
	for _, e := range entries {
		file := path.Join(dir, e.Name())
		sum, known := s.written[file]
		switch {
		case e.IsDir() && s.folders[file]:
			continue // looked at by itself
		case !known || !e.Type().IsRegular():
			return file, p.refused(name, file, ErrExtra)
		case file == Marker:
			continue
		}
		// Only what is younger than the marker can be another than it says.
		if info, err := e.Info(); err != nil {
			return file, p.told(err)
		} else if !info.ModTime().After(since.ModTime()) {
			continue
		}
		if now, err := p.sum(path.Join(name, file)); err != nil {
			return file, p.told(err)
		} else if now != sum {
			return file, p.refused(name, file, ErrChanged)
		}
	}
	return "", nil
}

// refused is a refusal for what stands under a name beside the book.
func (p *place) refused(name, entry string, why error) error {
	return &Refused{filepath.Join(filepath.Dir(p.folder), name), entry, why}
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
	remove := func(file string) error { return p.gone(name, file, p.parent.Remove(path.Join(name, file))) }
	if err := p.empty(name, written); err != nil {
		return err
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
		return p.refused(name, left, ErrExtra)
	}
	for _, file := range []string{Marker, "."} {
		if err := remove(file); err != nil {
			return err
		}
	}
	return nil
}

// gone is the error of removing a file of an old book; none where it was gone already.
func (p *place) gone(name, file string, err error) error {
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return filing.Named(filepath.Join(filepath.Dir(p.folder), name, filepath.FromSlash(file)), err)
}

// empty removes the files of an old book, but for its marker. Each folder is held open
// while those in it go, for to find it anew takes longer than to remove one.
func (p *place) empty(name string, written map[string]string) error {
	book, err := p.parent.OpenRoot(name)
	if err != nil {
		return p.told(err)
	}
	defer book.Close()
	files := map[string][]string{}
	for file := range written {
		if file != Marker {
			files[path.Dir(file)] = append(files[path.Dir(file)], path.Base(file))
		}
	}
	var several errgroup.Group
	several.SetLimit(runtime.GOMAXPROCS(0))
	for dir, names := range files {
		several.Go(func() error {
			folder, err := book.OpenRoot(dir)
			if err != nil {
				return p.gone(name, dir, err)
			}
			defer folder.Close()
			for _, base := range names {
				if err := p.gone(name, path.Join(dir, base), folder.Remove(base)); err != nil {
					return err
				}
			}
			return nil
		})
	}
	return several.Wait()
}
