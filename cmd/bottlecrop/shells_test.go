package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Three shells take the program's script and complete the names of the farm's protocols
// with it. The fourth, PowerShell, is in none of our registries: its script is looked at
// by testdata/script/completion.txtar, and was not run.
func TestShellsCompleteProtocols(t *testing.T) {
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	ask := func(shell, script string) string {
		file := filepath.Join(t.TempDir(), "completion")
		require.NoError(t, os.WriteFile(file, []byte(ends(t, program("completion", shell))), 0o600))
		need(t, shell)
		c := exec.Command(shell, "-c", script)
		c.Dir = farm
		c.Env = append(os.Environ(), "SCRIPT="+file, "HOME="+t.TempDir())
		return ends(t, c)
	}
	t.Run("bash", func(t *testing.T) {
		library := "/usr/share/bash-completion/bash_completion" // scripts of cobra need it
		if _, err := os.Stat(library); err != nil && os.Getenv("CI") == "" {
			t.Skip("this machine has no bash-completion; .ci/run installs it")
		}
		out := ask("bash", `. `+library+`; . "$SCRIPT"; complete -p bottlecrop
			compopt() { :; } # it works within a completion only
			COMP_WORDS=(bottlecrop sheet my) COMP_CWORD=2 COMP_LINE="bottlecrop sheet my" COMP_POINT=19 COMP_TYPE=9
			__start_bottlecrop; printf '<%s>' "${COMPREPLY[@]}"`)
		assert.Contains(t, out, "__start_bottlecrop bottlecrop")
		assert.Contains(t, out, "<my-first-protocol")
	})
	t.Run("fish", func(t *testing.T) {
		assert.Contains(t, ask("fish", `source $SCRIPT; complete -C "bottlecrop sheet my"`), "my-first-protocol\t")
	})
	t.Run("zsh", func(t *testing.T) {
		// Completions of zsh need a terminal; what they would ask the program for does not.
		out := ask("zsh", `autoload -U compinit; compinit -D; . "$SCRIPT"
			_describe() { print -l "<${(@)completions}>" }
			words=(bottlecrop sheet my); CURRENT=3; compstate=(); _bottlecrop; whence -w _bottlecrop; print $_comps[bottlecrop]`)
		assert.Contains(t, out, "<my-first-protocol:")
		assert.Contains(t, out, "_bottlecrop: function")
	})
}
