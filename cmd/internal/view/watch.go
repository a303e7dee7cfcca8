package view

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// How long changes are gathered (design choices): an editor writes another file and puts
// it in the place of the old one, and a checkout writes many. After a moment without a
// further change they are one, and after the longest at the latest.
const (
	quiet   = 20 * time.Millisecond
	longest = 100 * time.Millisecond
)

// Watcher says when something in a folder has changed.
type Watcher struct {
	folder string
	parts  []string // folders in it that count, with all in them
	notify *fsnotify.Watcher
}

// Watch begins to watch parts of a folder. Folders are watched, not files: of a file that
// is replaced by another the system says no more. A link that leads to another folder is
// not followed.
func Watch(folder string, parts ...string) (*Watcher, error) {
	n, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	w := &Watcher{folder: filepath.Clean(folder), parts: parts, notify: n}
	if err := w.notify.Add(w.folder); err != nil {
		return nil, errors.Join(err, n.Close())
	}
	for _, part := range parts {
		w.watch(filepath.Join(w.folder, part))
	}
	return w, nil
}

// Close ends the watch.
func (w *Watcher) Close() error { return w.notify.Close() }

// watch watches a folder and those in it. One that is gone again, or may not be read, is
// left out: the reader of the farm says what is wrong with it.
func (w *Watcher) watch(dir string) {
	_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return nil
		}
		if d.IsDir() {
			_ = w.notify.Add(path)
		}
		return nil
	})
}

// counts reports whether a path is in one of the parts, and no copy of an editor's.
func (w *Watcher) counts(path string) bool {
	rel, err := filepath.Rel(w.folder, path)
	if err != nil {
		return false
	}
	part, _, _ := strings.Cut(filepath.ToSlash(rel), "/")
	name := filepath.Base(rel)
	return slices.Contains(w.parts, part) && !strings.HasPrefix(name, ".") && !strings.HasSuffix(name, "~")
}

// take takes one event in: whether it is a change, after which something may look
// otherwise.
func (w *Watcher) take(e fsnotify.Event) bool {
	if !w.counts(e.Name) || e.Op == fsnotify.Chmod {
		return false
	}
	if e.Has(fsnotify.Create) {
		// What was made in a new folder before it is watched has no event of its own: the
		// folder itself is the change.
		if info, err := os.Lstat(e.Name); err == nil && info.IsDir() {
			w.watch(e.Name)
		}
	}
	return true
}

// Next waits until something has changed and a moment has passed, and gives the paths of
// what did, with slashes and from the folder; none where that is not known. Its error is
// that of the context.
func (w *Watcher) Next(ctx context.Context) (changed []string, err error) {
	var still, last <-chan time.Time
	for {
		select {
		case e, open := <-w.notify.Events:
			if !open {
				return nil, context.Canceled
			}
			if !w.take(e) {
				continue
			}
			if rel, err := filepath.Rel(w.folder, e.Name); err == nil && !slices.Contains(changed, filepath.ToSlash(rel)) {
				changed = append(changed, filepath.ToSlash(rel))
			}
			if last == nil {
				last = time.After(longest)
			}
			still = time.After(quiet)
		case _, open := <-w.notify.Errors:
			if !open {
				return nil, context.Canceled
			}
			// Events were lost: anything may have changed, new folders too.
			for _, part := range w.parts {
				w.watch(filepath.Join(w.folder, part))
			}
			return nil, nil
		case <-still:
			return changed, nil
		case <-last:
			return changed, nil
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}
