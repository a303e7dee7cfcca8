package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/press"
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
	t.Parallel() // with those that have no page in the shared browser
	need(t, "chromium")
	need(t, "pdftotext")
	need(t, "qpdf")
	file := filepath.Join(t.TempDir(), "binder.pdf")
	var out, wrong bytes.Buffer
	term := &terminal{out: &out, err: &wrong}
	c := command(term)
	args := []string{"print", "enoki-850", "--bottles", "48", "--farm", "../..", "--to", file}
	if !checks.Whole() { // a whole one takes ten seconds
		args = append(args, "--only", "start-of-shift,sheet,card-filling,labels,pressure-vessels")
	}
	c.SetArgs(args)
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

	// The numbers in the contents are those of the pages on which the documents begin,
	// and these count up; what the foot of a page says is that of its document.
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	_, places, err := press.Places(data)
	require.NoError(t, err)
	contents, last := 0, 1
	entry := regexp.MustCompile(`^\s*\S.*\s(\d+)$`)
	for _, line := range strings.Split(pdfText(t, file, 1)+pdfText(t, file, 2), "\n") {
		e := entry.FindStringSubmatch(line)
		if e == nil || strings.Contains(line, "Page ") {
			continue
		}
		page, err := strconv.Atoi(e[1])
		require.NoError(t, err)
		assert.Equal(t, places[leaf.BoundID(contents)], page, line)
		assert.Greater(t, page, last, line)
		last = page
		if text := pdfText(t, file, page); !strings.Contains(line, "cards") { // a sheet to be cut has no foot
			assert.Contains(t, text, fmt.Sprintf("Page %d of %s", page, m[2]), line)
		}
		contents++
	}
	assert.Equal(t, m[1], fmt.Sprint(contents), "each document has a line in the contents")
	assert.GreaterOrEqual(t, strings.Count(string(data), "/SE "), contents, "bookmarks")
	outline, err := exec.Command("qpdf", "--json", "--json-key=outlines", file).Output()
	require.NoError(t, err)
	assert.Contains(t, string(outline), `"Crate cards Enoki in the 850 mL bottle, for 48 bottles"`, "a sheet of cards has a bookmark, though it has no heading that is seen")
}
