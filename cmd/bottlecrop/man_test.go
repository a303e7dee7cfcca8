package main

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The page for man has every command that --help lists, and groff, which man sets pages
// with, has nothing to say against it.
func TestManPage(t *testing.T) {
	root := command(&terminal{out: &bytes.Buffer{}, err: &bytes.Buffer{}})
	page := manPage(root)
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			assert.Contains(t, page, "\n.SS bottlecrop "+c.Name(), "no word of %s", c.Name())
		}
	}
	for line := range strings.Lines(page) {
		if strings.HasPrefix(line, ".") {
			macro, _, _ := strings.Cut(strings.TrimSpace(line), " ")
			assert.Contains(t, []string{".TH", ".SH", ".SS", ".PP", ".TP", ".B", ".I", ".nf", ".fi"}, macro)
		}
	}
	// mandoc sets pages on macOS and the BSDs. It misses the day, which the page has not.
	t.Run("mandoc", func(t *testing.T) {
		need(t, "mandoc")
		c := exec.Command("mandoc", "-Tlint", "-Wwarning")
		c.Stdin = strings.NewReader(page)
		said, _ := c.CombinedOutput() // it fails for the day
		assert.Regexp(t, `\Amandoc: <stdin>:1:[0-9]+: WARNING: missing date, using "": TH\n\z`, string(said))
	})
	if _, err := exec.LookPath("groff"); err != nil {
		t.Skip("there is no groff: the page is not set")
	}
	c := exec.Command("groff", "-man", "-ww", "-Tutf8", "-k")
	c.Stdin = strings.NewReader(page)
	c.Env = append(os.Environ(), "GROFF_NO_SGR=1")
	var warnings bytes.Buffer
	c.Stderr = &warnings
	set, err := c.Output()
	require.NoError(t, err)
	assert.Empty(t, warnings.String())
	assert.Contains(t, string(set), "--from-stock")
	assert.Contains(t, string(set), "bottlecrop sheet enoki-850 --bottles 48")
}
