package main

import (
	"embed"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
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
It passes check as it is. Nothing that is there already is ever overwritten. Beside the
files it writes their schema, which explains them in editors that know TOML.`,
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
	files := map[string][]byte{protocol.Folder + "/schema.json": protocols.Schema}
	err = fs.WalkDir(inside, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files[name], err = fs.ReadFile(inside, name)
		return err
	})
	if err != nil {
		return nil, err
	}
	names := slices.Sorted(maps.Keys(files))
	for _, name := range names {
		if at := filepath.Join(folder, filepath.FromSlash(name)); !isFree(at) {
			return nil, fail(environment, words.Message("command.in_the_way", "file", at))
		}
	}
	var written []string
	for _, name := range names {
		path := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return nil, err
		}
		if err := create(path, files[name]); err != nil {
			return nil, err
		}
		written = append(written, path)
	}
	return written, nil
}

// isFree reports whether nothing is there, not even a link that leads nowhere.
func isFree(path string) bool {
	_, err := os.Lstat(path)
	return errors.Is(err, fs.ErrNotExist)
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
