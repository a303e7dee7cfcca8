package history

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Bounds of what is read of a revision (design choice): a farm folder has some
// hundred files, and a protocol some kilobytes.
const (
	mostFiles = 100_000
	mostBytes = 32 << 20 // of one file
)

// entry is a file or a folder of a revision.
type entry struct {
	name string
	id   string
	mode fs.FileMode
	size int64
	when time.Time
	in   []*entry // of a folder, by name
}

// At is the folder as it was at a commit. Files are read when they are opened, and
// held by what they are, not by where. What is no file and no folder there, such as
// a link, can be seen and not opened: it might lead out of the folder.
func (r *Repository) At(ctx context.Context, c Commit) (fs.FS, error) {
	out, err := r.run(ctx, "ls-tree", "-r", "-z", "--long", "--full-tree", "--end-of-options", c.ID)
	if err != nil {
		if f, ok := err.(*failed); ok {
			return nil, &Damaged{fmt.Sprintf("the files of %s can't be listed: %s", c.Short(), f.line())}
		}
		return nil, err
	}
	t := &tree{repository: r, ctx: ctx, root: &entry{name: ".", mode: fs.ModeDir | 0o555, when: time.Unix(c.Time, 0).UTC()}}
	folders := map[string]*entry{".": t.root}
	count := 0
	for line := range strings.SplitSeq(strings.TrimSuffix(string(out), "\x00"), "\x00") {
		if line == "" {
			continue
		}
		meta, name, found := strings.Cut(line, "\t")
		p := strings.Fields(meta)
		if !found || len(p) != 4 {
			return nil, &Damaged{"git listed what it should not: " + strconv.Quote(line)}
		}
		name, inside := strings.CutPrefix(name, r.prefix)
		if !inside || !fs.ValidPath(name) {
			continue
		}
		if count++; count > mostFiles {
			return nil, fmt.Errorf("history: the folder has more than %d files at %s", mostFiles, c.Short())
		}
		e := &entry{name: path.Base(name), id: p[2], when: t.root.when}
		switch {
		case p[0] == "120000":
			e.mode = fs.ModeSymlink | 0o444
		case p[1] == "blob":
			e.mode = 0o444
			if p[3] == "BAD" { // so git says for one that it has not
				return nil, &Damaged{fmt.Sprintf("the object %s of %s is missing or broken", e.id, strconv.Quote(name))}
			}
			if e.size, err = strconv.ParseInt(p[3], 10, 64); err != nil {
				return nil, &Damaged{"git listed what it should not: " + strconv.Quote(line)}
			}
		default: // the commit of another repository
			e.mode = fs.ModeIrregular | 0o444
		}
		parent := folder(folders, path.Dir(name), t.root.when)
		parent.in = append(parent.in, e)
	}
	for _, f := range folders {
		slices.SortFunc(f.in, func(a, b *entry) int { return strings.Compare(a.name, b.name) })
	}
	return t, nil
}

// folder is the entry of a folder, made with those above it where it is not there.
func folder(all map[string]*entry, name string, when time.Time) *entry {
	if e, ok := all[name]; ok {
		return e
	}
	e := &entry{name: path.Base(name), mode: fs.ModeDir | 0o555, when: when}
	all[name] = e
	parent := folder(all, path.Dir(name), when)
	parent.in = append(parent.in, e)
	return e
}

// tree is a revision as a file system.
type tree struct {
	repository *Repository
	ctx        context.Context
	root       *entry
}

func (t *tree) find(op, name string) (*entry, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrInvalid}
	}
	at := t.root
	if name == "." {
		return at, nil
	}
	for part := range strings.SplitSeq(name, "/") {
		i, found := slices.BinarySearchFunc(at.in, part, func(e *entry, s string) int { return strings.Compare(e.name, s) })
		if !found {
			return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist}
		}
		at = at.in[i]
	}
	return at, nil
}

// Open implements fs.FS.
func (t *tree) Open(name string) (fs.File, error) {
	e, err := t.find("open", name)
	if err != nil {
		return nil, err
	}
	if e.mode.IsDir() {
		return &openFolder{entry: e}, nil
	}
	data, err := t.data("open", name, e)
	if err != nil {
		return nil, err
	}
	return &openFile{e, bytes.NewReader(data)}, nil
}

// ReadFile implements fs.ReadFileFS.
func (t *tree) ReadFile(name string) ([]byte, error) {
	e, err := t.find("read", name)
	if err != nil {
		return nil, err
	}
	return t.data("read", name, e)
}

// ReadDir implements fs.ReadDirFS.
func (t *tree) ReadDir(name string) ([]fs.DirEntry, error) {
	e, err := t.find("readdir", name)
	if err != nil {
		return nil, err
	}
	if !e.mode.IsDir() {
		return nil, &fs.PathError{Op: "readdir", Path: name, Err: fs.ErrInvalid}
	}
	return e.list(), nil
}

// Stat implements fs.StatFS.
func (t *tree) Stat(name string) (fs.FileInfo, error) {
	e, err := t.find("stat", name)
	if err != nil {
		return nil, err
	}
	return info{e}, nil
}

func (t *tree) data(op, name string, e *entry) ([]byte, error) {
	switch {
	case !e.mode.IsRegular():
		return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrInvalid}
	case e.size > mostBytes:
		return nil, &fs.PathError{Op: op, Path: name, Err: fmt.Errorf("history: it has %d MB; %d are possible", e.size>>20, mostBytes>>20)}
	}
	data, err := t.repository.Read(t.ctx, e.id)
	if err != nil {
		return nil, &fs.PathError{Op: op, Path: name, Err: err}
	}
	return data, nil
}

func (e *entry) list() []fs.DirEntry {
	out := make([]fs.DirEntry, len(e.in))
	for i, x := range e.in {
		out[i] = fs.FileInfoToDirEntry(info{x})
	}
	return out
}

// info is what is known of an entry.
type info struct{ *entry }

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return i.size }
func (i info) Mode() fs.FileMode  { return i.mode }
func (i info) ModTime() time.Time { return i.when }
func (i info) IsDir() bool        { return i.mode.IsDir() }
func (i info) Sys() any           { return nil }

type openFile struct {
	entry *entry
	*bytes.Reader
}

func (f *openFile) Stat() (fs.FileInfo, error) { return info{f.entry}, nil }
func (f *openFile) Close() error               { return nil }

type openFolder struct {
	entry *entry
	read  int
}

func (f *openFolder) Stat() (fs.FileInfo, error) { return info{f.entry}, nil }
func (f *openFolder) Close() error               { return nil }
func (f *openFolder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.entry.name, Err: fs.ErrInvalid}
}

func (f *openFolder) ReadDir(n int) ([]fs.DirEntry, error) {
	rest := f.entry.list()[f.read:]
	if n > 0 && len(rest) == 0 {
		return nil, io.EOF
	}
	if n > 0 {
		rest = rest[:min(n, len(rest))]
	}
	f.read += len(rest)
	return rest, nil
}
