package main

import (
	"embed"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/words"
)

// starter is the farm folder that start writes.
//
//go:embed all:starter
var starter embed.FS

func startCommand(t *terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "start FOLDER",
		Short: "Begin a farm folder of your own",
		Long: `start writes a small farm folder with one protocol in which every value is explained.
It passes check as it is. Nothing that is there already is ever overwritten.`,
		Args: oneArgument("command.start_needs_folder"),
		RunE: func(_ *cobra.Command, args []string) error {
			files, err := writeStarter(args[0])
			if err != nil {
				return err
			}
			v := t.speaks()
			for _, f := range files {
				t.say(v, "command.wrote", "file", f)
			}
			t.say(v, "command.started", "folder", args[0])
			return nil
		},
	}
}

// writeStarter copies the starter's files. It looks first whether any of them
// is there, and then creates each only if it is not, so that neither a mistake
// nor a second run can lose a grower's work.
func writeStarter(folder string) ([]string, error) {
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		return nil, fail(environment, words.Message("command.not_folder", "folder", folder))
	}
	inside, err := fs.Sub(starter, "starter")
	if err != nil {
		return nil, err
	}
	var names []string
	err = fs.WalkDir(inside, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		names = append(names, name)
		if _, err := os.Lstat(filepath.Join(folder, name)); !errors.Is(err, fs.ErrNotExist) {
			return fail(environment, words.Message("command.in_the_way", "file", filepath.Join(folder, name)))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	var written []string
	for _, name := range names {
		text, err := fs.ReadFile(inside, name)
		if err != nil {
			return nil, err
		}
		path := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return nil, err
		}
		if err := create(path, text); err != nil {
			return nil, err
		}
		written = append(written, path)
	}
	return written, nil
}

// create writes a file that must not be there yet.
func create(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	return errors.Join(err, f.Close())
}
