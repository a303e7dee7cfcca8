package history

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// Elsewhere says that what a folder has for its repository lies outside of it and knows
// nothing of the folder. A file .git is one line that anybody can write, also one that
// names a repository of the reader's own, whose subjects and files would then stand in
// the stranger's book.
type Elsewhere struct{ Dir, Git string }

func (e *Elsewhere) Error() string {
	return fmt.Sprintf("history: the repository of %s is said to be %s, which lies outside of it and does not know it", e.Dir, e.Git)
}

// belongs reports whether the repository of a folder is its own: in the folder, or one that
// names the folder as a worktree or a submodule of its own. Links that lead out of either
// are followed to see where they lead. What lies deeper in it, and objects that it borrows
// from another repository, are not looked at: of those nothing is read but what the
// folder's own commits name by its id.
func (r *Repository) belongs(ctx context.Context, top, dir, common string) bool {
	top, dir, common = real(top), real(dir), real(common)
	if top == "" || dir == "" || common == "" {
		return false
	}
	switch {
	case within(top, dir):
		if !within(top, common) {
			return false
		}
	case !r.knows(ctx, dir, top):
		return false
	case common != dir && filepath.Dir(dir) != filepath.Join(common, "worktrees"):
		return false
	}
	for _, name := range []string{"HEAD", "refs", "objects", "packed-refs", "config"} {
		at := filepath.Join(common, name)
		if _, err := os.Lstat(at); err == nil && !within(common, real(at)) {
			return false
		}
	}
	return true
}

// knows reports whether a repository that lies elsewhere names a folder as its own: a
// worktree by its file gitdir, a submodule by core.worktree.
func (r *Repository) knows(ctx context.Context, dir, top string) bool {
	from := func(path string) string {
		if !filepath.IsAbs(path) {
			path = filepath.Join(dir, path)
		}
		return real(path)
	}
	if text, err := os.ReadFile(filepath.Join(dir, "gitdir")); err == nil {
		if at := strings.TrimSpace(string(text)); filepath.Base(at) == ".git" && from(filepath.Dir(at)) == top {
			return true
		}
	}
	out, err := r.run(ctx, "config", "--file", filepath.Join(dir, "config"), "--no-includes", "--null", "--get", "core.worktree")
	return err == nil && from(strings.TrimSuffix(string(out), "\x00")) == top
}

// real is a path without links; "" where it leads nowhere.
func real(path string) string {
	out, err := filepath.EvalSymlinks(path)
	if err != nil {
		return ""
	}
	return filepath.Clean(out)
}

func within(dir, path string) bool {
	rel, err := filepath.Rel(dir, path)
	return err == nil && path != "" && filepath.IsLocal(rel)
}
