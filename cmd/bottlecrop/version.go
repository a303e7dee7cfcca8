package main

import (
	"fmt"
	"runtime/debug"
	"strconv"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/process"
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

	Calculation  int                 `json:"calculation"`  // see process.Calculation
	Calculations []calculationReport `json:"calculations"` // the newest first
}

// calculationReport is what changed with one version of the calculation.
type calculationReport struct {
	Version int    `json:"version"`
	What    string `json:"what"`
}

// calculations lists what changed with each, the newest first.
func calculations(v *words.Voice) []calculationReport {
	var out []calculationReport
	for n := process.Calculation; n > 0; n-- {
		out = append(out, calculationReport{n, v.Say(words.Message(fmt.Sprintf("calculation.%d", n)))})
	}
	return out
}

func thisBuild() build {
	b := build{Schema: "bottlecrop version 1", Version: version, Calculation: process.Calculation, Calculations: calculations(words.English(unit.Metric))}
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
		Long: `version prints the program's version and that of its calculation. Programs of one
calculation give the same numbers of the same files; what changed with each is listed.`,
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			b := thisBuild()
			if asJSON {
				return t.json(b)
			}
			v := t.speaks()
			t.say(v, "command.version", "version", b.Version, "go", b.Go)
			if b.Revision != "" {
				id := "command.revision"
				if b.Changed {
					id = "command.revision_changed"
				}
				t.say(v, id, "revision", b.Revision)
			}
			t.say(v, "calculation.version", "n", strconv.Itoa(b.Calculation))
			for _, c := range b.Calculations {
				t.say(v, "calculation.changed", "n", strconv.Itoa(c.Version), "what", c.What)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
