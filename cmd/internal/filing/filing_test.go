package filing

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

func opened(t *testing.T, dir string) *os.Root {
	t.Helper()
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	t.Cleanup(func() { root.Close() })
	return root
}

func write(t *testing.T, file, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
}

func TestPutKeepsTheModeAndLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "protocols", "a.toml")
	write(t, file, "old")
	require.NoError(t, os.Chmod(file, 0o660))
	root := opened(t, dir)
	held, err := Hold(root, "protocols/a.toml")
	require.NoError(t, err)
	assert.Equal(t, "old", string(held.Text))
	require.NoError(t, held.Put(t.Context(), root, []byte("new")))
	assert.Equal(t, "new", checks.Text(t, file))
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o660), info.Mode().Perm())
	assert.Equal(t, []string{"a.toml"}, checks.Names(t, filepath.Dir(file)))
	assert.False(t, UnderWay())
}

// Whoever writes second is told, however the first did it, and the first one's text
// stays.
func TestPutRefusesWhatChanged(t *testing.T) {
	for name, change := range map[string]func(t *testing.T, file string){
		"written in place": func(t *testing.T, file string) { write(t, file, "another") },
		"one byte":         func(t *testing.T, file string) { write(t, file, "olD") },
		"put in its place": func(t *testing.T, file string) {
			write(t, file+"~", "another")
			require.NoError(t, os.Rename(file+"~", file))
		},
		"taken away": func(t *testing.T, file string) { require.NoError(t, os.Remove(file)) },
		"a link in its place": func(t *testing.T, file string) {
			require.NoError(t, os.Rename(file, file+"~"))
			require.NoError(t, os.Symlink(filepath.Base(file)+"~", file))
		},
		"protected": func(t *testing.T, file string) { require.NoError(t, os.Chmod(file, 0o444)) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			file := filepath.Join(dir, "a.toml")
			write(t, file, "old")
			root := opened(t, dir)
			held, err := Hold(root, "a.toml")
			require.NoError(t, err)
			change(t, file)
			before, text := checks.Names(t, dir), []byte(nil)
			if t, err := os.ReadFile(file); err == nil {
				text = t
			}
			err = held.Put(t.Context(), root, []byte("new"))
			var refused *Refused
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, before, checks.Names(t, dir))
			if text != nil {
				assert.Equal(t, string(text), checks.Text(t, file))
			}
		})
	}
}

// Of many that have read the same text and write at once one is done, and the others are
// told: no edit is lost without a word.
func TestOneOfManyWritersIsDone(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a.toml")
	write(t, file, "0")
	root := opened(t, dir)
	for round := range 8 {
		held, err := Hold(root, "a.toml")
		require.NoError(t, err)
		var all sync.WaitGroup
		results := make([]error, 8)
		for i := range results {
			all.Go(func() { results[i] = held.Put(t.Context(), root, fmt.Appendf(nil, "%d by %d", round, i)) })
		}
		all.Wait()
		done := 0
		for i, err := range results {
			if err == nil {
				done++
				assert.Equal(t, fmt.Sprintf("%d by %d", round, i), checks.Text(t, file))
			} else {
				require.ErrorIs(t, err, ErrChanged)
			}
		}
		require.Equal(t, 1, done)
	}
	assert.Equal(t, []string{"a.toml"}, checks.Names(t, dir))
}

// A run that waits for another can be stopped.
func TestPutCanBeStopped(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a.toml")
	write(t, file, "old")
	root := opened(t, dir)
	held, err := Hold(root, "a.toml")
	require.NoError(t, err)
	other, err := os.Open(file)
	require.NoError(t, err)
	defer other.Close()
	if got, err := tryLock(other); err != nil || !got {
		t.Skipf("no locks on this system: %v", err)
	}
	ctx, stop := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer stop()
	require.ErrorIs(t, held.Put(ctx, root, []byte("new")), context.DeadlineExceeded)
	assert.Equal(t, "old", checks.Text(t, file))
	assert.Equal(t, []string{"a.toml"}, checks.Names(t, dir))
}

func TestHoldRefuses(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a.toml"), "text")
	require.NoError(t, os.Symlink("a.toml", filepath.Join(dir, "link.toml")))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.toml"), 0o755))
	write(t, filepath.Join(dir, "protected.toml"), "text")
	require.NoError(t, os.Chmod(filepath.Join(dir, "protected.toml"), 0o444))
	root := opened(t, dir)
	for name, why := range map[string]error{"link.toml": ErrLink, "folder.toml": ErrNotFile, "protected.toml": ErrReadOnly, "none.toml": os.ErrNotExist} {
		_, err := Hold(root, name)
		require.ErrorIs(t, err, why, name)
	}
	_, err := Hold(root, "../elsewhere.toml")
	require.Error(t, err)
}

// What a killed run left goes with the next one; what another is writing, and what only
// looks like it, stays.
func TestLeftoversAreCleared(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a.toml")
	write(t, file, "old")
	write(t, filepath.Join(dir, halfPrefix+"0123456789abcdef"), "half")
	write(t, filepath.Join(dir, halfPrefix+"notes"), "mine")
	write(t, filepath.Join(dir, "x"+halfPrefix+"0123456789abcdef"), "mine")
	require.NoError(t, os.Mkdir(filepath.Join(dir, halfPrefix+"0123456789abcdee"), 0o755))
	require.NoError(t, os.Symlink("a.toml", filepath.Join(dir, halfPrefix+"0123456789abcded")))
	root := opened(t, dir)
	alive, err := begin(root, ".", 0o600)
	require.NoError(t, err)
	before := checks.Names(t, dir)
	held, err := Hold(root, "a.toml")
	require.NoError(t, err)
	require.NoError(t, held.Put(t.Context(), root, []byte("new")))
	after := checks.Names(t, dir)
	assert.NotContains(t, after, halfPrefix+"0123456789abcdef")
	assert.Len(t, after, len(before)-1)
	assert.Contains(t, after, alive.name)
	alive.discard()
	assert.Len(t, checks.Names(t, dir), len(before)-2)
}

// A name that slipped costs nobody a text, and a link is followed.
func TestPutByName(t *testing.T) {
	like := func(head []byte) bool { return bytes.HasPrefix(head, []byte("%PDF-")) }
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, Put(at("a.pdf"), []byte("%PDF-1"), like))
	require.NoError(t, Put(at("a.pdf"), []byte("%PDF-2"), like))
	assert.Equal(t, "%PDF-2", checks.Text(t, at("a.pdf")))

	write(t, at("mine.pdf"), "my thesis")
	require.ErrorIs(t, Put(at("mine.pdf"), []byte("%PDF-1"), like), ErrForeign)
	assert.Equal(t, "my thesis", checks.Text(t, at("mine.pdf")))
	write(t, at("empty.pdf"), "")
	require.NoError(t, Put(at("empty.pdf"), []byte("%PDF-1"), like))
	require.ErrorIs(t, Put(dir, []byte("%PDF-1"), like), ErrNotFile)
	require.ErrorIs(t, Put(os.DevNull, []byte("%PDF-1"), like), ErrNotFile)
	require.ErrorIs(t, Put(at("none/a.pdf"), []byte("%PDF-1"), like), os.ErrNotExist)
	require.NoError(t, os.Chmod(at("a.pdf"), 0o400))
	require.ErrorIs(t, Put(at("a.pdf"), []byte("%PDF-3"), like), ErrReadOnly)

	require.NoError(t, os.Mkdir(at("share"), 0o755))
	write(t, at("share/b.pdf"), "%PDF-1")
	require.NoError(t, os.Symlink(filepath.Join("share", "b.pdf"), at("link.pdf")))
	require.NoError(t, Put(at("link.pdf"), []byte("%PDF-2"), like))
	assert.Equal(t, "%PDF-2", checks.Text(t, at("share/b.pdf")))
	info, err := os.Lstat(at("link.pdf"))
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
	require.NoError(t, os.Symlink("nowhere", at("astray.pdf")))
	require.Error(t, Put(at("astray.pdf"), []byte("%PDF-2"), like))
	for _, name := range append(checks.Names(t, dir), checks.Names(t, at("share"))...) {
		assert.False(t, strings.HasPrefix(name, ".bottlecrop"), name)
	}
}

func TestCreateIsNeverOver(t *testing.T) {
	dir := t.TempDir()
	root := opened(t, dir)
	require.NoError(t, Create(root, "a.toml", []byte("one")))
	require.ErrorIs(t, Create(root, "a.toml", []byte("two")), ErrThere)
	assert.Equal(t, "one", checks.Text(t, filepath.Join(dir, "a.toml")))
	require.NoError(t, os.Symlink("nowhere", filepath.Join(dir, "link.toml")))
	require.ErrorIs(t, Create(root, "link.toml", []byte("two")), ErrThere)
	assert.Equal(t, []string{"a.toml", "link.toml"}, checks.Names(t, dir))
}

// The folder of a run that was killed goes with the next one, that of one that lives and
// what only has a name like it stays.
func TestScratch(t *testing.T) {
	system := t.TempDir()
	t.Setenv("TMPDIR", system)
	if os.TempDir() != system {
		t.Skip("this system has another variable for the folder of temporary files")
	}
	long := time.Now().Add(-2 * oldAge)
	left := func(name string) {
		write(t, filepath.Join(system, name, "page.html"), "x")
		require.NoError(t, os.Chtimes(filepath.Join(system, name), long, long))
	}
	left("bottlecrop-print-1")
	left("bottlecrop-print-mine")
	left("bottlecrop-press-1")
	alive, done, err := Scratch("print", nil)
	require.NoError(t, err)
	require.NoError(t, os.Chtimes(alive, long, long))
	assert.True(t, UnderWay())
	var told []string
	second, doneToo, err := Scratch("print", func(folder string) { told = append(told, folder) })
	require.NoError(t, err)
	assert.Empty(t, told)
	left("bottlecrop-print-2")
	third, doneThree, err := Scratch("print", func(folder string) { told = append(told, folder) })
	require.NoError(t, err)
	assert.Equal(t, []string{filepath.Join(system, "bottlecrop-print-2")}, told)
	assert.ElementsMatch(t, []string{"bottlecrop-print-mine", "bottlecrop-press-1", filepath.Base(alive), filepath.Base(second), filepath.Base(third)}, checks.Names(t, system))
	for _, f := range []func() error{done, doneToo, doneThree} {
		require.NoError(t, f())
	}
	assert.ElementsMatch(t, []string{"bottlecrop-print-mine", "bottlecrop-press-1"}, checks.Names(t, system))
	assert.False(t, UnderWay())
}

func TestNamed(t *testing.T) {
	require.NoError(t, Named("a", nil))
	err := Named("farm/a.toml", &os.PathError{Op: "open", Path: ".bottlecrop-put-1", Err: os.ErrPermission})
	assert.EqualError(t, err, "write farm/a.toml: permission denied")
	own := errors.New("own")
	assert.Equal(t, own, Named("a", own))
}
