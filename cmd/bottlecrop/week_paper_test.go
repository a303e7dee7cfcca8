package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// The page of a week is hung up: it has two pages at most, and no day begins at the
// foot of one without anything to do.
func TestWeeksOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	weeks, err := filepath.Glob(filepath.Join(demoBook(t), "weeks", "*.html"))
	require.NoError(t, err)
	require.Greater(t, len(weeks), 20)
	for _, page := range checks.Every(17, weeks) {
		onBothPapers(t, page, func(paper string) {
			_, pages := onPaper(t, ctx, page, "-layout")
			assert.LessOrEqual(t, len(pages), 2, "%s on %s", filepath.Base(page), paper)
			for i, p := range pages {
				last := lastLine(p, func(line string) bool { return strings.Contains(line, "Page ") })
				require.NotEmpty(t, last, "%s on %s, page %d is empty", filepath.Base(page), paper, i+1)
				assert.NotRegexp(t, `day, 20\d\d-\d\d-\d\d, week`, last, "%s on %s, page %d", filepath.Base(page), paper, i+1)
			}
		})
	}
}
