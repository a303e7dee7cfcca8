package view

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// watchedFolder is a folder with a watch on two of its parts.
func watchedFolder(t *testing.T) (string, *Watcher) {
	t.Helper()
	dir := t.TempDir()
	for _, d := range []string{"protocols/library", "site", "out"} {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, d), 0o755))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "protocols/a.toml"), []byte("a"), 0o644))
	w, err := Watch(dir, "protocols", "site", "templates")
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, w.Close()) })
	return dir, w
}

// told reports whether a change is told within a time.
func told(t *testing.T, w *Watcher, within time.Duration) bool {
	t.Helper()
	ctx, end := context.WithTimeout(t.Context(), within)
	defer end()
	_, err := w.Next(ctx)
	return err == nil
}

// Every way in which a file changes is told: written in place, replaced by another as
// editors do it, made, deleted, in a folder that is new or comes back.
func TestChangesAreTold(t *testing.T) {
	for name, change := range map[string]func(dir string) error{
		"written":   func(dir string) error { return os.WriteFile(dir+"/protocols/a.toml", []byte("b"), 0o644) },
		"made":      func(dir string) error { return os.WriteFile(dir+"/site/page.md", []byte("b"), 0o644) },
		"deleted":   func(dir string) error { return os.Remove(dir + "/protocols/a.toml") },
		"in a part": func(dir string) error { return os.WriteFile(dir+"/protocols/library/species.toml", nil, 0o644) },
		"replaced": func(dir string) error {
			if err := os.WriteFile(dir+"/protocols/.a.toml.swp", []byte("c"), 0o644); err != nil {
				return err
			}
			return os.Rename(dir+"/protocols/.a.toml.swp", dir+"/protocols/a.toml")
		},
		"a new part": func(dir string) error {
			if err := os.Mkdir(dir+"/templates", 0o755); err != nil {
				return err
			}
			return os.WriteFile(dir+"/templates/book.css", nil, 0o644)
		},
		"moved in": func(dir string) error {
			if err := os.MkdirAll(dir+"/elsewhere/deep", 0o755); err != nil {
				return err
			}
			return os.Rename(dir+"/elsewhere", dir+"/site/pictures")
		},
	} {
		dir, w := watchedFolder(t)
		require.NoError(t, change(dir), name)
		assert.True(t, told(t, w, 10*time.Second), name)
	}
}

// A folder that came later is watched like one that was there.
func TestNewFoldersAreWatched(t *testing.T) {
	dir, w := watchedFolder(t)
	require.NoError(t, os.MkdirAll(dir+"/templates/fonts", 0o755))
	require.True(t, told(t, w, 10*time.Second))
	require.NoError(t, os.WriteFile(dir+"/templates/fonts/x.woff2", nil, 0o644))
	assert.True(t, told(t, w, 10*time.Second))
}

// What no page is made of is not told: other folders, the copies that editors keep.
func TestOtherFilesAreNotTold(t *testing.T) {
	dir, w := watchedFolder(t)
	for _, name := range []string{"README.md", "out/index.html", "protocols/.a.toml.swp", "protocols/a.toml~"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o644))
	}
	require.NoError(t, os.Chmod(dir+"/protocols/a.toml", 0o600))
	assert.False(t, told(t, w, 300*time.Millisecond))
}

// Many changes at once are one.
func TestChangesAreGathered(t *testing.T) {
	dir, w := watchedFolder(t)
	for range 50 {
		require.NoError(t, os.WriteFile(dir+"/protocols/a.toml", []byte("b"), 0o644))
	}
	changed, err := w.Next(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []string{"protocols/a.toml"}, changed)
	assert.False(t, told(t, w, 300*time.Millisecond))
}
