package checks_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/checks"
)

// A golden text that differs in one line of thirty is told as that line and three on
// either side, in the form of diff -u (POSIX.1-2017, diff, "Diff -u Output Format").
func TestGoldenShowsWhatDiffers(t *testing.T) {
	file := filepath.Join(t.TempDir(), "thirty")
	want := ""
	for i := range 30 {
		want += fmt.Sprintf("line %d\n", i+1)
	}
	checks.Golden(t, file, want, true)
	checks.Golden(t, file, want, false)

	f := &failing{}
	checks.Golden(f, file, strings.Replace(want, "line 12\n", "line\u00a012\n", 1), false)
	_, hunk, _ := strings.Cut(f.said, "@@ -9,7 +9,7 @@\n")
	assert.Equal(t, " line 9\n line 10\n line 11\n-line 12\n+line\\u00a012\n line 13\n line 14\n line 15\n", hunk, f.said)
	assert.Equal(t, want, checks.Text(t, file), "a failed test writes nothing")
}

// Texts that differ in what nobody sees alone are told apart: a carriage return, the end
// of the last line.
func TestSameTellsInvisibleThingsApart(t *testing.T) {
	for _, c := range []struct{ want, got, shows string }{
		{"a\n", "a\r\n", `+a\r`},
		{"a\n", "a", "No newline at end of file"},
		{"a\n", "", "-a"},
	} {
		f := &failing{}
		checks.Same(f, "text", c.want, c.got)
		assert.Contains(t, f.said, c.shows, "%q", c.got)
	}
	f := &failing{}
	checks.Same(f, "text", "a\n", "a\n")
	assert.Empty(t, f.said)
}
