package book

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where the system can't exchange two folders at once, two renames do it, and are undone
// in the same way.
func TestExchangeInTwo(t *testing.T) {
	parent := t.TempDir()
	out := filepath.Join(parent, "out")
	require.NoError(t, Publish(t.Context(), out, []Page{{Path: "index.html", Set: func() ([]byte, error) { return []byte("one"), nil }}}, nil, nil))
	p, err := placeOf(out)
	require.NoError(t, err)
	defer p.parent.Close()
	require.NoError(t, os.Mkdir(filepath.Join(parent, newPrefix+"1"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(parent, newPrefix+"1", "index.html"), []byte("two"), 0o644))
	at := func(name string) string {
		text, err := os.ReadFile(filepath.Join(parent, name, "index.html"))
		require.NoError(t, err)
		return string(text)
	}

	aside, err := p.exchangeInTwo(newPrefix + "1")
	require.NoError(t, err)
	assert.Equal(t, "two", at("out"))
	assert.Equal(t, "one", at(aside))
	require.NoError(t, p.back(aside, newPrefix+"1"))
	assert.Equal(t, "one", at("out"))
	assert.Equal(t, "two", at(newPrefix+"1"))

	// The second of the two renames can fail: the old book is put back.
	_, err = p.exchangeInTwo(newPrefix + "2")
	require.ErrorIs(t, err, os.ErrNotExist)
	assert.Equal(t, "one", at("out"))
	assert.NoDirExists(t, filepath.Join(parent, oldPrefix+"out"))
}
