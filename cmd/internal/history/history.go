// Package history reads what git knows of a farm folder: its revisions as file
// systems, and which commit changed which file. It runs the git program, and only
// reads.
//
// A farm folder may be a stranger's. Nothing that its repository has been set up
// with can start a program or reach a network: see program.go for each door and how
// it is shut.
package history

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
)

// Repository is the history of one folder. Its methods may be called from several
// goroutines.
type Repository struct {
	program string   // git's own path
	env     []string // of every run
	dir     string   // the folder, absolute
	prefix  string   // of the folder in it, with a slash at its end; "" at the top

	Branch  string // checked out, "main"; "" where a commit is, and no branch (detached)
	Shallow bool   // earlier commits were not fetched: what is older is not known
	Unborn  bool   // there is no commit yet

	mu      sync.Mutex
	objects *objects // nil until the first is read
}

// NoGit says that there is no git program, so that there is no history.
type NoGit struct{ Err error }

func (e *NoGit) Error() string { return "history: no git program: " + e.Err.Error() }
func (e *NoGit) Unwrap() error { return e.Err }

// NoRepository says that a folder is in no repository.
type NoRepository struct{ Dir string }

func (e *NoRepository) Error() string {
	return fmt.Sprintf("history: the folder %s is in no git repository", e.Dir)
}

// Foreign says that a repository belongs to somebody else, and git reads none such
// unless its user has named it safe (safe.directory).
type Foreign struct{ Dir string }

func (e *Foreign) Error() string {
	return fmt.Sprintf("history: the repository of %s belongs to another user of this machine", e.Dir)
}

// NoRevision says that a name is of no commit.
type NoRevision struct {
	Name      string
	Ambiguous bool // it is the beginning of several ids
	Shallow   bool // it may be of one that was not fetched
}

func (e *NoRevision) Error() string {
	switch {
	case e.Ambiguous:
		return fmt.Sprintf("history: %q begins the ids of several objects; write more of it", e.Name)
	case e.Shallow:
		return fmt.Sprintf("history: %q is no commit that is here; this clone is shallow, so it may be an older one", e.Name)
	}
	return fmt.Sprintf("history: %q is no branch, tag or commit", e.Name)
}

// Damaged says that git could not read what it ought to have: an object is missing
// or broken. Nothing is fetched to mend it.
type Damaged struct{ What string }

func (e *Damaged) Error() string { return "history: " + e.What }

// Open finds the repository that a folder is in. The error is a *NoGit, a
// *NoRepository, a *Foreign or an *Elsewhere where that is the reason; a book can be made in all of
// them.
func Open(ctx context.Context, dir string) (*Repository, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	r := &Repository{dir: dir}
	if err := r.find(ctx); err != nil {
		return nil, err
	}
	out, err := r.run(ctx, "rev-parse", "--is-inside-work-tree", "--is-shallow-repository", "--show-prefix",
		"--path-format=absolute", "--show-toplevel", "--absolute-git-dir", "--git-common-dir")
	var failed *failed
	switch {
	case errors.As(err, &failed) && strings.Contains(failed.says, "dubious ownership"):
		return nil, &Foreign{dir}
	case errors.As(err, &failed) && failed.code == 128 && (strings.Contains(failed.says, "not a git repository") || strings.Contains(failed.says, "must be run in a work tree")):
		return nil, &NoRepository{dir}
	case err != nil:
		return nil, err
	}
	// A folder's name may have a line break in it; then the lines do not come out.
	lines := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	if len(lines) != 6 || lines[0] != "true" {
		return nil, &NoRepository{dir}
	}
	if !r.belongs(ctx, lines[3], lines[4], lines[5]) {
		return nil, &Elsewhere{dir, lines[4]}
	}
	r.Shallow, r.prefix = lines[1] == "true", lines[2]
	if out, err := r.run(ctx, "symbolic-ref", "--quiet", "HEAD"); err == nil {
		r.Branch = strings.TrimPrefix(strings.TrimSpace(string(out)), "refs/heads/")
	}
	if _, err := r.Resolve(ctx, "HEAD"); err != nil {
		var none *NoRevision
		if !errors.As(err, &none) {
			return nil, err
		}
		r.Unborn = true
	}
	return r, nil
}

// Close ends the git program that reads objects, if one was begun.
func (r *Repository) Close() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.objects == nil {
		return nil
	}
	err := r.objects.close()
	r.objects = nil
	return err
}

// Commit is one state of the repository.
type Commit struct {
	ID      string   // hexadecimal, in full
	Tree    string   // id of what the repository held
	Parents []string // ids; none of the first, and of those at the edge of a shallow clone
	Author  string
	Time    int64  // s since 1970-01-01 UTC, when it was committed
	Date    string // "2026-11-26", where it was committed
	Subject string
}

// Short is the beginning of a commit's id, as people write it.
func (c Commit) Short() string { return c.ID[:min(len(c.ID), 10)] }

// longestName bounds the name of a revision (design choice).
const longestName = 200

// revisionName are the characters that a name of a revision may have. Branches and
// tags may have others by git's rules; those can be named by their commit.
func revisionName(name string) bool {
	if name == "" || len(name) > longestName || strings.HasPrefix(name, "-") || strings.HasPrefix(name, "^") || strings.Contains(name, "..") {
		return false
	}
	for _, c := range name {
		switch {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', c > 0x9f && c != '\ufffd':
		case strings.ContainsRune("._/@{}~^+-=#", c):
		default:
			return false
		}
	}
	return true
}

// Resolve finds the commit of a branch, a tag, an id or its beginning, or of an
// expression such as "HEAD~3". A tag of something else than a commit is none.
func (r *Repository) Resolve(ctx context.Context, name string) (Commit, error) {
	if !revisionName(name) {
		return Commit{}, &NoRevision{Name: name}
	}
	out, err := r.run(ctx, "rev-parse", "--verify", "--end-of-options", name+"^{commit}")
	var failed *failed
	if errors.As(err, &failed) {
		return Commit{}, r.unresolved(ctx, name, failed)
	}
	if err != nil {
		return Commit{}, err
	}
	list, err := r.commits(ctx, "--no-walk", "--end-of-options", strings.TrimSpace(string(out)))
	if err != nil {
		return Commit{}, err
	}
	if len(list) != 1 {
		return Commit{}, &Damaged{fmt.Sprintf("git says nothing of the commit %s", strings.TrimSpace(string(out)))}
	}
	return list[0].Commit, nil
}

// unresolved says why a name is of no commit. A name that has an object which can't
// be read is another matter than one that has none.
func (r *Repository) unresolved(ctx context.Context, name string, f *failed) error {
	if strings.Contains(f.says, "is ambiguous") {
		return &NoRevision{Name: name, Ambiguous: true}
	}
	if out, err := r.run(ctx, "rev-parse", "--verify", "--quiet", "--end-of-options", name); err == nil {
		id := strings.TrimSpace(string(out))
		if _, err := r.run(ctx, "cat-file", "-e", id); err != nil {
			return &Damaged{fmt.Sprintf("the commit %s of %q can't be read: %s", id, name, f.line())}
		}
	}
	return &NoRevision{Name: name, Shallow: r.Shallow}
}
