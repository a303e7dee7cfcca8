package main

import (
	"os"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// steps FILE TO writes the commands of a workflow, in their order and with its
// variables, as a shell script: what a forge would run, all but its own actions.
func steps(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: steps FILE TO")
	}
	text := ts.ReadFile(args[0])
	out := []string{"set -eu"}
	block, at := "", 0
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		bare := strings.TrimLeft(line, " ")
		indent := len(line) - len(bare)
		if block != "" && bare != "" && indent <= at {
			block = ""
		}
		switch {
		case block == "run":
			out = append(out, bare)
		case block == "env":
			name, value, _ := strings.Cut(bare, ": ")
			out = append(out, "export "+name+"='"+value+"'")
		case bare == "run: |":
			block, at = "run", indent
		case bare == "env:":
			block, at = "env", indent
		}
	}
	if len(out) < 4 {
		ts.Fatalf("%s has no steps to run", args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(strings.Join(out, "\n")+"\n"), 0o600))
}
