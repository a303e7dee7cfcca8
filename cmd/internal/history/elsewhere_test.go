package history

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A stranger's folder can't make a repository of the reader's its own, by any of the ways
// in which git lets one lie elsewhere; each of them deceives git itself.
func TestAnothersRepositoryIsNotRead(t *testing.T) {
	private := newFixture(t)
	private.write("protocols/a.toml", "private\n")
	private.commit("private matters")
	git := filepath.Join(private.dir, ".git")
	for name, make := range map[string]func(t *testing.T, dir string){
		"file .git": func(t *testing.T, dir string) {
			require.NoError(t, os.WriteFile(filepath.Join(dir, ".git"), []byte("gitdir: "+git+"\n"), 0o644))
		},
		"link .git": func(t *testing.T, dir string) { require.NoError(t, os.Symlink(git, filepath.Join(dir, ".git"))) },
		"common directory": func(t *testing.T, dir string) {
			own := filepath.Join(dir, ".git")
			require.NoError(t, os.Mkdir(own, 0o755))
			require.NoError(t, os.WriteFile(filepath.Join(own, "commondir"), []byte(git+"\n"), 0o644))
			require.NoError(t, os.WriteFile(filepath.Join(own, "HEAD"), []byte("ref: refs/heads/main\n"), 0o644))
		},
		"links to its parts": func(t *testing.T, dir string) {
			own := filepath.Join(dir, ".git")
			require.NoError(t, os.Mkdir(own, 0o755))
			for _, part := range []string{"objects", "refs"} {
				require.NoError(t, os.Symlink(filepath.Join(git, part), filepath.Join(own, part)))
			}
			require.NoError(t, os.WriteFile(filepath.Join(own, "HEAD"), []byte("ref: refs/heads/main\n"), 0o644))
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			make(t, dir)
			here := *private.Repository
			here.Dir = dir
			assert.Contains(t, here.Git("log", "--format=%s"), "private matters", "git itself is deceived, or the test shows nothing")
			_, err := Open(t.Context(), dir)
			var elsewhere *Elsewhere
			require.ErrorAs(t, err, &elsewhere)
			assert.NotContains(t, err.Error(), "private matters")
		})
	}
}

// Repositories that lie elsewhere by right are read: worktrees, submodules, and a folder
// whose repository was put elsewhere by git itself.
func TestRepositoriesElsewhereByRight(t *testing.T) {
	f := newFixture(t)
	f.write("a", "a")
	f.commit("first")
	t.Run("submodule", func(t *testing.T) {
		g := newFixture(t)
		g.git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", f.dir, "farm")
		g.commit("with a farm")
		assert.Equal(t, "first", f.resolve(f.open(filepath.Join(g.dir, "farm")), "HEAD").Subject)
	})
	t.Run("moved worktree", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "beside")
		f.git("worktree", "add", "--quiet", "-b", "beside", at)
		moved := filepath.Join(t.TempDir(), "moved")
		require.NoError(t, os.Rename(at, moved))
		_, err := Open(t.Context(), moved)
		var elsewhere *Elsewhere
		require.ErrorAs(t, err, &elsewhere)
		f.git("worktree", "repair", moved) // as the hint says
		assert.Equal(t, "first", f.resolve(f.open(moved), "HEAD").Subject)
	})
	t.Run("through a link", func(t *testing.T) {
		at := filepath.Join(t.TempDir(), "link")
		require.NoError(t, os.Symlink(f.dir, at))
		assert.Equal(t, "first", f.resolve(f.open(at), "HEAD").Subject)
	})
	t.Run("separate", func(t *testing.T) {
		dir := t.TempDir()
		at := filepath.Join(dir, "farm")
		f.git("clone", "--quiet", "--separate-git-dir", filepath.Join(dir, "kept.git"), f.dir, at)
		if _, err := Open(t.Context(), at); err != nil {
			f.git("--git-dir", filepath.Join(dir, "kept.git"), "config", "core.worktree", at)
		}
		assert.Equal(t, "first", f.resolve(f.open(at), "HEAD").Subject)
	})
}
