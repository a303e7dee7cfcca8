package checks

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Repository is a repository that is made with git itself.
type Repository struct {
	T   testing.TB
	Dir string
}

// NewRepository makes one without commits, in a folder of the test's. On a machine
// without git the test is skipped, in CI it fails.
func NewRepository(t testing.TB) *Repository {
	if _, err := exec.LookPath("git"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("no git program: .ci/run installs it")
		}
		t.Skip("no git program on this machine")
	}
	r := &Repository{t, t.TempDir()}
	r.Git("init", "--quiet", "--initial-branch=main", "--template=") // whose samples nobody needs, but for their folders
	for _, dir := range []string{"hooks", "info"} {
		require.NoError(t, os.MkdirAll(filepath.Join(r.Dir, ".git", dir), 0o755))
	}
	return r
}

// days are when something is committed that says no day of its own.
var days = []string{"GIT_AUTHOR_DATE=2026-03-01T12:00:00+02:00", "GIT_COMMITTER_DATE=2026-03-01T23:30:00-07:00"}

// In runs git in a folder, with what it is given besides in the environment.
func (r *Repository) In(dir string, env []string, args ...string) string {
	r.T.Helper()
	c := exec.Command("git", args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_GLOBAL="+os.DevNull,
		"GIT_CONFIG_COUNT=2", "GIT_CONFIG_KEY_0=core.fsync", "GIT_CONFIG_VALUE_0=none", // nobody needs it after a power cut
		"GIT_CONFIG_KEY_1=gc.auto", "GIT_CONFIG_VALUE_1=0",
		"GIT_AUTHOR_NAME=Ada", "GIT_AUTHOR_EMAIL=ada@example.org", "GIT_COMMITTER_NAME=Ada", "GIT_COMMITTER_EMAIL=ada@example.org")
	c.Env = append(append(c.Env, days...), env...)
	out, err := c.CombinedOutput()
	require.NoError(r.T, err, "git %s: %s", strings.Join(args, " "), out)
	return strings.TrimSpace(string(out))
}

// Git runs git in the repository.
func (r *Repository) Git(args ...string) string { r.T.Helper(); return r.In(r.Dir, nil, args...) }

// Write writes a file of the repository.
func (r *Repository) Write(name, text string) {
	r.T.Helper()
	at := filepath.Join(r.Dir, name)
	require.NoError(r.T, os.MkdirAll(filepath.Dir(at), 0o755))
	require.NoError(r.T, os.WriteFile(at, []byte(text), 0o644))
}

// Commit commits all that there is, and gives its id.
func (r *Repository) Commit(subject string) string {
	r.T.Helper()
	r.Git("add", "--all")
	r.Git("commit", "--quiet", "--allow-empty", "-m", subject)
	return r.Git("rev-parse", "HEAD")
}

// CommitOn is Commit at noon of a day, "2026-03-01".
func (r *Repository) CommitOn(day, subject string) string {
	r.T.Helper()
	r.Git("add", "--all")
	when := day + "T12:00:00Z"
	r.In(r.Dir, []string{"GIT_AUTHOR_DATE=" + when, "GIT_COMMITTER_DATE=" + when}, "commit", "--quiet", "--allow-empty", "-m", subject)
	return r.Git("rev-parse", "HEAD")
}
