// Bottlecrop turns a farm folder of TOML protocols into a book of checked,
// scaled, printable procedures for growing mushrooms in bottles and jars.
//
// Usage:
//
//	bottlecrop COMMAND [flags]
//
// See the commands' own help, or README.md. Each command is one file of this
// package; what it prints goes through terminal.go.
package main

import (
	"os"

	thermal "bottlecrop/cmd/internal/run"
)

func main() { os.Exit(run()) }

// run is the program but for the exit, so that tests can run it in process.
func run() int {
	defer collectLess()()
	if s := openStore("thermal", builtAs()); s != nil {
		thermal.UseStore(s)
	}
	t := &terminal{out: os.Stdout, err: os.Stderr}
	ctx, ended := t.stoppable()
	err := command(t).ExecuteContext(ctx)
	ended()
	return t.status(err)
}
