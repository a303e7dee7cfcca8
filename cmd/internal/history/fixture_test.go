package history

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fixture is a repository that is made with git itself.
type fixture struct {
	t   testing.TB
	dir string
}

func newFixture(t testing.TB) *fixture {
	if _, err := exec.LookPath("git"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("no git program: .ci/run installs it")
		}
		t.Skip("no git program on this machine")
	}
	f := &fixture{t, t.TempDir()}
	f.git("init", "--quiet", "--initial-branch=main")
	return f
}

func (f *fixture) in(dir string, args ...string) string {
	f.t.Helper()
	c := exec.Command("git", args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_GLOBAL="+os.DevNull,
		"GIT_AUTHOR_NAME=Ada", "GIT_AUTHOR_EMAIL=ada@example.org", "GIT_COMMITTER_NAME=Ada", "GIT_COMMITTER_EMAIL=ada@example.org",
		"GIT_AUTHOR_DATE=2026-03-01T12:00:00+02:00", "GIT_COMMITTER_DATE=2026-03-01T23:30:00-07:00")
	out, err := c.CombinedOutput()
	require.NoError(f.t, err, "git %s: %s", strings.Join(args, " "), out)
	return strings.TrimSpace(string(out))
}

func (f *fixture) git(args ...string) string { f.t.Helper(); return f.in(f.dir, args...) }

func (f *fixture) write(name, text string) {
	f.t.Helper()
	at := filepath.Join(f.dir, name)
	require.NoError(f.t, os.MkdirAll(filepath.Dir(at), 0o755))
	require.NoError(f.t, os.WriteFile(at, []byte(text), 0o644))
}

func (f *fixture) commit(subject string) string {
	f.t.Helper()
	f.git("add", "--all")
	f.git("commit", "--quiet", "--allow-empty", "-m", subject)
	return f.git("rev-parse", "HEAD")
}

func (f *fixture) open(dir string) *Repository {
	f.t.Helper()
	r, err := Open(f.t.Context(), dir)
	require.NoError(f.t, err)
	f.t.Cleanup(func() { assert.NoError(f.t, r.Close()) })
	return r
}

func (f *fixture) resolve(r *Repository, name string) Commit {
	f.t.Helper()
	c, err := r.Resolve(f.t.Context(), name)
	require.NoError(f.t, err)
	return c
}
