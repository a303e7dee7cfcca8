package farmfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// Faults of a file as a whole, one a file.
func TestUnreadableFiles(t *testing.T) {
	for name, c := range map[string]struct {
		src  string
		rule string
		at   [3]int
	}{
		"UTF-8 with a mark":        {"\xEF\xBB\xBFformat = 1\n", "file.bom", [3]int{}},
		"UTF-16, little end first": {"\xFF\xFEf\x00o\x00", "file.utf16", [3]int{}},
		"UTF-16, big end first":    {"\xFE\xFF\x00f\x00o", "file.utf16", [3]int{}},
		"UTF-16 without a mark":    {"f\x00o\x00r\x00m\x00", "file.utf16", [3]int{}},
		"Latin-1":                  {"format = 1\ntitle = \"µ B\xE4r\"\n", "file.not_utf8", [3]int{2, 13, 14}},
		"half a character":         {"a = \"\xC3", "file.not_utf8", [3]int{1, 6, 7}},
		"a null byte":              {"# ok\na = \"x\x00y\"\n", "file.control", [3]int{2, 7, 8}},
		"an escape in a comment":   {"# \x1B[31m\n", "file.control", [3]int{1, 3, 4}},
		"a delete":                 {"a = '\x7F'\n", "file.control", [3]int{1, 6, 7}},
		"a lone carriage return":   {"a = 1\rb = 2\n", "file.control", [3]int{1, 6, 7}},
		"one before a line end":    {"a = 1\r\r\nb = 2\r\n", "file.control", [3]int{1, 6, 7}},
		"a page of binary":         {strings.Repeat("\x89PNG\r\n\x1A\n", 100), "file.not_utf8", [3]int{1, 1, 2}},
	} {
		t.Run(name, func(t *testing.T) {
			f, list := Read(farmOf(t, map[string][]byte{"protocols/odd.toml": []byte(c.src)}), builtIn)
			require.Len(t, list, 1)
			assert.Equal(t, c.rule, list[0].Rule)
			p := list[0].Place
			assert.Equal(t, "protocols/odd.toml", p.File)
			assert.Equal(t, c.at, [3]int{p.Line, p.Column, p.EndColumn})
			assert.Equal(t, "odd", list[0].Subject)
			assert.Len(t, f.Protocols, 1, "the other protocol is read all the same")
			assert.True(t, f.Usable)
		})
	}
}

// odd is a file system in which one file behaves badly.
type odd struct {
	fs.FS
	name   string
	size   int64 // as Stat says
	bytes  int64 // that can be read
	mode   fs.FileMode
	stat   error
	open   error
	read   error
	opened *bool
}

func (o odd) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(o.FS, name)
	if err == nil && name == filepath.Dir(o.name) {
		list = append(list, fs.FileInfoToDirEntry(oddFile{odd: o}))
	}
	return list, err
}

func (o odd) Stat(name string) (fs.FileInfo, error) {
	if name != o.name {
		return fs.Stat(o.FS, name)
	}
	return oddFile{odd: o}, o.stat
}

func (o odd) Open(name string) (fs.File, error) {
	if name != o.name {
		return o.FS.Open(name)
	}
	*o.opened = true
	if o.open != nil {
		return nil, o.open
	}
	left := o.bytes
	return oddFile{odd: o, left: &left}, nil
}

type oddFile struct {
	odd
	left *int64
}

func (f oddFile) Name() string               { return filepath.Base(f.name) }
func (f oddFile) Size() int64                { return f.size }
func (f oddFile) Mode() fs.FileMode          { return f.mode }
func (f oddFile) ModTime() time.Time         { return time.Time{} }
func (f oddFile) IsDir() bool                { return f.mode.IsDir() }
func (f oddFile) Sys() any                   { return nil }
func (f oddFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f oddFile) Close() error               { return nil }

func (f oddFile) Read(p []byte) (int, error) {
	if f.odd.read != nil {
		return 0, f.odd.read
	}
	n := min(int64(len(p)), *f.left)
	if n == 0 {
		return 0, io.EOF
	}
	for i := range p[:n] {
		p[i] = '#'
	}
	*f.left -= n
	return int(n), nil
}

func TestOddFileSystems(t *testing.T) {
	escape := &fs.PathError{Op: "statat", Path: "odd.toml", Err: errors.New("path escapes from parent")}
	for name, c := range map[string]struct {
		odd    odd
		rule   string
		opened bool
	}{
		"50 MB":                       {odd{size: 50 << 20, bytes: 50 << 20}, "file.large", false},
		"a byte too many":             {odd{size: mostBytes + 1, bytes: mostBytes + 1}, "file.large", false},
		"50 MB that says it is small": {odd{size: 10, bytes: 50 << 20}, "file.large", true},
		"no end":                      {odd{size: 0, bytes: 1 << 60}, "file.large", true},
		"a folder":                    {odd{mode: fs.ModeDir}, "file.folder", false},
		"a pipe":                      {odd{mode: fs.ModeNamedPipe}, "file.special", false},
		"a device":                    {odd{mode: fs.ModeDevice}, "file.special", false},
		"no permission":               {odd{open: &fs.PathError{Op: "open", Path: "/secret/odd.toml", Err: fs.ErrPermission}}, "file.permission", true},
		"a link that leads out":       {odd{stat: escape}, "file.leads_out", false},
		"a link that leads nowhere":   {odd{stat: &fs.PathError{Op: "stat", Path: "x", Err: fs.ErrNotExist}}, "file.gone", false},
		"a bad disk":                  {odd{size: 10, read: &fs.PathError{Op: "read", Path: "/secret/odd.toml", Err: syscall.EIO}}, "file.unreadable", true},
	} {
		t.Run(name, func(t *testing.T) {
			c.odd.FS, c.odd.name, c.odd.opened = farmOf(t, nil), "protocols/odd.toml", new(bool)
			f, list := Read(c.odd, builtIn)
			require.Len(t, list, 1)
			assert.Equal(t, c.rule, list[0].Rule)
			assert.Equal(t, "protocols/odd.toml", list[0].Place.File)
			assert.NotContains(t, line(list[0]), "/secret")
			assert.Equal(t, c.opened, *c.odd.opened)
			assert.Len(t, f.Protocols, 1)
		})
	}
	t.Run("the largest that is read", func(t *testing.T) {
		o := odd{FS: farmOf(t, nil), name: "protocols/odd.toml", opened: new(bool), size: mostBytes, bytes: mostBytes}
		_, list := Read(o, builtIn)
		require.NotEmpty(t, list)
		assert.Equal(t, "key.missing", list[0].Rule) // it was read: a comment of 1 MiB
	})
}

func TestFolders(t *testing.T) {
	t.Run("nothing at all", func(t *testing.T) {
		f, list := Read(fstest.MapFS{}, builtIn)
		require.Len(t, list, 1)
		assert.Equal(t, "farm.missing", list[0].Rule)
		assert.Equal(t, "farmfile.hint.start", list[0].Hint.ID)
		assert.False(t, f.Usable)
		assert.Nil(t, f.Canonical("enoki"))
		assert.Equal(t, protocol.Place{File: protocol.FarmDocument}, f.Place(working.Origin{Document: protocol.FarmDocument, Key: "altitude"}))
	})
	t.Run("no base", func(t *testing.T) {
		f, list := Read(farmOf(t, nil), nil)
		require.NotEmpty(t, list)
		for _, x := range list {
			assert.Equal(t, "reference.unknown", x.Rule)
			assert.Equal(t, "farmfile.hint.reference_none", x.Hint.ID)
		}
		assert.Empty(t, f.Protocols)
	})
	t.Run("protocols is a file", func(t *testing.T) {
		_, list := Read(fstest.MapFS{"protocols": &fstest.MapFile{}}, builtIn)
		require.Len(t, list, 1)
		assert.Equal(t, "file.unreadable", list[0].Rule)
	})
	t.Run("odd names", func(t *testing.T) {
		odd := []string{"Enoki Quart.toml", "größe.toml", "a\nb.toml", "-x.toml", "$(rm).toml", "x.y.toml", "UPPER.toml", ".toml.toml", "enoki.TOML", "\"q\".toml", "a\x1b[31m.toml", "Farm.toml"}
		files := map[string][]byte{}
		for _, name := range odd {
			files["protocols/"+name] = []byte("format = 1\n")
		}
		f, list := Read(farmOf(t, files), builtIn)
		for _, x := range list {
			assert.Equal(t, "file.name", x.Rule)
			assert.NotRegexp(t, `[\x00-\x1f]`, x.Place.File)
			example := x.Hint.Args["example"].(string)
			assert.Regexp(t, `^[a-z][a-z0-9-]*\.toml$`, example)
		}
		assert.Len(t, list, len(odd)-1, "hidden files are not looked at")
		assert.Len(t, f.Protocols, 1)
	})
	t.Run("a library that cannot be read", func(t *testing.T) {
		// One finding, and none for each name that would have been in it.
		f, list := Read(farmOf(t, map[string][]byte{protocol.LibraryFolder + "/vessels.toml": []byte("format = \n")}), builtIn)
		require.Len(t, list, 1)
		assert.Equal(t, "toml.value", list[0].Rule)
		assert.False(t, f.Usable)
		assert.Empty(t, f.Protocols)
	})
	t.Run("a parent that cannot be read", func(t *testing.T) {
		f, list := Read(farmOf(t, map[string][]byte{
			"protocols/enoki.toml": []byte("format = 1\ntitle = Enoki\n"),
			"protocols/child.toml": []byte("format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\n"),
		}), builtIn)
		require.Len(t, list, 1)
		assert.Equal(t, "protocols/enoki.toml", list[0].Place.File)
		assert.Empty(t, f.Protocols)
	})
}

// A folder that is too much is refused before its protocols are read, with what it has and
// what is allowed; the most that is allowed is read.
func TestBoundsOfAFolder(t *testing.T) {
	for _, c := range []struct {
		name         string
		files, bytes int
		rule         string
		found, most  int
	}{
		{"protocols/p%05d.toml", mostProtocols, 0, "farm.many", mostProtocols + 1, mostProtocols}, // enoki is one more
		{"protocols/p%05d.toml", mostOfAll/mostBytes + 1, mostBytes, "farm.large", mostOfAll>>20 + 1, mostOfAll >> 20},
		{"protocols/languages/l%02d.toml", mostLanguages + 1, 0, "languages.many", mostLanguages + 1, mostLanguages},
	} {
		files, data := farmOf(t, nil), make([]byte, c.bytes)
		for i := range c.files {
			files[fmt.Sprintf(c.name, i)] = &fstest.MapFile{Data: data}
		}
		f, list := Read(files, builtIn)
		require.Len(t, list, 1, c.rule)
		assert.Equal(t, c.rule, list[0].Rule)
		assert.Equal(t, args{"found": c.found, "most": c.most}, list[0].What.Args)
		if c.name == "protocols/p%05d.toml" {
			assert.Empty(t, f.Protocols)
			delete(files, "protocols/enoki.toml")
			delete(files, fmt.Sprintf(c.name, 0))
			_, ok := new(Folder).list(files)
			assert.True(t, ok, "that many are possible")
		}
	}
	for n, ok := range map[int]bool{MostName: true, MostName + 1: false} {
		assert.Equal(t, ok, IsName(strings.Repeat("a", n)))
		f, list := Read(farmOf(t, map[string][]byte{"protocols/" + strings.Repeat("a", n) + ".toml": changed(t, "protocols/enoki.toml")}), builtIn)
		assert.Equal(t, ok, len(list) == 0)
		assert.Equal(t, ok, len(f.Protocols) == 2)
	}
}
