package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The page of a week is hung up: it has two pages at most, and no day begins at the
// foot of one without anything to do.
func TestWeeksOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	weeks, err := filepath.Glob(filepath.Join(demoBook(t), "weeks", "*.html"))
	require.NoError(t, err)
	require.Greater(t, len(weeks), 20)
	for _, page := range some(weeks) {
		html, err := os.ReadFile(page)
		require.NoError(t, err)
		for _, paper := range []string{"letter", "A4"} {
			sized := strings.Replace(string(html), "size:letter", "size:"+paper, 1)
			require.Contains(t, sized, "size:"+paper)
			require.NoError(t, os.WriteFile(page, []byte(sized), 0o644))
			_, pages := onPaper(t, ctx, page, "-layout")
			assert.LessOrEqual(t, len(pages), 2, "%s on %s", filepath.Base(page), paper)
			for i, p := range pages {
				lines := strings.Split(strings.TrimSpace(p), "\n")
				for len(lines) > 0 && (strings.TrimSpace(lines[len(lines)-1]) == "" || strings.Contains(lines[len(lines)-1], "Page ")) {
					lines = lines[:len(lines)-1]
				}
				assert.NotRegexp(t, `day, 20\d\d-\d\d-\d\d, week`, lines[len(lines)-1], "%s on %s, page %d", filepath.Base(page), paper, i+1)
			}
		}
	}
}
