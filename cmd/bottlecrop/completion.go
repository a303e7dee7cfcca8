package main

import (
	"slices"

	"github.com/spf13/cobra"
)

// What a shell can complete. The scripts that ask for it are cobra's own: bottlecrop
// completion bash, zsh, fish or powershell prints them.

// protocolNames completes the names of the farm's protocols, each with its title, for up
// to that many arguments; none is named twice.
func protocolNames(s *settings, most int) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) >= most {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		f, err := readFarm(s) // names are all that a completion needs
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		defer f.close()
		var names []string
		for _, p := range f.folder.Protocols {
			if !slices.Contains(args, p.Name) {
				names = append(names, p.Name+"\t"+p.Title)
			}
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	}
}

// completeFlag tells the shell what a flag may be. A flag that is not there is a slip of
// ours.
func completeFlag(c *cobra.Command, flag string, with cobra.CompletionFunc) {
	if err := c.RegisterFlagCompletionFunc(flag, with); err != nil {
		panic(err)
	}
}

// folders completes folders alone, and units the systems of units.
var (
	folders cobra.CompletionFunc = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return nil, cobra.ShellCompDirectiveFilterDirs
	}
	units = cobra.FixedCompletions([]string{"metric", "us"}, cobra.ShellCompDirectiveNoFileComp)
)
