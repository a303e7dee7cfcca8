package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
)

// Which bytes an upgrade changes is held by the package farmfile; here it is whether all
// files or none are written, and what is said. The renaming is made up: there is no format
// but the first.
func TestUpgradeWritesAllOrNothing(t *testing.T) {
	made := func(document string, src []byte) ([]byte, []farmfile.Renamed, error) {
		if strings.HasPrefix(string(src), "broken") {
			return nil, nil, os.ErrInvalid
		}
		return bytes.ReplaceAll(src, []byte("old"), []byte("new")), []farmfile.Renamed{{In: document, Path: "room.old", Now: "new"}}, nil
	}
	dir := t.TempDir()
	write := func(file, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, file)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, file), []byte(text), 0o640))
	}
	read := func(file string) string {
		text, err := os.ReadFile(filepath.Join(dir, file))
		require.NoError(t, err)
		return string(text)
	}
	write("protocols/a.toml", "old = 1 # old\n")
	write("protocols/library/vessels.toml", "same\n")
	write("protocols/z.toml", "broken\n")
	var out, errs bytes.Buffer
	term := &terminal{out: &out, err: &errs}
	s := &settings{farm: dir}
	require.Error(t, term.upgrade(t.Context(), s, made))
	assert.Equal(t, "old = 1 # old\n", read("protocols/a.toml"), "a file was written although another can't be")
	assert.Empty(t, out.String())

	write("protocols/z.toml", "same\n")
	require.NoError(t, term.upgrade(t.Context(), s, made))
	assert.Equal(t, "new = 1 # new\n", read("protocols/a.toml"))
	info, err := os.Stat(filepath.Join(dir, "protocols/a.toml"))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm())
	assert.Contains(t, out.String(), "a.toml: room.old is called new now\nupgraded 1 file; nothing else")
	left, err := os.ReadDir(filepath.Join(dir, "protocols"))
	require.NoError(t, err)
	assert.Len(t, left, 3, "something was left behind")
}
