package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pdfText is the text of a page of a PDF, or of all where it is 0.
func pdfText(t *testing.T, file string, page int) string {
	t.Helper()
	args := []string{"-layout", file, "-"}
	if page > 0 {
		args = append([]string{"-f", fmt.Sprint(page), "-l", fmt.Sprint(page)}, args...)
	}
	out, err := exec.Command("pdftotext", args...).Output()
	require.NoError(t, err)
	return string(out)
}

// A new hire's binder: in form, and each document begins on the page that the
// contents say, with its own foot and the page of the whole.
func TestPrintABinder(t *testing.T) {
	need(t, "chromium")
	need(t, "pdftotext")
	need(t, "qpdf")
	file := filepath.Join(t.TempDir(), "binder.pdf")
	var out, wrong bytes.Buffer
	term := &terminal{out: &out, err: &wrong}
	c := command(term)
	c.SetArgs([]string{"print", "enoki-850", "--bottles", "48", "--farm", "../..", "--to", file})
	require.NoError(t, c.ExecuteContext(t.Context()), wrong.String())
	m := regexp.MustCompile(`^(\d+) documents on (\d+) pages: `).FindStringSubmatch(out.String())
	require.NotNil(t, m, out.String())

	checked, err := exec.Command("qpdf", "--check", file).CombinedOutput()
	require.NoError(t, err, string(checked))
	info, err := exec.Command("pdfinfo", file).Output()
	require.NoError(t, err)
	assert.Regexp(t, `Pages: +`+m[2]+`\n`, string(info))
	assert.Regexp(t, `Tagged: +yes`, string(info))
	assert.Contains(t, string(info), "Enoki in the 850 mL bottle, for 48 bottles")

	contents := 0
	entry := regexp.MustCompile(`^\s*(\S.*?)\s{2,}(\d+)$`)
	for _, line := range strings.Split(pdfText(t, file, 1)+pdfText(t, file, 2), "\n") {
		e := entry.FindStringSubmatch(line)
		if e == nil || strings.Contains(line, "Page ") {
			continue
		}
		var page int
		_, err := fmt.Sscan(e[2], &page)
		require.NoError(t, err)
		text := pdfText(t, file, page)
		// A title of three words tells one document from another.
		for _, word := range strings.Fields(e[1])[:min(3, len(strings.Fields(e[1])))] {
			assert.Contains(t, text, word, "page %d, for %q", page, e[1])
		}
		assert.Contains(t, text, fmt.Sprintf("Page %d of %s", page, m[2]))
		contents++
	}
	assert.Equal(t, m[1], fmt.Sprint(contents), "each document has a line in the contents")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, strings.Count(string(data), "/SE "), contents, "bookmarks")
}
