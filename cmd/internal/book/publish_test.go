package book_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"

	"bottlecrop/cmd/internal/book"
)

func files(text string) []book.Page {
	return []book.Page{file("enoki/sheet-12.html", text), file("index.html", text)}
}

func file(path, text string) book.Page {
	return book.Page{Path: path, Set: func() ([]byte, error) { return []byte(text), nil }}
}

func TestPublishReplacesAWholeBook(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	require.NoError(t, book.Publish(t.Context(), out, files("two")[1:], nil, nil))
	assert.Equal(t, "two", checks.Text(t, out, "index.html"))
	assert.NoFileExists(t, filepath.Join(out, "enoki/sheet-12.html"), "a page of the old book is left")
	assert.Equal(t, []string{"out"}, checks.Names(t, parent), "something is left beside the book")
}

func TestPublishIntoAnEmptyFolder(t *testing.T) {
	out := t.TempDir()
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	assert.Equal(t, "one", checks.Text(t, out, "enoki/sheet-12.html"))
}

func TestPublishRefuses(t *testing.T) {
	t.Run("a folder that it did not make", func(t *testing.T) {
		out := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(out, "thesis.txt"), []byte("mine"), 0o644))
		require.ErrorIs(t, book.Publish(t.Context(), out, files("one"), nil, nil), book.ErrForeign)
		assert.Equal(t, []string{"thesis.txt"}, checks.Names(t, out))
		assert.Equal(t, "mine", checks.Text(t, out, "thesis.txt"))
	})
	t.Run("a folder with a false marker", func(t *testing.T) {
		out := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(out, book.Marker), []byte("hello"), 0o644))
		require.ErrorIs(t, book.Publish(t.Context(), out, files("one"), nil, nil), book.ErrForeign)
	})
	t.Run("a book with something of the grower's in it", func(t *testing.T) {
		out := filepath.Join(t.TempDir(), "out")
		require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
		require.NoError(t, os.WriteFile(filepath.Join(out, "enoki/notes.txt"), []byte("mine"), 0o644))
		err := book.Publish(t.Context(), out, files("two"), nil, nil)
		require.ErrorIs(t, err, book.ErrExtra)
		assert.ErrorContains(t, err, "enoki/notes.txt")
		assert.Equal(t, "one", checks.Text(t, out, "index.html"))
		assert.Equal(t, "mine", checks.Text(t, out, "enoki/notes.txt"))
	})
	t.Run("a file", func(t *testing.T) {
		out := filepath.Join(t.TempDir(), "out")
		require.NoError(t, os.WriteFile(out, []byte("mine"), 0o644))
		require.ErrorIs(t, book.Publish(t.Context(), out, files("one"), nil, nil), book.ErrNotFolder)
		assert.Equal(t, "mine", checks.Text(t, out))
	})
}

// A write that fails half way leaves the old book and nothing beside it.
func TestPublishFailsWhole(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	bad := append(files("two"), file("index.html/below-a-file.html", ""))
	require.Error(t, book.Publish(t.Context(), out, bad, nil, nil))
	assert.Equal(t, "one", checks.Text(t, out, "index.html"))
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
	require.Error(t, book.Publish(t.Context(), out, []book.Page{file("../escape.html", "")}, nil, nil))
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
}

// What a killed run left: a half-written new book beside the old one, or the
// old one moved aside by a system that can't exchange two folders in one step.
func TestPublishAfterAKilledRun(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	half := filepath.Join(parent, ".bottlecrop-new-123")
	require.NoError(t, os.MkdirAll(half, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(half, "index.html"), []byte("ha"), 0o644))
	require.NoError(t, os.Rename(out, filepath.Join(parent, ".bottlecrop-old-out")))

	bad := []book.Page{file("../escape.html", "")}
	require.Error(t, book.Publish(t.Context(), out, bad, nil, nil))
	assert.Equal(t, "one", checks.Text(t, out, "index.html"), "the old book was not put back")

	require.NoError(t, book.Publish(t.Context(), out, files("two"), nil, nil))
	assert.Equal(t, "two", checks.Text(t, out, "index.html"))
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
}

func TestPublishStopsWhenCanceled(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, book.Publish(ctx, out, files("two"), nil, nil), context.Canceled)
	assert.Equal(t, "one", checks.Text(t, out, "index.html"))
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
}

func TestPublishThroughALink(t *testing.T) {
	parent := t.TempDir()
	real := filepath.Join(parent, "real")
	require.NoError(t, os.Mkdir(real, 0o755))
	link := filepath.Join(parent, "out")
	require.NoError(t, os.Symlink(real, link))
	require.NoError(t, book.Publish(t.Context(), link, files("one"), nil, nil))
	assert.Equal(t, "one", checks.Text(t, real, "index.html"))
}

func TestManifestIsSorted(t *testing.T) {
	parent := t.TempDir()
	there, back := files("one"), files("one")
	slices.Reverse(back)
	require.NoError(t, book.Publish(t.Context(), filepath.Join(parent, "there"), there, nil, nil))
	require.NoError(t, book.Publish(t.Context(), filepath.Join(parent, "back"), back, nil, nil))
	assert.Equal(t, checks.Text(t, parent, "there", book.Marker), checks.Text(t, parent, "back", book.Marker))
	assert.Contains(t, checks.Text(t, parent, "there", book.Marker), "  enoki/sheet-12.html\n")
}

// Pages are set several at a time, and the error is that of the first that fails; those
// behind it may be left out, and nothing is published.
func TestFirstErrorIsThatOfTheFirstPage(t *testing.T) {
	for range 50 {
		out := filepath.Join(t.TempDir(), "out")
		var pages []book.Page
		for i := range 40 {
			name := "page-" + strconv.Itoa(i) + ".html"
			pages = append(pages, book.Page{Path: name, Set: func() ([]byte, error) {
				if i == 20 {
					time.Sleep(time.Millisecond) // those behind it fail sooner
				}
				if i >= 20 {
					return nil, errors.New(name)
				}
				return []byte(name), nil
			}})
		}
		require.EqualError(t, book.Publish(t.Context(), out, pages, nil, nil), "page-20.html")
		assert.NoDirExists(t, out)
	}
}
