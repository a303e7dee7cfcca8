package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"
)

// observed are the files of a farm folder, with a note of all that was asked of them and
// what they answered: whoever gets the same answers makes the same of them.
type observed struct {
	fs.FS
	guard sync.Mutex
	noted map[string]map[string]string // by file and by what was asked of it
}

func observe(fsys fs.FS) *observed { return &observed{FS: fsys, noted: map[string]map[string]string{}} }

// What is asked of a file.
const (
	whatIsIn    = "content"
	whatIsThere = "list"
	whatItIs    = "kind"
	whatLinkIs  = "kind of the link"
	whereItGoes = "link"
)

func (w *observed) note(asked, name, answer string, err error) {
	if err != nil {
		answer = err.Error()
		var of *fs.PathError
		if errors.As(err, &of) { // without the path, which may begin anywhere
			answer = of.Err.Error()
		}
	}
	w.guard.Lock()
	defer w.guard.Unlock()
	if w.noted[name] == nil {
		w.noted[name] = map[string]string{}
	}
	w.noted[name][asked] = answer
}

// Open implements fs.FS. What is read of a file is noted once it is closed, and no more is
// read than is asked for: a file may be larger than anybody reads.
func (w *observed) Open(name string) (fs.File, error) {
	f, err := w.FS.Open(name)
	if err != nil {
		w.note(whatIsIn, name, "", err)
		return nil, err
	}
	info, err := f.Stat()
	switch {
	case err != nil:
		w.note(whatIsIn, name, "", err)
	case info.IsDir():
		_, _ = w.ReadDir(name) // what it answers is noted, an error too
	default:
		w.note(whatItIs, name, kindOf(info), nil)
		return &observedFile{f, w, name, sha256.New(), 0}, nil
	}
	return f, nil
}

// observedFile is a file that is read, with the sum of what it gave so far.
type observedFile struct {
	fs.File
	of   *observed
	name string
	sum  hash.Hash
	n    int
}

// Read implements fs.File.
func (f *observedFile) Read(p []byte) (int, error) {
	n, err := f.File.Read(p)
	f.sum.Write(p[:n])
	f.n += n
	return n, err
}

// Close implements fs.File.
func (f *observedFile) Close() error {
	// By its length: one reader may want the head of a file, and another all of it.
	f.of.note(fmt.Sprintf("%s, %d bytes", whatIsIn, f.n), f.name, fmt.Sprintf("%x", f.sum.Sum(nil)), nil)
	return f.File.Close()
}

// ReadFile implements fs.ReadFileFS.
func (w *observed) ReadFile(name string) ([]byte, error) {
	data, err := fs.ReadFile(w.FS, name)
	w.note(whatIsIn, name, fmt.Sprintf("%x", sha256.Sum256(data)), err)
	return data, err
}

// ReadDir implements fs.ReadDirFS.
func (w *observed) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(w.FS, name)
	var said strings.Builder
	for _, e := range list {
		fmt.Fprintf(&said, "%s %s\n", e.Type(), e.Name())
	}
	w.note(whatIsThere, name, said.String(), err)
	return list, err
}

// Stat implements fs.StatFS. Of a file that is there its kind and size are noted.
func (w *observed) Stat(name string) (fs.FileInfo, error) {
	info, err := fs.Stat(w.FS, name)
	w.note(whatItIs, name, kindOf(info), err)
	return info, err
}

// Lstat implements fs.ReadLinkFS.
func (w *observed) Lstat(name string) (fs.FileInfo, error) {
	info, err := fs.Lstat(w.FS, name)
	w.note(whatLinkIs, name, kindOf(info), err)
	return info, err
}

// ReadLink implements fs.ReadLinkFS.
func (w *observed) ReadLink(name string) (string, error) {
	to, err := fs.ReadLink(w.FS, name)
	w.note(whereItGoes, name, to, err)
	return to, err
}

func kindOf(info fs.FileInfo) string {
	switch {
	case info == nil:
		return ""
	case info.IsDir():
		return info.Mode().Type().String() // the size of a folder says nothing
	}
	return fmt.Sprintf("%s %d", info.Mode().Type(), info.Size())
}

// answers are what was noted, but for that about some files, sorted.
func (w *observed) answers(but func(name string) bool) []string {
	w.guard.Lock()
	defer w.guard.Unlock()
	var out []string
	for _, name := range slices.Sorted(maps.Keys(w.noted)) {
		if !but(name) {
			out = append(out, w.of(name)...)
		}
	}
	return out
}

// about is what was noted about a file.
func (w *observed) about(name string) []string {
	w.guard.Lock()
	defer w.guard.Unlock()
	return w.of(name)
}

func (w *observed) of(name string) []string {
	var out []string
	for _, asked := range slices.Sorted(maps.Keys(w.noted[name])) {
		out = append(out, name, asked, w.noted[name][asked])
	}
	return out
}
