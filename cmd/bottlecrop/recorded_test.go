package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
)

// recorded is the demo farm as the repository had it on 2026-11-25, in its first commit
// with a farm (375a783), but for the library, which was the program's own then as it is
// now. Nothing in it is ever edited.
const recorded = "../internal/farmfile/testdata/recorded/2026-11-25"

// recordedFarm is a copy of it as a farm folder.
func recordedFarm(t *testing.T) string {
	t.Helper()
	farm := t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(farm, protocol.Folder), os.DirFS(recorded)))
	return farm
}

// No key that a farm could have written then has another name or meaning now: an upgrade
// has nothing to do, and leaves every byte. Two keys of spawn have become required since,
// without a new format, for there was no release yet: check asks for them by name, and with
// them in, the folder is read. A limit that came later then refuses its holds, which were
// too short for vessels that heat slowly; with longer ones a book is made of it.
func TestTheOldestFarmIsRead(t *testing.T) {
	farm := recordedFarm(t)
	var out, errs bytes.Buffer
	term := &terminal{out: &out, err: &errs}
	require.NoError(t, term.upgrade(t.Context(), &settings{farm: farm}, farmfile.Upgrade))
	assert.Contains(t, out.String(), "4 files")
	files, err := filepath.Glob(filepath.Join(recorded, "*.toml"))
	require.NoError(t, err)
	require.Len(t, files, 4)
	for _, file := range files {
		was, err := os.ReadFile(file)
		require.NoError(t, err)
		is, err := os.ReadFile(filepath.Join(farm, protocol.Folder, filepath.Base(file)))
		require.NoError(t, err)
		assert.Equal(t, string(was), string(is), file)
	}

	f, err := openFarm(&settings{farm: farm})
	require.NoError(t, err)
	var asked []string
	for _, x := range f.findings {
		if x.Severity == protocol.Error {
			asked = append(asked, filepath.Base(x.Place.File)+" "+f.voice.Say(x.What))
		}
	}
	assert.ElementsMatch(t, []string{
		"enoki-850.toml spawn.age_most is missing", "enoki-850.toml spawn.generation_most is missing",
		"oyster-1100.toml spawn.age_most is missing", "oyster-1100.toml spawn.generation_most is missing",
	}, asked)

	comments := regexp.MustCompile(`#.*`)
	set := func(key string, value any) {
		for _, name := range []string{"enoki-850", "oyster-1100"} {
			file := filepath.Join(farm, filepath.FromSlash(protocol.Document(name)))
			was, err := os.ReadFile(file)
			require.NoError(t, err)
			is, err := farmfile.Set(was, key, value)
			require.NoError(t, err)
			assert.Equal(t, comments.FindAllString(string(was), -1), comments.FindAllString(string(is), -1))
			require.NoError(t, os.WriteFile(file, is, 0o644))
		}
	}
	errors := func() (rules []string) {
		f, err := openFarm(&settings{farm: farm})
		require.NoError(t, err)
		for _, x := range f.findings {
			if x.Severity == protocol.Error {
				rules = append(rules, x.Rule)
			}
		}
		return rules
	}
	set("spawn.age_most", "30 d")
	set("spawn.generation_most", 3)
	assert.Equal(t, []string{"f0.floor", "f0.floor"}, errors())
	set("sterilization.hold", "180 min")
	assert.Empty(t, errors())
	f, err = openFarm(&settings{farm: farm})
	require.NoError(t, err)
	assert.Len(t, f.entries, 3)
	made := &terminal{out: &out, err: &errs}
	c := command(made)
	c.SetArgs([]string{"book", "--farm", farm, "--rescale=off"})
	require.Equal(t, done, made.status(c.ExecuteContext(t.Context())), errs.String())
	page, err := os.ReadFile(filepath.Join(farm, "out", "enoki-850", "index.html"))
	require.NoError(t, err)
	assert.True(t, strings.Contains(string(page), "Willow Fork"))
}
