package main

import (
	"github.com/spf13/cobra"

	"bottlecrop/protocols"
)

func schemaCommand(t *terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of a farm folder's files, for editors",
		Long: `schema prints the JSON Schema (draft 2020-12) of every TOML file that a farm folder may
have. An editor that knows TOML reads it by the first line of a file, and then explains
keys and marks slips while you write:

  #:schema schema.json

start writes it beside the files. After a change of the program, write it anew:

  bottlecrop schema > protocols/schema.json

What a schema can't say, such as a limit or a name that nothing has, check says.`,
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			_, err := t.Write(protocols.Schema)
			return err
		},
	}
}
