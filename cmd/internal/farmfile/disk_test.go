//go:build unix

package farmfile

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

// On a real disk, through os.Root, as the program opens a farm.
func TestLinksOnADisk(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	require.NoError(t, os.CopyFS(dir, farmOf(t, nil)))
	secret := filepath.Join(outside, "secret.toml")
	require.NoError(t, os.WriteFile(secret, []byte("format = 1\ntitle = \"secret\"\n"), 0o644))
	for name, target := range map[string]string{
		"absolute.toml": secret,
		"relative.toml": "../../" + filepath.Base(outside) + "/secret.toml",
		"inside.toml":   "enoki.toml",
		"dangling.toml": "nothing.toml",
		"round.toml":    "round.toml",
	} {
		require.NoError(t, os.Symlink(target, filepath.Join(dir, "protocols", name)))
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "protocols", "evidence"), 0o755))
	require.NoError(t, os.Symlink(secret, filepath.Join(dir, "protocols", "evidence", "out.csv")))
	farm, err := os.OpenFile(filepath.Join(dir, protocol.FarmDocument), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = farm.WriteString("\n[[evidence]]\nid = \"out\"\nprotocol = \"enoki\"\nlog = \"evidence/out.csv\"\nchannel = \"middle\"\nabove_base = \"60 mm\"\n" +
		"bore = \"none\"\nmeasured_on = \"2026-03-02\"\nby = \"made up\"\nwhy = \"a run that was made well\"\n")
	require.NoError(t, err)
	require.NoError(t, farm.Close())
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "protocols", "pipe.toml"), 0o644))
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	defer root.Close()
	f, list := Read(root.FS(), builtIn)
	rules := map[string]string{}
	for _, x := range list {
		rules[filepath.Base(x.Place.File)] = x.Rule
		assert.NotContains(t, line(x), outside)
		assert.NotContains(t, line(x), dir)
	}
	assert.Equal(t, "file.leads_out", rules["absolute.toml"])
	assert.Equal(t, "file.leads_out", rules["relative.toml"])
	assert.Equal(t, "file.gone", rules["dangling.toml"])
	assert.Equal(t, "file.unreadable", rules["round.toml"])
	assert.Equal(t, "file.special", rules["pipe.toml"])
	assert.Equal(t, "evidence.leads_out", rules["farm.toml"])
	assert.Len(t, rules, 6)
	require.Len(t, f.Protocols, 2)
	assert.Equal(t, "inside", f.Protocols[1].Name)
}
