package checks

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Text is the text of a file.
func Text(t testing.TB, path ...string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(path...))
	require.NoError(t, err)
	return string(text)
}

// Names are those of all that is in a folder, sorted.
func Names(t testing.TB, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}
