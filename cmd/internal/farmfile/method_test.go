package farmfile

import (
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

// chainOf is a protocol's file and those that it is based on, as a reader of revisions
// finds them.
func chainOf(t testing.TB, farm fs.FS, name string) []*Source {
	var out []*Source
	seen := map[string]bool{}
	for name != "" && !seen[name] {
		seen[name] = true
		src, err := fs.ReadFile(farm, protocol.Document(name))
		if err != nil {
			break
		}
		out = append(out, NewSource(name, src))
		name = out[len(out)-1].BasedOn()
	}
	require.NotEmpty(t, out)
	return out
}

// A protocol that is read on its own is what it is in the whole folder, in every farm
// that there is a test of: with faults, without, based on others.
func TestMethodIsThatOfTheFolder(t *testing.T) {
	enoki, err := fs.ReadFile(base, "protocols/enoki.toml")
	require.NoError(t, err)
	farms := map[string]fs.FS{
		"demo":             os.DirFS("../../.."),
		"base":             base,
		"based on another": farmOf(t, map[string][]byte{"protocols/child.toml": []byte("format = 1\ntitle = \"x\"\nbased_on = \"enoki\"\nbatch_sizes = [12]\n\n[spawn]\nspare = \"20 %\"\n\n[document]\nversion = \"2\"\nowner = \"A\"\n\n[approval]\nby = \"A\"\non = \"2026-01-01\"\nversion = \"2\"\nfingerprint = \"x\"\n")}),
		"parent is gone":   farmOf(t, map[string][]byte{"protocols/child.toml": []byte("format = 1\ntitle = \"x\"\nbased_on = \"no-such\"\n")}),
		"circle": farmOf(t, map[string][]byte{
			"protocols/a.toml": []byte("format = 1\ntitle = \"x\"\nbased_on = \"b\"\n"), "protocols/b.toml": []byte("format = 1\ntitle = \"x\"\nbased_on = \"a\"\n")}),
		"no TOML":       farmOf(t, map[string][]byte{"protocols/child.toml": []byte("format = ")}),
		"too large":     farmOf(t, map[string][]byte{"protocols/child.toml": slices.Concat(enoki, []byte(strings.Repeat("# x\n", mostBytes/4)))}),
		"no such fruit": farmOf(t, map[string][]byte{"protocols/child.toml": []byte(strings.Replace(string(enoki), "species = \"", "species = \"x", 1))}),
		"faulty farm":   farmOf(t, map[string][]byte{protocol.FarmDocument: changed(t, protocol.FarmDocument, "altitude = ", "altitud = ")}),
		"line ends":     farmOf(t, map[string][]byte{"protocols/enoki.toml": []byte(strings.ReplaceAll(string(enoki), "\n", "\r\n"))}),
	}
	read, refused := 0, 0
	for _, about := range slices.Sorted(maps.Keys(farms)) {
		farm := farms[about]
		folder, _ := Read(farm, builtIn)
		ground := ReadGround(farm, builtIn)
		names, ok := (&Folder{}).list(farm)
		require.True(t, ok)
		var all sync.WaitGroup
		got := make([]Method, len(names))
		for i, name := range names {
			chain := chainOf(t, farm, name)
			all.Go(func() { got[i] = ground.Method(chain...) })
		}
		all.Wait()
		for i, name := range names {
			want, ok := folder.Method(name)
			if !ok {
				refused++
				assert.Positive(t, got[i].Faults, "%s: %s", about, name)
				got[i].Faults = 0
			} else {
				read++
				assert.NotEmpty(t, want.Fingerprint)
			}
			assert.Equal(t, want, got[i], "%s: %s", about, name)
		}
	}
	assert.Greater(t, read, 10)
	assert.Greater(t, refused, 6)
}

// A method is the same in whatever language it is told.
func TestARetoldFolderHasTheSameFingerprints(t *testing.T) {
	folder, _ := Read(os.DirFS("../../.."), os.DirFS("../../../protocols"))
	other := func(text string, _ bool) string { return "¿" + text + "?" }
	retold := folder.Retold(other, other)
	told := 0
	for i, p := range retold.Protocols {
		assert.Equal(t, folder.Fingerprint(p.Name), retold.Fingerprint(p.Name), p.Name)
		if fmt.Sprint(p.Steps) != fmt.Sprint(folder.Protocols[i].Steps) {
			told++
		}
	}
	assert.Positive(t, told, "no protocol has a step of its author's in its method")
}
