package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oddFarm is the demo farm's folder with an enoki protocol whose ingredients
// stand in an odd order, with remarks everywhere and CR LF at the line ends.
func oddFarm(t *testing.T) (folder, file string) {
	t.Helper()
	folder = t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(folder, "protocols"), os.DirFS("../../protocols")))
	file = filepath.Join(folder, "protocols", "enoki-850.toml")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	head, rest, found := strings.Cut(string(text), "[[substrate.ingredient]]")
	require.True(t, found)
	_, tail, found := strings.Cut(rest, "\n[fill]")
	require.True(t, found)
	odd := head + `[[substrate.ingredient]] # white
	share_dm = "1.0 %" # never more
	ingredient = "gypsum"
# Bran for nitrogen.
[[substrate.ingredient]]
ingredient = "wheat-bran"

share_dm = '18 %'   # 17 to 19


[[ substrate . ingredient ]]
"ingredient" = "soy-hull"
"share_dm"   = "42%"
[[substrate.ingredient]]
ingredient = "hardwood-pellet"; 
`
	odd = strings.Replace(odd, "; \n", "\nshare_dm = \"39.00 %\"\n", 1)
	odd += "# The end of it.\n\n[fill]" + tail
	odd = strings.ReplaceAll(odd, "\n", "\r\n")
	require.NoError(t, os.WriteFile(file, []byte(odd), 0o640))
	require.NoError(t, os.Chmod(file, 0o640))
	return folder, file
}

// A file that is written back differs only where it was asked to: two shares,
// between quotes that stay as they are, and one new entry.
func TestDesignWritesOnlyShares(t *testing.T) {
	folder, file := oddFarm(t)
	before, err := os.ReadFile(file)
	require.NoError(t, err)
	var out, problems bytes.Buffer
	term := &terminal{out: &out, err: &problems}
	c := command(term)
	c.SetArgs([]string{"design", "enoki-850", "--use", "rice-bran=6%..20%", "--nitrogen", "1.5%..1.6%", "--write", "--farm", folder})
	require.NoError(t, c.Execute(), problems.String())
	want := string(before)
	for _, change := range [][2]string{
		{"'18 %'   # 17 to 19", "'18.4 %'   # 17 to 19"},
		{`"39.00 %"` + "\r\n", `"32.6 %"` + "\r\n\r\n[[substrate.ingredient]]\r\ningredient = \"rice-bran\"\r\nshare_dm = \"6 %\"\r\n"},
	} {
		require.Equal(t, 1, strings.Count(want, change[0]), change[0])
		want = strings.Replace(want, change[0], change[1], 1)
	}
	after, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, want, string(after))
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm())
	left, err := filepath.Glob(filepath.Join(folder, "protocols", ".*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}
