package farmfile

import (
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
	"bottlecrop/protocols"
)

// demoFiles are the demo farm's files, in memory.
func demoFiles(t testing.TB) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	root := os.DirFS("../../..")
	require.NoError(t, fs.WalkDir(root, "protocols", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) == ".go" {
			return err
		}
		text, err := fs.ReadFile(root, path)
		out[path] = &fstest.MapFile{Data: text}
		return err
	}))
	return out
}

// sameFolder holds a folder that was read again to one that is read for the first time.
func sameFolder(t require.TestingT, files fstest.MapFS, got *Folder, found []protocol.Finding, what string) {
	want, wanted := Read(files, protocols.Library)
	require.Equal(t, wanted, found, what)
	require.Equal(t, want.Protocols, got.Protocols, what)
	require.Equal(t, want.Farm, got.Farm, what)
	require.Equal(t, want.Library, got.Library, what)
	require.Equal(t, []any{want.Stock, want.Orders, want.Results, want.Texts, want.OurTexts, want.Usable},
		[]any{got.Stock, got.Orders, got.Results, got.Texts, got.OurTexts, got.Usable}, what)
	for _, p := range want.Protocols {
		require.Equal(t, want.Fingerprint(p.Name), got.Fingerprint(p.Name), what)
	}
	for name, l := range want.documents {
		require.Equal(t, len(l), len(got.documents[name]), "%s: %s", what, name)
		for i := range l {
			require.Equal(t, l[i].name, got.documents[name][i].name, what)
		}
	}
}

// changes are what somebody may do to the farm's files. Each is one step of a session.
var changes = []struct{ name, file, from, to string }{
	{"a share", "protocols/enoki-850.toml", `share_dm = "42 %"`, `share_dm = "43 %"`},
	{"a line more", "protocols/enoki-850.toml", "format = 1", "\n\nformat = 1"},
	{"a title", "protocols/lions-mane-950.toml", "title = ", "title = \"X \" # "},
	{"no TOML", "protocols/oyster-1100.toml", "format = 1", "format = = 1"},
	{"a parent that is not there", "protocols/enoki-quart.toml", `based_on = "enoki-850"`, `based_on = "enoki-851"`},
	{"an altitude", "protocols/farm.toml", "as_of = ", "# as_of = "},
	{"a farm with a fault", "protocols/farm.toml", "format = 1", "format = 1\nno_such_key = 3"},
	{"a species of the farm's", "protocols/library/species.toml", "format = 1", "format = 1 # 2"},
	{"texts", "protocols/languages/es.toml", "format = 1", "format = 1 # 2"},
	{"an order", "protocols/orders.toml", "format = 1", "format = 1 # 2"},
	{"a ring", "protocols/enoki-850.toml", "species = ", "based_on = \"enoki-quart\"\nspecies = "},
}

// A folder that is read again after each of many changes, in any order, is the folder
// that a first reading gives: its findings, values, places and fingerprints.
func TestReadAgainIsRead(t *testing.T) {
	demo := demoFiles(t)
	for _, c := range changes {
		if demo[c.file] == nil {
			demo[c.file] = &fstest.MapFile{Data: []byte("format = 1\n")}
		}
		require.Contains(t, string(demo[c.file].Data), c.from, c.name)
	}
	checks.Cases(t, 10)
	rapid.Check(t, func(t *rapid.T) {
		files := maps.Clone(demo)
		var r Reader
		f, found := r.Read(files, protocols.Library)
		session := "at first"
		for range rapid.IntRange(1, 5).Draw(t, "steps") {
			c := rapid.SampledFrom(changes).Draw(t, "change")
			how := rapid.SampledFrom([]string{"done", "undone", "deleted", "copied"}).Draw(t, "how")
			session += fmt.Sprintf(", %s %s", c.name, how)
			switch how {
			case "done":
				files[c.file] = &fstest.MapFile{Data: []byte(strings.Replace(string(demo[c.file].Data), c.from, c.to, 1))}
			case "undone":
				files[c.file] = demo[c.file]
			case "deleted":
				delete(files, c.file)
			case "copied":
				files["protocols/another.toml"] = demo["protocols/oyster-1100.toml"]
			}
			f, found = r.Read(files, protocols.Library)
		}
		sameFolder(t, files, f, found, session)
	})
}

// What has not changed is not bound again: a protocol keeps its reading when another
// changes, when one comes or goes, when orders or texts change, and loses it with the farm,
// the library, its own file or that of its parent.
func TestReadingsAreKept(t *testing.T) {
	for _, c := range []struct {
		file       string
		quart, oys bool // whether enoki-quart, which is based on enoki-850, and oyster-1100 are kept
	}{
		{"protocols/enoki-850.toml", false, true},
		{"protocols/enoki-quart.toml", false, true},
		{"protocols/oyster-1100.toml", true, false},
		{"protocols/one-more.toml", true, true},
		{"protocols/orders.toml", true, true},
		{"protocols/languages/es.toml", true, true},
		{"protocols/farm.toml", false, false},
		{"protocols/library/species.toml", false, false},
	} {
		files := demoFiles(t)
		var r Reader
		before, _ := r.Read(files, protocols.Library)
		require.NotNil(t, before.Reading("enoki-quart"))
		text := []byte("format = 1\n")
		if files[c.file] != nil {
			text = append(files[c.file].Data, "\n# more\n"...)
		}
		files[c.file] = &fstest.MapFile{Data: text}
		after, _ := r.Read(files, protocols.Library)
		assert.Equal(t, c.quart, before.Reading("enoki-quart") == after.Reading("enoki-quart"), c.file)
		assert.Equal(t, c.oys, before.Reading("oyster-1100") == after.Reading("oyster-1100"), c.file)
	}
	f, _ := Read(demoFiles(t), protocols.Library)
	assert.Nil(t, f.Reading("enoki-850"), "a folder that is read once keeps none")
}

// Part of a folder is what the whole has of it: a protocol that changed, and those that
// are based on it. What it can't tell alone it leaves to a reading of the whole.
func TestPartIsOfTheWhole(t *testing.T) {
	change := func(files fstest.MapFS, name, from, to string) {
		text := string(files[name].Data)
		require.Contains(t, text, from)
		files[name] = &fstest.MapFile{Data: []byte(strings.Replace(text, from, to, 1))}
	}
	files := demoFiles(t)
	var r Reader
	_, ok := r.Part(files, []string{"enoki-850"})
	assert.False(t, ok, "nothing was read before")
	r.Read(files, protocols.Library)
	change(files, "protocols/enoki-850.toml", `mixing = "15 min"`, `mixing = "16 min"`)
	part, ok := r.Part(files, []string{"enoki-850"})
	require.True(t, ok)
	whole, _ := Read(files, protocols.Library)
	var names []string
	for _, p := range part.Protocols {
		names = append(names, p.Name)
		i := -1
		for j, q := range whole.Protocols {
			if q.Name == p.Name {
				i = j
			}
		}
		require.GreaterOrEqual(t, i, 0)
		assert.Equal(t, whole.Protocols[i], p)
		assert.Equal(t, whole.Fingerprint(p.Name), part.Fingerprint(p.Name))
		at := working.Origin{Document: protocol.Document(p.Name), Key: "substrate.mixing"}
		assert.Equal(t, whole.Place(at), part.Place(at))
	}
	assert.Equal(t, []string{"enoki-850", "enoki-quart"}, names)
	again, found := r.Read(files, protocols.Library)
	sameFolder(t, files, again, found, "after a part")
	assert.Equal(t, part.Reading("enoki-quart"), again.Reading("enoki-quart"), "the whole has the same reading")
	for name, spoil := range map[string]func(){
		"no TOML": func() { change(files, "protocols/enoki-850.toml", "format = 1", "format = = 1") },
		"another family": func() {
			change(files, "protocols/oyster-1100.toml", "format = 1", "format = 1\nbased_on = \"enoki-850\"")
		},
		"a share too much": func() { change(files, "protocols/enoki-850.toml", `share_dm = "42 %"`, `share_dm = "42"`) },
		"gone":             func() { delete(files, "protocols/enoki-850.toml") },
	} {
		files = demoFiles(t)
		r = Reader{}
		r.Read(files, protocols.Library)
		spoil()
		_, ok := r.Part(files, []string{"enoki-850", "oyster-1100"})
		assert.False(t, ok, name)
		again, found := r.Read(files, protocols.Library)
		sameFolder(t, files, again, found, name)
	}
}
