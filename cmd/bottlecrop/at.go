package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/history"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// atName is the flag that names an earlier state of the farm folder.
const atName = "at"

func atFlag(c *cobra.Command) {
	c.Flags().String(atName, "", "the `revision` of the farm folder, from git: a branch, tag or commit")
}

// opened opens the farm folder for a command: as it is or, with --at, as it was. It
// says on standard error which commit that is, so that what is printed stays what it
// would be with the commit checked out.
func (t *terminal) opened(c *cobra.Command, s *settings) (*farm, error) {
	rev := c.Flags().Lookup(atName)
	if !rev.Changed {
		return openFarm(s)
	}
	f, commit, err := openFarmAt(c.Context(), s, rev.Value.String())
	if err != nil {
		return nil, err
	}
	fmt.Fprintln(t.err, plain(f.voice.Say(words.Message("history.at", "folder", s.farm, "commit", commit.Short(),
		"date", commit.Date, "subject", clip(protocol.Place{Text: commit.Subject})))))
	return f, nil
}

// openFarmAt is openFarm of the folder as it was at a revision: farm, library,
// protocols and pages are those of then, and the program's own library is that of
// now, as it is for a folder that is checked out.
func openFarmAt(ctx context.Context, s *settings, rev string, sizes ...int) (*farm, history.Commit, error) {
	r, err := openHistory(ctx, s)
	if err != nil {
		return nil, history.Commit{}, err
	}
	defer r.Close()
	at, err := r.Resolve(ctx, rev)
	if err != nil {
		return nil, at, noHistory(err, s.farm)
	}
	files, err := r.At(ctx, at)
	if err != nil {
		return nil, at, noHistory(err, s.farm)
	}
	then := &past{files: files}
	f, err := readFiles(s, then, then.close)
	if err != nil {
		return nil, at, err
	}
	f.open(sizes)
	// What git could not read is no fault of what the farm wrote.
	if then.damaged != nil {
		return nil, at, noHistory(then.damaged, s.farm)
	}
	return f, at, f.close()
}

// openHistory opens the repository that the farm folder is in, of one commit or more.
func openHistory(ctx context.Context, s *settings) (*history.Repository, error) {
	if err := s.isFolder(); err != nil {
		return nil, err
	}
	r, err := history.Open(ctx, s.farm)
	if err != nil {
		return nil, noHistory(err, s.farm)
	}
	if r.Unborn {
		return nil, errors.Join(&failure{environment, words.Message("history.unborn", "folder", s.farm), words.Message("history.unborn.hint")}, r.Close())
	}
	return r, nil
}

// noHistory says in the program's words why git could give nothing of a folder. A
// revision that there is not is a slip in the command; all else is the machine's.
func noHistory(err error, folder string) error {
	say := func(code int, id string, pairs ...any) error {
		pairs = append(pairs, "folder", folder)
		return &failure{code, words.Message("history."+id, pairs...), words.Message("history."+id+".hint", pairs...)}
	}
	var noGit *history.NoGit
	var noRepository *history.NoRepository
	var foreign *history.Foreign
	var elsewhere *history.Elsewhere
	var noRevision *history.NoRevision
	var damaged *history.Damaged
	switch {
	case errors.As(err, &noGit):
		return say(environment, "no_git")
	case errors.As(err, &noRepository):
		return say(environment, "no_repository")
	case errors.As(err, &foreign):
		return say(environment, "foreign")
	case errors.As(err, &elsewhere):
		return say(environment, "elsewhere", "git", printable(elsewhere.Git))
	case errors.As(err, &noRevision) && noRevision.Ambiguous:
		return say(misused, "ambiguous", "found", printable(noRevision.Name))
	case errors.As(err, &noRevision) && noRevision.Shallow:
		return say(misused, "shallow", "found", printable(noRevision.Name))
	case errors.As(err, &noRevision):
		return say(misused, "no_revision", "found", printable(noRevision.Name))
	case errors.As(err, &damaged):
		return say(environment, "damaged", "error", printable(damaged.What))
	}
	return err
}

// past is a folder of the past, which remembers what git could not read of it, and
// can't be read any more once it is closed.
type past struct {
	files   fs.FS
	damaged *history.Damaged // the first
	closed  bool
}

func (p *past) close() error {
	p.closed = true
	return nil
}

// question lets a file system be asked, while it is open, and looks at what it answers.
func question[T any](p *past, op, name string, ask func(fs.FS, string) (T, error)) (out T, err error) {
	if p.closed {
		return out, &fs.PathError{Op: op, Path: name, Err: fs.ErrClosed}
	}
	out, err = ask(p.files, name)
	if p.damaged == nil {
		errors.As(err, &p.damaged)
	}
	return out, err
}

// Open implements fs.FS.
func (p *past) Open(name string) (fs.File, error) {
	return question(p, "open", name, func(f fs.FS, name string) (fs.File, error) { return f.Open(name) })
}

// ReadFile implements fs.ReadFileFS.
func (p *past) ReadFile(name string) ([]byte, error) { return question(p, "read", name, fs.ReadFile) }

// ReadDir implements fs.ReadDirFS.
func (p *past) ReadDir(name string) ([]fs.DirEntry, error) {
	return question(p, "readdir", name, fs.ReadDir)
}

// Stat implements fs.StatFS.
func (p *past) Stat(name string) (fs.FileInfo, error) { return question(p, "stat", name, fs.Stat) }
