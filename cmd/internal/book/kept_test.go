package book_test

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/filing"
)

// during is a page in the middle of a book that does something when it is set.
func during(do func()) []book.Page {
	pages := files("two")
	return append(pages, book.Page{Path: "middle.html", Set: func() ([]byte, error) {
		do()
		return []byte("two"), nil
	}})
}

// What somebody put into a book, or did to a page of it, is never lost: before, while the
// new one is being written, or after the last look.
func TestWhatIsNotTheProgramsStays(t *testing.T) {
	type change struct {
		do    func(t *testing.T, out string)
		why   error
		entry string
	}
	write := func(name string) func(t *testing.T, out string) {
		return func(t *testing.T, out string) {
			require.NoError(t, os.WriteFile(filepath.Join(out, name), []byte("mine"), 0o644))
		}
	}
	for name, c := range map[string]change{
		"a file":             {write("notes.txt"), book.ErrExtra, "notes.txt"},
		"a file in a folder": {write("enoki/notes.txt"), book.ErrExtra, "enoki/notes.txt"},
		"a page":             {write("index.html"), book.ErrChanged, "index.html"},
		"an empty folder": {func(t *testing.T, out string) {
			require.NoError(t, os.Mkdir(filepath.Join(out, "photos"), 0o755))
		}, book.ErrExtra, "photos"},
		"a link": {func(t *testing.T, out string) {
			require.NoError(t, os.Symlink("index.html", filepath.Join(out, "link.html")))
		}, book.ErrExtra, "link.html"},
		"a page that is a link now": {func(t *testing.T, out string) {
			require.NoError(t, os.Rename(filepath.Join(out, "index.html"), filepath.Join(out, "../mine.html")))
			require.NoError(t, os.Symlink("../mine.html", filepath.Join(out, "index.html")))
		}, book.ErrExtra, "index.html"},
		"a folder of the book that is a link now": {func(t *testing.T, out string) {
			require.NoError(t, os.Rename(filepath.Join(out, "enoki"), filepath.Join(out, "../enoki")))
			require.NoError(t, os.Symlink("../enoki", filepath.Join(out, "enoki")))
		}, book.ErrExtra, "enoki"},
	} {
		for when, pages := range map[string]func(t *testing.T, out string) []book.Page{
			"before": func(t *testing.T, out string) []book.Page { c.do(t, out); return files("two") },
			"during": func(t *testing.T, out string) []book.Page { return during(func() { c.do(t, out) }) },
		} {
			t.Run(name+" "+when, func(t *testing.T) {
				parent := t.TempDir()
				out := filepath.Join(parent, "out")
				require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
				long(t, out)
				err := book.Publish(t.Context(), out, pages(t, out), nil, nil)
				require.ErrorIs(t, err, c.why)
				var refused *book.Refused
				require.ErrorAs(t, err, &refused)
				assert.Equal(t, c.entry, refused.Entry)
				assert.Equal(t, out, refused.Folder)
				_, err = os.Lstat(filepath.Join(out, c.entry))
				require.NoError(t, err, "what was somebody's own is gone")
				if strings.HasSuffix(c.entry, ".txt") {
					assert.Equal(t, "mine", checks.Text(t, out, c.entry))
				}
				for _, left := range checks.Names(t, parent) {
					assert.False(t, strings.HasPrefix(left, ".bottlecrop"), left)
				}
			})
		}
	}
}

// long has a book as if it had been made an hour ago.
func long(t *testing.T, out string) {
	t.Helper()
	at := time.Now().Add(-time.Hour)
	require.NoError(t, filepath.WalkDir(out, func(path string, _ os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		return os.Chtimes(path, at, at)
	}))
}

// A page that was touched, copied or fetched anew, and is as it was, is no change.
func TestATouchedBookIsTheProgramsStill(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	at := time.Now().Add(time.Hour)
	require.NoError(t, os.Chtimes(filepath.Join(out, "index.html"), at, at))
	require.NoError(t, book.Publish(t.Context(), out, files("two"), nil, nil))
	assert.Equal(t, "two", checks.Text(t, out, "index.html"))
}

// Whatever comes to be a link to somebody's folder while a book is written, nothing is
// written or removed there, and nothing is said to be done that is not.
func TestFolderBecomesALink(t *testing.T) {
	for name, swap := range map[string]func(t *testing.T, parent, out, own string) (moved string){
		"the folder of the book": func(t *testing.T, parent, out, own string) string {
			require.NoError(t, os.Rename(out, filepath.Join(parent, "aside")))
			require.NoError(t, os.Symlink(own, out))
			return filepath.Join(parent, "aside")
		},
		"the new book": func(t *testing.T, parent, out, own string) string {
			for _, name := range checks.Names(t, parent) {
				if strings.HasPrefix(name, ".bottlecrop-new-") {
					require.NoError(t, os.Rename(filepath.Join(parent, name), filepath.Join(parent, "aside")))
					require.NoError(t, os.Symlink(own, filepath.Join(parent, name)))
				}
			}
			return out
		},
		"the folder around it": func(t *testing.T, parent, out, own string) string {
			require.NoError(t, os.Rename(parent, parent+"-aside"))
			require.NoError(t, os.Symlink(own, parent))
			return filepath.Join(parent+"-aside", "out")
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			parent, own := filepath.Join(dir, "farm"), filepath.Join(dir, "own")
			out := filepath.Join(parent, "out")
			require.NoError(t, os.MkdirAll(filepath.Join(own, "enoki"), 0o755))
			require.NoError(t, os.WriteFile(filepath.Join(own, "index.html"), []byte("mine"), 0o644))
			require.NoError(t, os.WriteFile(filepath.Join(own, "enoki/sheet-12.html"), []byte("mine"), 0o644))
			require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
			moved := ""
			// Many pages, so that some are written before and some after.
			pages := during(func() { moved = swap(t, parent, out, own) })
			for i := range 50 {
				pages = append(pages, file("late/"+strings.Repeat("x", i+1)+".html", "two"))
			}
			err := book.Publish(t.Context(), out, pages, nil, nil)
			var refused *book.Refused
			require.ErrorAs(t, err, &refused, "%v", err)
			assert.Equal(t, []string{"enoki", "index.html"}, checks.Names(t, own))
			assert.Equal(t, []string{"sheet-12.html"}, checks.Names(t, filepath.Join(own, "enoki")))
			assert.Equal(t, "mine", checks.Text(t, own, "index.html"))
			assert.Equal(t, "mine", checks.Text(t, own, "enoki/sheet-12.html"))
			assert.Equal(t, "one", checks.Text(t, moved, "index.html"))
			assert.Equal(t, "one", checks.Text(t, moved, "enoki/sheet-12.html"))
		})
	}
}

// Of two books at once the one that is done last stands, whole.
func TestTwoAtOnce(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	var all sync.WaitGroup
	errs := make([]error, 6)
	for i := range errs {
		text := strings.Repeat("x", i+1)
		all.Go(func() { errs[i] = book.Publish(t.Context(), out, files(text), nil, nil) })
	}
	all.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	assert.Equal(t, checks.Text(t, out, "index.html"), checks.Text(t, out, "enoki/sheet-12.html"))
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
}

// One that waits for another to put its book there can be stopped.
func TestWaitingIsStopped(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("this system has no locks that folders can have")
	}
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	other, err := os.Open(parent)
	require.NoError(t, err)
	defer other.Close()
	require.NoError(t, filing.Lock(t.Context(), other))
	ctx, stop := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer stop()
	require.ErrorIs(t, book.Publish(ctx, out, files("two"), nil, nil), context.DeadlineExceeded)
	assert.Equal(t, "one", checks.Text(t, out, "index.html"))
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
}

// A folder keeps the mode that its keeper gave it.
func TestPublishKeepsTheModeOfTheFolder(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	require.NoError(t, os.Mkdir(out, 0o750))
	for range 2 {
		require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
		info, err := os.Stat(out)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o750), info.Mode().Perm())
	}
}

// What a killed run left is cleared away, but nothing that somebody put into an old book
// between the swap and its removal, and nothing that another run is writing.
func TestLeftoversOfKilledRuns(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, book.Publish(t.Context(), out, files("one"), nil, nil))
	old := filepath.Join(parent, ".bottlecrop-new-7")
	require.NoError(t, book.Publish(t.Context(), old, files("zero"), nil, nil))
	require.NoError(t, os.WriteFile(filepath.Join(old, "enoki/notes.txt"), []byte("mine"), 0o644))
	foreign := filepath.Join(parent, ".bottlecrop-new-notes")
	require.NoError(t, os.Mkdir(foreign, 0o755))
	require.NoError(t, os.Symlink("out", filepath.Join(parent, ".bottlecrop-new-8")))

	err := book.Publish(t.Context(), out, files("two"), nil, nil)
	var refused *book.Refused
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, book.Refused{Folder: old, Entry: "enoki/notes.txt", Why: book.ErrExtra}, *refused)
	assert.Equal(t, "mine", checks.Text(t, old, "enoki/notes.txt"))
	require.NoError(t, os.Rename(filepath.Join(old, "enoki/notes.txt"), filepath.Join(parent, "notes.txt")))

	inner := ""
	require.NoError(t, book.Publish(t.Context(), out, during(func() {
		require.NoError(t, book.Publish(t.Context(), filepath.Join(parent, "other"), files("three"), nil, nil))
		for _, name := range checks.Names(t, parent) {
			if strings.HasPrefix(name, ".bottlecrop-new-") {
				inner += name + " "
			}
		}
	}), nil, nil))
	assert.Len(t, strings.Fields(inner), 3, "the book under way, the link and the foreign folder: %s", inner)
	assert.Equal(t, "two", checks.Text(t, out, "index.html"))
	assert.Equal(t, []string{".bottlecrop-new-8", ".bottlecrop-new-notes", "notes.txt", "other", "out"}, checks.Names(t, parent))
	assert.Equal(t, "two", checks.Text(t, out, "enoki/sheet-12.html"))
}

// A link that leads nowhere is no place for a book.
func TestPublishThroughALinkToNowhere(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, os.Symlink("nowhere", out))
	require.ErrorIs(t, book.Publish(t.Context(), out, files("one"), nil, nil), book.ErrNotFolder)
	assert.Equal(t, []string{"out"}, checks.Names(t, parent))
}
