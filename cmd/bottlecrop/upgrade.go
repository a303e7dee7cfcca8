package main

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/words"
)

// upgrader brings the text of a document to the present format: farmfile.Upgrade.
type upgrader func(document string, src []byte) ([]byte, []farmfile.Renamed, error)

// upgrade brings every file of the farm to the format that the program reads. It works all
// of them out before it writes the first, and each file says its own format: one that was
// interrupted is taken up again by the next.
func (t *terminal) upgrade(ctx context.Context, s *settings, by upgrader) error {
	root, err := os.OpenRoot(s.farm)
	if err != nil {
		return &failure{environment, words.Message("command.no_folder", "folder", s.farm), words.Message("command.hint.start")}
	}
	defer root.Close()
	files, err := farmfile.Documents(root.FS())
	if err != nil {
		return err
	}
	shown := func(file string) string { return filepath.Join(s.farm, filepath.FromSlash(file)) }
	v := t.speaks()
	var all []*writing
	renamed := map[string][]farmfile.Renamed{}
	for _, file := range files {
		w := s.hold(file)
		if w.err != nil {
			return w.err
		}
		var names []farmfile.Renamed
		w.text, names, err = by(file, w.held.Text)
		if err != nil {
			return &failure{atFault, words.Message("upgrade.form", "file", shown(file), "error", strings.TrimPrefix(err.Error(), "farmfile: ")), words.Message("upgrade.form.hint")}
		}
		if !w.same() {
			all = append(all, w)
			renamed[file] = names
		}
	}
	if len(all) == 0 {
		t.say(v, "upgrade.none", "files", len(files), "format", farmfile.Format)
		return nil
	}
	for _, w := range all {
		if err := w.put(ctx); err != nil {
			return err
		}
		file := shown(w.held.Name)
		t.say(v, "upgrade.file", "file", file)
		for _, r := range slices.Compact(renamed[w.held.Name]) {
			t.say(v, "upgrade.renamed", "file", file, "was", r.Path, "now", r.Now)
		}
	}
	t.say(v, "upgrade.done", "files", len(all))
	return nil
}

// besides is the first flag of the command itself that was given besides one.
func besides(c *cobra.Command, one string) string {
	found := ""
	c.Flags().Visit(func(f *pflag.Flag) {
		if f.Name != one && found == "" && c.InheritedFlags().Lookup(f.Name) == nil {
			found = "--" + f.Name
		}
	})
	return found
}
