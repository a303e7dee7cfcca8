package rescale

import (
	"net/url"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

// carriedDemo is what a book carries of a protocol of the demo farm.
func carriedDemo(t testing.TB, name string) []byte {
	t.Helper()
	folder, _ := farmfile.Read(os.DirFS("../../.."), protocols.Library)
	v := words.English(unit.Metric)
	for _, p := range folder.Protocols {
		if p.Name != name {
			continue
		}
		plan, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p, Units: v.Units()})
		require.NoError(t, err)
		e := leaf.Edition{Farm: folder.Farm, Voice: v, Version: "1.2.3", Prose: prose.In(v)}
		c, err := Carry(e, plan, leaf.Method{Protocol: name, Short: "0123-abcd", Full: "0123abcd"}, "")
		require.NoError(t, err)
		data, err := c.Encode()
		require.NoError(t, err)
		return data
	}
	t.Fatalf("no protocol %s", name)
	return nil
}

func BenchmarkOpen(b *testing.B) {
	data := carriedDemo(b, "enoki-850")
	for b.Loop() {
		_, err := Open(data, "", 48)
		require.NoError(b, err)
	}
}

func BenchmarkWork(b *testing.B) {
	s, err := Open(carriedDemo(b, "enoki-850"), "", 48)
	require.NoError(b, err)
	n := 0
	for b.Loop() {
		n++
		_, err := s.Work(url.Values{"n": {[]string{"137", "138"}[n%2]}})
		require.NoError(b, err)
	}
}
