package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

func readme(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	return string(text)
}

// The README's chapter on commands is what the program prints.
func TestReadmeShowsTheHelp(t *testing.T) {
	text := readme(t)
	exitCodes := words.English(unit.Metric).Say(words.Message("command.help.exit"))
	for _, args := range [][]string{{"--help"}, {"check", "--help"}, {"book", "--help"}, {"view", "--help"}, {"sheet", "--help"}, {"design", "--help"}, {"history", "--help"}, {"names", "--help"}, {"plan", "--help"}, {"print", "--help"}, {"probe", "--help"}, {"schema", "--help"}, {"start", "--help"}, {"stock", "--help"}, {"compare", "--help"}, {"trace", "--help"}, {"version", "--help"}} {
		var out bytes.Buffer
		term := &terminal{out: &out, err: &out}
		c := command(term)
		c.SetArgs(args)
		require.NoError(t, c.Execute())
		help, _, found := strings.Cut(out.String(), exitCodes)
		require.True(t, found, "%v does not list the exit codes", args)
		for line := range strings.Lines(help) {
			if line = strings.TrimRight(line, " \n"); line != "" {
				assert.Contains(t, text, line, "the README's chapter on commands lacks a line of %v", args)
			}
		}
	}
	for line := range strings.Lines(exitCodes) {
		assert.Contains(t, text, strings.TrimSpace(line))
	}
}

// What the README shows of a run is what the program prints today.
func TestReadmeShowsRealOutput(t *testing.T) {
	text := readme(t)
	for _, args := range checks.Every(2, [][]string{
		{"check", "--farm", "../.."},
		{"book", "--farm", "../..", "--out", filepath.Join(t.TempDir(), "out")},
		{"sheet", "enoki-850", "--bottles", "48", "--moisture", "soy-hull=14%", "--farm", "../.."},
		{"design", "enoki-850", "--use", "corn-cob", "--cheapest", "--farm", "../.."},
		{"stock", "enoki-850", "--farm", "../.."},
		{"trace", "S-39", "--farm", "../.."},
		{"plan", "enoki-850", "--bottles", "48", "--deliver", "2027-02-01", "--safely", "--farm", "../.."},
		{"sheet", "enoki-850", "--bottles", "156", "--from-stock", "--farm", "../.."},
	}) {
		var out bytes.Buffer
		term := &terminal{out: &out, err: &out}
		c := command(term)
		c.SetArgs(args)
		require.NoError(t, c.Execute())
		if args[0] == "book" {
			first, _, _ := strings.Cut(out.String(), ": open")
			assert.Contains(t, text, "    "+first+": open out/index.html\n")
			continue
		}
		shown := 0
		for line := range strings.Lines(out.String()) {
			if line = strings.TrimRight(line, "\n"); strings.TrimSpace(line) != "" && strings.Contains(text, "    "+line+"\n") {
				shown++
			}
		}
		assert.Greater(t, shown, 0, "%v", args)
		// What follows the README's excerpt.
		after := map[string]string{
			"sheet enoki-850 --bottles 48 --moisture soy-hull=14%": "Instead of a share",
			"design enoki-850 --use corn-cob --cheapest":           "Without `--cheapest`",
			"stock enoki-850": "Each number is one",
			"trace S-39":      "The code is that of",
			"plan enoki-850 --bottles 48 --deliver 2027-02-01 --safely": "There is no one day",
			"sheet enoki-850 --bottles 156 --from-stock":                "The oldest lots go first.",
		}
		called := strings.Join(args[:len(args)-2], " ")
		if end, whole := after[called]; whole {
			// Every line of the README's excerpt is a line of what is printed.
			_, excerpt, found := strings.Cut(text, "    $ bottlecrop "+called+"\n")
			require.True(t, found)
			excerpt, _, found = strings.Cut(excerpt, "\n\n"+end)
			require.True(t, found)
			for line := range strings.Lines(excerpt) {
				line = strings.TrimPrefix(strings.TrimRight(line, "\n"), "    ")
				if strings.TrimSpace(line) != "" && line != "…" {
					assert.True(t, strings.Contains(out.String(), line+"\n"), "the README shows a line that is not printed: %s", line)
				}
			}
		}
	}
}
