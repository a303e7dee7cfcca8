package main

import (
	"runtime/debug"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// build is what is known of the program itself.
type build struct {
	Schema   string `json:"schema"`
	Version  string `json:"version"`
	Revision string `json:"revision"` // "" when it was not built from a checkout
	Changed  bool   `json:"changed"`  // built with changes that were not committed
	Go       string `json:"go"`
}

func thisBuild() build {
	b := build{Schema: "bottlecrop version 1", Version: version}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.Go = info.GoVersion
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.Revision = s.Value
		case "vcs.modified":
			b.Changed = s.Value == "true"
		}
	}
	return b
}

func versionCommand(t *terminal) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Print the program's version",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			b := thisBuild()
			if asJSON {
				return t.json(b)
			}
			v := words.English(unit.Metric)
			t.say(v, "command.version", "version", b.Version, "go", b.Go)
			if b.Revision != "" {
				id := "command.revision"
				if b.Changed {
					id = "command.revision_changed"
				}
				t.say(v, id, "revision", b.Revision)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
