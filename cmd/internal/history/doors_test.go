package history

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trap is a program that leaves a mark when it is run.
func trap(t testing.TB) (program, mark string) {
	dir := t.TempDir()
	program, mark = filepath.Join(dir, "trap"), filepath.Join(dir, "mark")
	require.NoError(t, os.WriteFile(program, []byte("#!/bin/sh\necho \"$0 $*\" >> '"+mark+"'\nexit 1\n"), 0o755))
	return program, mark
}

// Each door by which a repository's own configuration can make git run a program.
// Opens is a use of git that goes through the door: it shows that the trap works, and
// so that its silence under this package means something.
func TestTheRepositoryRunsNothing(t *testing.T) {
	doors := []struct {
		name  string
		set   func(f *fixture, program string)
		opens []string
	}{
		{"watcher of files", func(f *fixture, p string) { f.git("config", "core.fsmonitor", p) }, []string{"status"}},
		{"hooks", func(f *fixture, p string) {
			for _, h := range []string{"post-index-change", "reference-transaction", "post-checkout", "pre-auto-gc"} {
				text, err := os.ReadFile(p)
				require.NoError(f.t, err)
				require.NoError(f.t, os.WriteFile(filepath.Join(f.dir, ".git/hooks", h), text, 0o755))
			}
		}, []string{"tag", "-f", "x"}},
		{"folder of hooks", func(f *fixture, p string) {
			dir := filepath.Dir(p)
			require.NoError(f.t, os.Symlink(p, filepath.Join(dir, "reference-transaction")))
			f.git("config", "core.hooksPath", dir)
		}, []string{"tag", "-f", "x"}},
		{"pager", func(f *fixture, p string) { f.git("config", "core.pager", p); f.git("config", "pager.log", p) }, []string{"script", "-qec", "git log", "/dev/null"}},
		{"external diff", func(f *fixture, p string) { f.git("config", "diff.external", p) }, []string{"log", "-p", "--ext-diff"}},
		{"text conversion", func(f *fixture, p string) {
			f.git("config", "diff.trap.textconv", p)
			require.NoError(f.t, os.WriteFile(filepath.Join(f.dir, ".git/info/attributes"), []byte("* diff=trap\n"), 0o644))
		}, []string{"log", "-p"}},
		{"driver of diffs", func(f *fixture, p string) {
			f.git("config", "diff.trap.command", p)
			require.NoError(f.t, os.WriteFile(filepath.Join(f.dir, ".git/info/attributes"), []byte("* diff=trap\n"), 0o644))
		}, []string{"log", "-p", "--ext-diff"}},
		{"filter", func(f *fixture, p string) {
			f.git("config", "filter.trap.smudge", p)
			f.git("config", "filter.trap.clean", p)
			require.NoError(f.t, os.WriteFile(filepath.Join(f.dir, ".git/info/attributes"), []byte("* filter=trap\n"), 0o644))
		}, []string{"cat-file", "--filters", "HEAD:protocols/a.toml"}},
		{"alias", func(f *fixture, p string) {
			for _, name := range []string{"log", "rev-parse", "cat-file", "ls-tree", "symbolic-ref"} {
				f.git("config", "alias."+name, "!"+p)
			}
			f.git("config", "alias.trap", "!"+p)
		}, []string{"trap"}},
		{"signatures", func(f *fixture, p string) {
			f.git("config", "gpg.program", p)
			f.git("config", "log.showSignature", "true")
			body := f.git("cat-file", "commit", "HEAD")
			body = strings.Replace(body, "\n\n", "\ngpgsig -----BEGIN PGP SIGNATURE-----\n \n x\n -----END PGP SIGNATURE-----\n\n", 1)
			c := exec.Command("git", "hash-object", "-t", "commit", "-w", "--stdin")
			c.Dir, c.Stdin = f.dir, strings.NewReader(body+"\n")
			out, err := c.Output()
			require.NoError(f.t, err)
			f.git("update-ref", "HEAD", strings.TrimSpace(string(out)))
		}, []string{"log"}},
		{"included configuration", func(f *fixture, p string) {
			at := filepath.Join(f.dir, "more.config")
			require.NoError(f.t, os.WriteFile(at, []byte("[core]\n\tfsmonitor = "+p+"\n\tpager = "+p+"\n[log]\n\tshowSignature = true\n[gpg]\n\tprogram = "+p+"\n"), 0o644))
			f.git("config", "include.path", at)
		}, []string{"status"}},
		{"configuration of the worktree", func(f *fixture, p string) {
			f.git("config", "extensions.worktreeConfig", "true")
			f.git("config", "--worktree", "core.fsmonitor", p)
		}, []string{"status"}},
		{"promised objects", func(f *fixture, p string) {
			// A file that only a remote has; asking it would run its upload program.
			id := f.git("rev-parse", "HEAD:protocols/a.toml")
			require.NoError(f.t, os.Remove(filepath.Join(f.dir, ".git/objects", id[:2], id[2:])))
			f.git("config", "core.repositoryFormatVersion", "1")
			f.git("config", "extensions.partialClone", "origin")
			f.git("config", "remote.origin.url", f.t.(*testing.T).TempDir())
			f.git("config", "remote.origin.promisor", "true")
			f.git("config", "remote.origin.uploadpack", p)
		}, []string{"cat-file", "-e", "HEAD:protocols/a.toml"}},
		{"promised objects by ssh", func(f *fixture, p string) {
			id := f.git("rev-parse", "HEAD:protocols/a.toml")
			require.NoError(f.t, os.Remove(filepath.Join(f.dir, ".git/objects", id[:2], id[2:])))
			f.git("config", "core.repositoryFormatVersion", "1")
			f.git("config", "extensions.partialClone", "origin")
			f.git("config", "remote.origin.url", "ssh://nowhere.invalid/x")
			f.git("config", "remote.origin.promisor", "true")
			f.git("config", "core.sshCommand", p)
		}, []string{"cat-file", "-e", "HEAD:protocols/a.toml"}},
		{"promised objects by a helper", func(f *fixture, p string) {
			id := f.git("rev-parse", "HEAD:protocols/a.toml")
			require.NoError(f.t, os.Remove(filepath.Join(f.dir, ".git/objects", id[:2], id[2:])))
			f.git("config", "core.repositoryFormatVersion", "1")
			f.git("config", "extensions.partialClone", "origin")
			f.git("config", "remote.origin.url", "ext::"+p+" x")
			f.git("config", "remote.origin.promisor", "true")
			f.git("config", "protocol.ext.allow", "always")
		}, []string{"cat-file", "-e", "HEAD:protocols/a.toml"}},
	}
	for _, door := range doors {
		t.Run(door.name, func(t *testing.T) {
			f := newFixture(t)
			f.write("protocols/a.toml", "first\n")
			f.commit("first")
			f.write("protocols/b.toml", "second\n")
			f.commit("second")
			program, mark := trap(t)
			door.set(f, program)
			t.Setenv("HOME", t.TempDir())

			r := f.open(f.dir)
			head := f.resolve(r, "HEAD")
			log, err := r.Log(t.Context(), head, "protocols")
			require.NoError(t, err)
			assert.NotEmpty(t, log)
			// Where an object is missing, even the list of the files' sizes is refused.
			if then, err := r.At(t.Context(), head); err == nil {
				for _, name := range []string{"protocols/a.toml", "protocols/b.toml"} {
					text, err := fs.ReadFile(then, name)
					if strings.HasPrefix(door.name, "promised") && name == "protocols/a.toml" {
						var damaged *Damaged
						assert.ErrorAs(t, err, &damaged)
						continue
					}
					require.NoError(t, err)
					assert.NotEmpty(t, text)
				}
			} else {
				assert.True(t, strings.HasPrefix(door.name, "promised"), "%v", err)
			}
			_, err = r.Resolve(t.Context(), "nowhere")
			assert.Error(t, err)
			assert.NoFileExists(t, mark, "the repository ran a program")

			command := append([]string{"git"}, door.opens...)
			if door.opens[0] == "script" { // only on a terminal is there a pager
				command = door.opens
			}
			c := exec.Command(command[0], command[1:]...)
			c.Dir = f.dir
			_ = c.Run() // the trap fails
			assert.FileExists(t, mark, "%s goes through no trap: the test shows nothing", strings.Join(command, " "))
		})
	}
}

// Objects that were replaced or grafted would show another history than the ids say.
func TestNothingIsReplaced(t *testing.T) {
	f := newFixture(t)
	f.write("protocols/a.toml", "true\n")
	f.commit("first")
	f.write("protocols/a.toml", "false\n")
	f.commit("second")
	good, bad := f.git("rev-parse", "HEAD~1"), f.git("rev-parse", "HEAD")
	f.git("replace", bad, good)
	assert.Contains(t, f.git("cat-file", "commit", "HEAD"), "first", "git itself is deceived")
	r := f.open(f.dir)
	head := f.resolve(r, "HEAD")
	assert.Equal(t, "second", head.Subject)
	then, err := r.At(t.Context(), head)
	require.NoError(t, err)
	text, err := fs.ReadFile(then, "protocols/a.toml")
	require.NoError(t, err)
	assert.Equal(t, "false\n", string(text))
}

// What the user's shell says of git leads to no other repository.
func TestTheShellSaysNothing(t *testing.T) {
	f, other := newFixture(t), newFixture(t)
	for _, x := range []*fixture{f, other} {
		x.write("a", x.dir)
		x.commit("of " + x.dir)
	}
	program, mark := trap(t)
	t.Setenv("GIT_EXTERNAL_DIFF", program)
	t.Setenv("GIT_PAGER", program)
	t.Setenv("GIT_TRACE2", filepath.Join(filepath.Dir(mark), "trace"))
	t.Setenv("GIT_DIR", filepath.Join(other.dir, ".git"))
	t.Setenv("GIT_WORK_TREE", other.dir)
	r, err := Open(t.Context(), f.dir)
	require.NoError(t, err)
	defer r.Close()
	head, err := r.Resolve(t.Context(), "HEAD")
	require.NoError(t, err)
	assert.Equal(t, "of "+f.dir, head.Subject)
	assert.NoFileExists(t, mark)
	assert.NoFileExists(t, filepath.Join(filepath.Dir(mark), "trace"))
}
