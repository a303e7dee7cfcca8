package history

import (
	"context"
	"crypto/sha1"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestARevisionAsFiles(t *testing.T) {
	f := newFixture(t)
	f.write("protocols/enoki.toml", "hold = \"90 min\"\n")
	f.write("protocols/library/species.toml", "")
	f.write("site/näss und kalt\n.md", "Zeile\r\nZeile\r\n")
	f.git("config", "core.autocrlf", "false")
	first := f.commit("first")
	f.write("protocols/enoki.toml", "hold = \"120 min\"\n")
	require.NoError(t, os.Symlink("/etc/passwd", filepath.Join(f.dir, "protocols/out.toml")))
	f.commit("second")

	r := f.open(f.dir)
	assert.Equal(t, "main", r.Branch)
	assert.False(t, r.Shallow)
	assert.False(t, r.Unborn)
	c := f.resolve(r, "HEAD~1")
	assert.Equal(t, Commit{ID: first, Tree: f.git("rev-parse", first+"^{tree}"), Parents: []string{}, Author: "Ada", Date: "2026-03-01", Time: c.Time, Subject: "first"}, c)
	assert.Equal(t, time.Date(2026, 3, 2, 6, 30, 0, 0, time.UTC).Unix(), c.Time)

	then, err := r.At(t.Context(), c)
	require.NoError(t, err)
	require.NoError(t, fstest.TestFS(then, "protocols/enoki.toml", "protocols/library/species.toml", "site/näss und kalt\n.md"))
	text, err := fs.ReadFile(then, "protocols/enoki.toml")
	require.NoError(t, err)
	assert.Equal(t, "hold = \"90 min\"\n", string(text))
	text, err = fs.ReadFile(then, "site/näss und kalt\n.md")
	require.NoError(t, err)
	assert.Equal(t, "Zeile\r\nZeile\r\n", string(text), "bytes as they were committed")
	_, err = fs.ReadFile(then, "protocols/out.toml")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = fs.ReadFile(then, "../protocols/enoki.toml")
	assert.ErrorIs(t, err, fs.ErrInvalid)

	now, err := r.At(t.Context(), f.resolve(r, "main"))
	require.NoError(t, err)
	_, err = fs.ReadFile(now, "protocols/out.toml")
	assert.ErrorIs(t, err, fs.ErrInvalid, "a link is not followed")
	info, err := fs.Stat(now, "protocols/out.toml")
	require.NoError(t, err)
	assert.Equal(t, fs.ModeSymlink, info.Mode().Type())
}

// A farm folder may be a part of a repository.
func TestAFolderOfARepository(t *testing.T) {
	f := newFixture(t)
	f.write("other/protocols/secret.toml", "a = 1\n")
	f.write("farm/protocols/enoki.toml", "long enough to be known again when it is moved, line one\nline two\nline three\n")
	f.commit("first")
	f.git("mv", "farm/protocols/enoki.toml", "other/enoki.toml")
	f.commit("out of the folder")
	f.git("mv", "other/enoki.toml", "farm/protocols/back.toml")
	f.commit("back")
	f.write("other/readme", "x")
	f.commit("elsewhere")

	r := f.open(filepath.Join(f.dir, "farm"))
	head := f.resolve(r, "HEAD")
	here, err := r.At(t.Context(), head)
	require.NoError(t, err)
	var seen []string
	require.NoError(t, fs.WalkDir(here, ".", func(p string, _ fs.DirEntry, err error) error { seen = append(seen, p); return err }))
	assert.Equal(t, []string{".", "protocols", "protocols/back.toml"}, seen)

	log, err := r.Log(t.Context(), head)
	require.NoError(t, err)
	var told []string
	for _, c := range log {
		for _, x := range c.Files {
			told = append(told, fmt.Sprintf("%s: %c %s", c.Subject, x.Kind, x.Path))
		}
	}
	assert.Equal(t, []string{"back: A protocols/back.toml", "out of the folder: D protocols/enoki.toml", "first: A protocols/enoki.toml"}, told)
}

func TestWhatAFileWentThrough(t *testing.T) {
	f := newFixture(t)
	body := "a protocol of some length, so that git knows it again\nline\nline\nline\n"
	f.write("protocols/enoki.toml", body)
	f.commit("made")
	f.git("mv", "protocols/enoki.toml", "protocols/enoki-850.toml")
	f.commit("renamed")
	f.git("checkout", "--quiet", "-b", "side")
	f.write("protocols/oyster.toml", "of the side\n")
	f.commit("side")
	f.git("checkout", "--quiet", "main")
	f.write("protocols/enoki-850.toml", body+"more\n")
	f.commit("longer")
	f.git("merge", "--quiet", "--no-ff", "-m", "merge", "side")
	f.git("revert", "--no-edit", "HEAD~1")
	f.git("rm", "--quiet", "protocols/enoki-850.toml")
	f.commit("gone")
	f.write("protocols/enoki-850.toml", "new\n")
	f.commit("made again")
	f.git("tag", "-a", "-m", "sold", "v1")

	r := f.open(f.dir)
	head := f.resolve(r, "v1")
	assert.Equal(t, f.git("rev-parse", "HEAD"), head.ID, "an annotated tag is that of its commit")
	log, err := r.Log(t.Context(), head, "protocols")
	require.NoError(t, err)
	told := map[string][]string{}
	for _, c := range log {
		for _, x := range c.Files {
			told[c.Subject] = append(told[c.Subject], fmt.Sprintf("%c %s %s", x.Kind, x.Was, x.Path))
			for _, id := range []string{x.Before, x.After} {
				if id != "" {
					assert.Len(t, id, 40)
				}
			}
		}
	}
	assert.Equal(t, map[string][]string{
		"made":            {"A protocols/enoki.toml protocols/enoki.toml"},
		"renamed":         {"R protocols/enoki.toml protocols/enoki-850.toml"},
		"side":            {"A protocols/oyster.toml protocols/oyster.toml"},
		"longer":          {"M protocols/enoki-850.toml protocols/enoki-850.toml"},
		"merge":           {"A protocols/oyster.toml protocols/oyster.toml"},
		`Revert "longer"`: {"M protocols/enoki-850.toml protocols/enoki-850.toml"},
		"gone":            {"D protocols/enoki-850.toml protocols/enoki-850.toml"},
		"made again":      {"A protocols/enoki-850.toml protocols/enoki-850.toml"},
	}, told)

	// The id of what a file held is that of git's format of objects, worked out here.
	blob := fmt.Sprintf("%x", sha1.Sum(fmt.Appendf(nil, "blob %d\x00%s", len(body), body)))
	assert.Equal(t, blob, log[len(log)-1].Files[0].After)
	one, err := r.Log(t.Context(), head, "protocols/oyster.toml")
	require.NoError(t, err)
	assert.Len(t, one, 2, "the commit and its merge")
	none, err := r.Log(t.Context(), head, "protocols/*.toml")
	require.NoError(t, err)
	assert.Empty(t, none, "a path is a path, and no pattern")
}

func TestRevisionsThatAreNone(t *testing.T) {
	f := newFixture(t)
	r := f.open(f.dir)
	assert.True(t, r.Unborn)
	var none *NoRevision
	_, err := r.Resolve(t.Context(), "HEAD")
	require.ErrorAs(t, err, &none)

	f.write("a", "a")
	f.commit("first")
	tree := f.git("rev-parse", "HEAD^{tree}")
	f.git("tag", "of-a-tree", tree)
	for _, name := range []string{"", "nowhere", "of-a-tree", "HEAD~1", "--help", "-h", "--output=x", "main..HEAD", "^main", "main side", "main\nside", "HEAD:a", ":/first",
		"main\x00", strings.Repeat("a", longestName+1), "\xff"} {
		_, err := r.Resolve(t.Context(), name)
		assert.ErrorAs(t, err, &none, "%q", name)
	}
	_, err = r.Resolve(t.Context(), "main")
	assert.NoError(t, err)
}

// Two commits whose ids begin alike are made by counting up.
func TestAmbiguousCommit(t *testing.T) {
	f := newFixture(t)
	tree := f.git("write-tree")
	seen := map[string]string{}
	r := f.open(f.dir)
	for i := range 2000 {
		body := fmt.Sprintf("tree %s\nauthor a <a> %d +0000\ncommitter a <a> %d +0000\n\nx\n", tree, i, i)
		id := fmt.Sprintf("%x", sha1.Sum(fmt.Appendf(nil, "commit %d\x00%s", len(body), body)))
		other, there := seen[id[:4]]
		seen[id[:4]] = body
		if !there {
			continue
		}
		for _, b := range []string{body, other} {
			c := exec.Command("git", "hash-object", "-t", "commit", "-w", "--stdin")
			c.Dir, c.Stdin = f.dir, strings.NewReader(b)
			require.NoError(t, c.Run())
		}
		_, err := r.Resolve(t.Context(), id[:4])
		var none *NoRevision
		require.ErrorAs(t, err, &none)
		assert.True(t, none.Ambiguous, "%v", err)
		c, err := r.Resolve(t.Context(), id)
		require.NoError(t, err)
		assert.Equal(t, id, c.ID)
		return
	}
	t.Fatal("no two ids of 2000 begin alike")
}

func TestKindsOfRepositories(t *testing.T) {
	f := newFixture(t)
	for i := range 5 {
		f.write("protocols/a.toml", strings.Repeat("x", i+1))
		f.commit(fmt.Sprint("change ", i))
	}
	t.Run("detached", func(t *testing.T) {
		f.git("checkout", "--quiet", "HEAD~1")
		defer f.git("checkout", "--quiet", "main")
		r := f.open(f.dir)
		assert.Empty(t, r.Branch)
		assert.Equal(t, "change 3", f.resolve(r, "HEAD").Subject)
	})
	t.Run("worktree", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "beside")
		f.git("worktree", "add", "--quiet", "-b", "beside", at)
		r := f.open(at)
		assert.Equal(t, "beside", r.Branch)
		log, err := r.Log(t.Context(), f.resolve(r, "HEAD"))
		require.NoError(t, err)
		assert.Len(t, log, 5)
	})
	t.Run("shallow", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "clone")
		f.git("clone", "--quiet", "--depth=2", "file://"+f.dir, at)
		r := f.open(at)
		assert.True(t, r.Shallow)
		log, err := r.Log(t.Context(), f.resolve(r, "HEAD"))
		require.NoError(t, err)
		assert.Len(t, log, 2)
		_, err = r.Resolve(t.Context(), "HEAD~3")
		var none *NoRevision
		require.ErrorAs(t, err, &none)
		assert.True(t, none.Shallow)
	})
	t.Run("bare", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "bare")
		f.git("clone", "--quiet", "--bare", f.dir, at)
		_, err := Open(t.Context(), at)
		var none *NoRepository
		require.ErrorAs(t, err, &none)
	})
	t.Run("none", func(t *testing.T) {
		_, err := Open(t.Context(), t.TempDir())
		var none *NoRepository
		require.ErrorAs(t, err, &none)
	})
	t.Run("no git", func(t *testing.T) {
		t.Setenv("PATH", t.TempDir())
		_, err := Open(t.Context(), f.dir)
		var none *NoGit
		require.ErrorAs(t, err, &none)
	})
	t.Run("another user's", func(t *testing.T) {
		if os.Geteuid() != 0 {
			t.Skip("only the superuser can give a folder to another user")
		}
		g := newFixture(t)
		g.write("a", "a")
		g.commit("first")
		require.NoError(t, filepath.WalkDir(g.dir, func(p string, _ fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			return os.Lchown(p, 12345, 12345)
		}))
		home := t.TempDir()
		t.Setenv("HOME", home)
		t.Setenv("XDG_CONFIG_HOME", home)
		t.Setenv("SUDO_UID", "")
		_, err := Open(t.Context(), g.dir)
		var foreign *Foreign
		require.ErrorAs(t, err, &foreign)
		// The user's own word for it is heeded.
		require.NoError(t, os.WriteFile(filepath.Join(home, ".gitconfig"), fmt.Appendf(nil, "[safe]\n\tdirectory = %s\n", g.dir), 0o644))
		r, err := Open(t.Context(), g.dir)
		require.NoError(t, err)
		require.NoError(t, r.Close())
	})
	t.Run("canceled", func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, err := Open(ctx, f.dir)
		assert.ErrorIs(t, err, context.Canceled)
	})
}

// Objects that are missing or broken are errors, and the next object is read.
func TestDamage(t *testing.T) {
	f := newFixture(t)
	f.write("protocols/a.toml", "first\n")
	f.write("protocols/b.toml", "whole\n")
	f.commit("first")
	f.write("protocols/c.toml", "third\n")
	f.commit("second")
	object := func(id string) string { return filepath.Join(f.dir, ".git/objects", id[:2], id[2:]) }
	missing, broken := f.git("rev-parse", "HEAD:protocols/a.toml"), f.git("rev-parse", "HEAD:protocols/c.toml")
	require.NoError(t, os.Remove(object(missing)))
	require.NoError(t, os.Chmod(object(broken), 0o644))
	require.NoError(t, os.WriteFile(object(broken), []byte("no object"), 0o644))

	r := f.open(f.dir)
	var damaged *Damaged
	head := f.resolve(r, "HEAD")
	if then, err := r.At(t.Context(), head); err != nil {
		assert.ErrorAs(t, err, &damaged) // the size of what is gone can't be told
	} else {
		for _, name := range []string{"protocols/a.toml", "protocols/c.toml"} {
			_, err := fs.ReadFile(then, name)
			assert.ErrorAs(t, err, &damaged, name)
			text, err := fs.ReadFile(then, "protocols/b.toml")
			require.NoError(t, err)
			assert.Equal(t, "whole\n", string(text))
		}
	}
	first := f.git("rev-parse", "HEAD~1")
	require.NoError(t, os.Remove(object(first)))
	_, err := r.Log(t.Context(), head)
	assert.ErrorAs(t, err, &damaged)
	_, err = r.Resolve(t.Context(), first)
	require.Error(t, err)
}

// What log prints is taken apart without a fault, whatever names there are.
func TestNamesOfAnyShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := func() string {
			return rapid.StringMatching(`[a-z:\x01\x02\n é"\\]{1,12}`).Draw(t, "name")
		}
		id := strings.Repeat("1", 40)
		var text strings.Builder
		var want []string
		for i := range rapid.IntRange(1, 4).Draw(t, "commits") {
			fmt.Fprintf(&text, "\x01%[1]s\x02%[1]s\x02\x027\x022026-03-01\x00%[2]s\x00subject %[3]d\x00", id, name(), i)
			for j := range rapid.IntRange(0, 3).Draw(t, "files") {
				if j == 0 {
					text.WriteString("\n")
				}
				if a, b := name(), name(); rapid.Bool().Draw(t, "renamed") {
					fmt.Fprintf(&text, ":100644 100644 %s %s R090\x00farm/%s\x00farm/%s\x00", id, id, a, b)
					want = append(want, "R "+a+" "+b)
				} else {
					fmt.Fprintf(&text, ":100644 100644 %s %s M\x00farm/%s\x00", id, id, a)
					want = append(want, "M "+a+" "+a)
				}
			}
		}
		out, err := (&Repository{prefix: "farm/"}).read(text.String())
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, c := range out {
			for _, x := range c.Files {
				got = append(got, string(x.Kind)+" "+x.Was+" "+x.Path)
			}
		}
		assert.Equal(t, want, got)
	})
}

// 2,000 commits on 50 protocols: issue 9 asks for 3 s.
func BenchmarkHistory(b *testing.B) {
	f := newFixture(b)
	var script strings.Builder
	for i := range 2000 {
		text := fmt.Sprintf("hold = \"%d min\"\n", 90+i)
		fmt.Fprintf(&script, "commit refs/heads/main\ncommitter Ada <ada@example.org> %d +0000\ndata 1\nx\nM 100644 inline protocols/p%d.toml\ndata %d\n%s\n", 1700000000+i, i%50, len(text), text)
	}
	c := exec.Command("git", "fast-import", "--quiet")
	c.Dir, c.Stdin = f.dir, strings.NewReader(script.String())
	require.NoError(b, c.Run())
	for b.Loop() {
		r, err := Open(b.Context(), f.dir)
		require.NoError(b, err)
		log, err := r.Log(b.Context(), f.resolve(r, "main"), "protocols")
		require.NoError(b, err)
		require.Len(b, log, 2000)
		for _, c := range log {
			for _, x := range c.Files {
				_, err := r.Read(b.Context(), x.After)
				require.NoError(b, err)
			}
		}
		require.NoError(b, r.Close())
	}
}
