package history

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// fixture is a repository to be opened.
type fixture struct {
	*checks.Repository
	t   testing.TB
	dir string
}

func newFixture(t testing.TB) *fixture {
	r := checks.NewRepository(t)
	return &fixture{r, t, r.Dir}
}

func (f *fixture) git(args ...string) string    { f.t.Helper(); return f.Git(args...) }
func (f *fixture) write(name, text string)      { f.t.Helper(); f.Write(name, text) }
func (f *fixture) commit(subject string) string { f.t.Helper(); return f.Commit(subject) }

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
