package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// version is the program's version; it stands in every book.
const version = "0.1.0"

// settings are the flags that several commands share.
type settings struct {
	farm  string // the farm folder
	units string // "" leaves it to the farm
}

// command builds the command line anew, so that each run of a test has its own.
func command(t *terminal) *cobra.Command {
	s := &settings{}
	t.settings = s
	root := &cobra.Command{
		Use:   "bottlecrop",
		Short: "Make a book of scaled growing procedures from a farm folder",
		Long: `bottlecrop turns a farm folder of TOML protocols into a book of checked, scaled,
printable procedures for growing mushrooms in reusable bottles and jars.

  bottlecrop check                     is everything within safe limits?
  bottlecrop book                      make the book; open out/index.html
  bottlecrop view                      see the book while you write it
  bottlecrop sheet enoki-850 --bottles 48
                                       one sheet, here in the terminal
  bottlecrop start my-farm             begin a farm folder of your own
`,
		PersistentPreRun: func(*cobra.Command, []string) { t.farm = s.farm },
		SilenceErrors:    true,
		SilenceUsage:     true,
		Args:             noArguments,
		RunE:             func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetOut(t)
	root.SetErr(t.err)
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { fmt.Fprint(t, t.help(c)) })
	root.SetFlagErrorFunc(misread)
	root.PersistentFlags().StringVar(&s.farm, "farm", ".", "the farm `folder`")
	root.PersistentFlags().StringVar(&s.units, "units", "", "`metric` or us; without it, as the farm says")
	completeFlag(root, "farm", folders)
	completeFlag(root, "units", units)
	root.AddCommand(checkCommand(t, s), bookCommand(t, s), viewCommand(t, s), sheetCommand(t, s), designCommand(t, s), namesCommand(t, s), probeCommand(t, s), stockCommand(t, s), compareCommand(t, s), planCommand(t, s), printCommand(t, s), historyCommand(t, s), traceCommand(t, s), startCommand(t), schemaCommand(t), versionCommand(t), moduleCommand(t), manCommand(t))
	return root
}

// system is the system of units that a run prints in.
func (s *settings) system(farm string) (unit.System, error) {
	if s.units == "" {
		return unit.ParseSystem(farm)
	}
	sys, err := unit.ParseSystem(s.units)
	if err != nil {
		return sys, usage(words.Message("command.units", "found", s.units))
	}
	return sys, nil
}
