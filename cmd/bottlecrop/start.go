package main

import (
	"bytes"
	"embed"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/filing"
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
// nor a second run can lose a grower's work. Where only some are there, each as start
// writes it, a run was killed, and this one brings the others.
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
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	names := slices.Sorted(maps.Keys(files))
	shown := func(name string) string { return filepath.Join(folder, filepath.FromSlash(name)) }
	inTheWay := func(name string) error {
		return fail(environment, words.Message("command.in_the_way", "file", shown(name)))
	}
	var missing []string
	for _, name := range names {
		filing.Clear(root, path.Dir(name)) // also where nothing is missing
		if isFree(root, name) {
			missing = append(missing, name)
		} else if text, err := root.ReadFile(name); err != nil || !bytes.Equal(text, files[name]) {
			return nil, inTheWay(name)
		}
	}
	if len(missing) == 0 {
		return nil, inTheWay(names[0])
	}
	var written []string
	for _, name := range missing {
		if err := root.MkdirAll(path.Dir(name), 0o755); err != nil {
			return nil, filing.Named(shown(path.Dir(name)), err)
		}
		err := filing.Create(root, name, files[name])
		if errors.Is(err, filing.ErrThere) {
			return nil, inTheWay(name)
		}
		if err != nil {
			return nil, filing.Named(shown(name), err)
		}
		written = append(written, shown(name))
	}
	return written, nil
}

// isFree reports whether nothing is there, not even a link that leads nowhere.
func isFree(root *os.Root, name string) bool {
	_, err := root.Lstat(name)
	return errors.Is(err, fs.ErrNotExist)
}
