package farmfile

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
)

// testdata/recorded has the demo farm as it was on a day, byte for byte as git has it: the
// oldest state of the format's files. What today's program says of it is in package main.

// An upgrade can rename any key that a real farm has written, and back: each key of each
// file is renamed by the step to a made-up format 2 and gets its name again by that to
// format 3. Nothing but the number of the format may then be other than it was, so no
// comment, blank or order is lost on either way.
func TestAnyKeyOfARecordedFarmIsRenamedAndBack(t *testing.T) {
	files, err := filepath.Glob("testdata/recorded/*/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	tried := 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		document := protocol.Document(strings.TrimSuffix(path.Base(filepath.ToSlash(file)), ".toml"))
		in := document
		if !protocol.IsFarms(document) {
			in = protocol.Document("*")
		}
		var keys []string
		_, slips := scanNaming(src, func(key string, _ part) { keys = append(keys, plain(key)) })
		require.Empty(t, slips)
		slices.Sort(keys)
		for _, key := range checks.Every(3, slices.Compact(keys)) {
			if key == "format" {
				continue
			}
			names, ok := parsePath(key)
			require.True(t, ok, key)
			last := names[len(names)-1].name
			there := Renamed{In: in, Path: key, Now: "quite-another-name"}
			back := there
			back.Path, back.Now = under(strings.TrimSuffix(strings.TrimSuffix(key, pathName(last)), "."), there.Now), last

			out, renamed, err := upgrade(document, src, [][]Renamed{{there}})
			require.NoError(t, err, "%s: %s", file, key)
			assert.Equal(t, []Renamed{there}, renamed)
			assert.Contains(t, string(out), there.Now)
			assert.Equal(t, strings.Count(string(src), "#"), strings.Count(string(out), "#"))

			out, _, err = upgrade(document, src, [][]Renamed{{there}, {back}})
			require.NoError(t, err, "%s: %s", file, key)
			assert.Equal(t, strings.Replace(string(src), "format = 1", "format = 3", 1), string(out), "%s: %s", file, key)
			tried++
		}
	}
	assert.Greater(t, tried, checks.Rounds(27, 80))
	t.Logf("%d keys of %d files", tried, len(files))
}
