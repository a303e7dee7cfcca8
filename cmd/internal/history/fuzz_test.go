package history

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever a revision is called and whatever file is asked for of it: a commit that the
// repository has, or an error that says there is none; a file of the folder, or an error.
// Nothing is an option of git's, nothing is written, no program is run, and nothing of
// another folder is read.
func FuzzRevision(f *testing.F) {
	files := []string{"a.toml", "../secret", "link", "", ".", "/etc/passwd", "a.toml/", "sub/b.toml", "sub/../a.toml", ".git/config", "sub\\b.toml"}
	for i, name := range []string{"HEAD", "main", "v1", "side/ä", "HEAD~1", "HEAD^{/first}", "main@{0}", "@", "@{upstream}", "HEAD^{tree}", "HEAD:farm/a.toml",
		"--output=leak", "-p", "--help", "--exec=x", "--upload-pack=x", "$(touch leak)", "`touch leak`", "main;touch leak", "main..HEAD", "^main", ":/first", "refs/heads/main",
		"../secret", "main -- ../secret", "HEAD\n--output=leak", "HEAD\x00", "\xff", strings.Repeat("a", 300), "HEAD^0^0~0", "heads/main#", "=", "HEAD^{commit}{", "@{-1}", "main@{now}"} {
		f.Add(name, files[i%len(files)])
	}
	for _, file := range files {
		f.Add("HEAD", file)
	}
	x := newFixture(f)
	x.write("secret", "of another folder\n")
	x.write("farm/a.toml", "first\n")
	x.write("farm/sub/b.toml", "below\n")
	require.NoError(f, os.Symlink("../secret", filepath.Join(x.dir, "farm/link")))
	first := x.commit("first")
	x.git("tag", "-a", "-m", "x", "v1")
	x.git("branch", "side/ä")
	x.write("farm/a.toml", "second\n")
	second := x.commit("second")
	program, mark := trap(f)
	x.git("config", "core.fsmonitor", program)
	x.git("config", "core.pager", program)
	x.git("config", "diff.external", program)
	x.git("config", "alias.rev-parse", "!"+program)
	dir := filepath.Join(x.dir, "farm")
	r := x.open(dir)
	known := map[string]bool{"first\n": true, "second\n": true, "below\n": true}
	before := listing(f, x.dir)
	f.Fuzz(func(t *testing.T, name, file string) {
		c, err := r.Resolve(t.Context(), name)
		if err != nil {
			var none *NoRevision
			var damaged *Damaged
			if !errors.As(err, &none) && !errors.As(err, &damaged) {
				t.Fatalf("%q: %v", name, err)
			}
			require.Empty(t, c.ID)
		} else {
			require.Contains(t, []string{first, second}, c.ID, "%q", name)
			then, err := r.At(t.Context(), c)
			require.NoError(t, err)
			text, err := fs.ReadFile(then, file)
			if err == nil {
				require.True(t, fs.ValidPath(file) && known[string(text)], "%q of %q holds %q", file, name, text)
			}
			log, err := r.Log(t.Context(), c, file)
			if err == nil {
				for _, one := range log {
					for _, f := range one.Files {
						require.NotContains(t, f.Path, "secret")
					}
				}
			}
		}
		require.NoFileExists(t, mark, "%q ran a program", name)
		require.Equal(t, before, listing(t, x.dir), "%q wrote a file", name)
	})
}

// listing is every file of a repository with its size, but for the folder of its objects.
func listing(t testing.TB, dir string) []string {
	t.Helper()
	var out []string
	require.NoError(t, filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() == "objects" {
			return fs.SkipDir
		}
		info, err := d.Info()
		out = append(out, fmt.Sprint(p, info.Size()))
		return err
	}))
	return out
}

// What git prints of commits is read back as what it was made of, whatever people and
// files are called; and any other text is an error or some commits, and no panic.
func FuzzLog(f *testing.F) {
	f.Add("Ada", "first", "farm/a.toml", "farm/b.toml", "farm/", byte('R'), "")
	f.Add("\x01\x02", ":100644 100644 a b M", ":x", "\x01", "", byte('M'), "x")
	f.Add("", "", "a\nb", "\n", "farm/", byte('A'), "\x01a\x02b")
	f.Add("a", "b", "c", "d", "", byte('D'), ":100644 100644 a b R100\x00c")
	f.Fuzz(func(t *testing.T, author, subject, is, was, prefix string, kind byte, any string) {
		r := &Repository{prefix: prefix}
		if list, err := r.read(any); err == nil {
			for _, c := range list {
				require.NotContains(t, c.ID, "\x00")
			}
		}
		if strings.ContainsRune(author+subject+is+was+prefix, 0) || is == "" || was == "" || kind < 'A' || kind > 'Z' {
			return // git has no such names
		}
		id, tree := strings.Repeat("a1", 20), strings.Repeat("b2", 20)
		renamed := FileKind(kind) == Renamed || FileKind(kind) == Copied
		text := headMark + strings.Join([]string{id, tree, "", "1700000000", "2023-11-14"}, between) + "\x00" + author + "\x00" + subject + "\x00" +
			"\n:100644 100644 " + id + " " + tree + " " + string(rune(kind)) + "\x00"
		if renamed {
			text += was + "\x00"
		} else {
			was = is
		}
		text += is + "\x00"
		list, err := r.read(text)
		require.NoError(t, err, "%q", text)
		require.Len(t, list, 1)
		require.Equal(t, Commit{ID: id, Tree: tree, Parents: []string{}, Author: author, Time: 1700000000, Date: "2023-11-14", Subject: subject}, list[0].Commit)
		isIn, wasIn := strings.HasPrefix(is, prefix), strings.HasPrefix(was, prefix)
		require.Equal(t, isIn || wasIn, len(list[0].Files) == 1)
		for _, x := range list[0].Files {
			switch {
			case isIn && wasIn:
				require.Equal(t, File{Path: is[len(prefix):], Was: was[len(prefix):], Kind: FileKind(kind), Before: id, After: tree}, x)
			case isIn:
				require.Equal(t, File{Path: is[len(prefix):], Was: is[len(prefix):], Kind: Added, After: tree, Outside: true}, x)
			default:
				require.Equal(t, File{Path: was[len(prefix):], Was: was[len(prefix):], Kind: Deleted, Before: id, Outside: true}, x)
			}
		}
	})
}

// A folder's object is read as what it was made of, but for names that lead elsewhere; any
// other bytes are refused, or name nothing but what a folder may have.
func FuzzTree(f *testing.F) {
	id := []byte("12345678901234567890")
	f.Add([]byte("100644 a.toml\x00"+string(id)+"40000 library\x00"+string(id)), "b")
	f.Add([]byte("100644 ../../x\x00"+string(id)), "..")
	f.Add([]byte("100644 a/b\x00"+string(id)+"120000 .\x00"+string(id)), "a/b")
	f.Add([]byte("100644"), "")
	f.Add([]byte(" \x00"), "\xff")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		list, ok := entries(data, len(id))
		require.True(t, ok || list == nil)
		for _, i := range list {
			require.Equal(t, path.Base(i.Name), i.Name)
			require.NotContains(t, []string{".", "..", ""}, i.Name)
			require.NotContains(t, i.Name, "\x00")
			require.Len(t, i.ID, 2*len(id))
		}
		if strings.ContainsRune(name, 0) {
			return
		}
		whole, ok := entries([]byte("100644 "+name+"\x00"+string(id)+"40000 last\x00"+string(id)), len(id))
		require.True(t, ok)
		want := []Item{{"last", hex.EncodeToString(id), fs.ModeDir}}
		if fs.ValidPath(name) && name != "." && !strings.Contains(name, "/") {
			want = append([]Item{{name, hex.EncodeToString(id), 0}}, want...)
		}
		require.Equal(t, want, whole)
	})
}
