package change_test

import (
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/change"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/heat"
	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/protocols"
)

var english = words.English(unit.Metric)

// demo is the files of the demo farm, which is this repository.
func demo(t testing.TB) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(os.DirFS("../../.."), "protocols", func(path string, d fs.DirEntry, err error) error {
		switch path { // on which no batch of any day depends
		case protocol.StockDocument, protocol.OrdersDocument, protocol.ResultsDocument:
			return err
		}
		if err != nil || d.IsDir() || strings.Contains(path, "/languages/") || !strings.HasSuffix(path, ".toml") && !strings.HasSuffix(path, ".csv") {
			return err
		}
		data, err := fs.ReadFile(os.DirFS("../../.."), path)
		out[path] = &fstest.MapFile{Data: data}
		return err
	}))
	return out
}

// edit is a farm with a text of one of its files replaced, once.
func edit(t testing.TB, farm fstest.MapFS, file, from, to string) fstest.MapFS {
	t.Helper()
	text := string(farm[file].Data)
	require.Equal(t, 1, strings.Count(text, from), "%s in %s", from, file)
	out := fstest.MapFS{}
	for name, f := range farm {
		out[name] = f
	}
	out[file] = &fstest.MapFile{Data: []byte(strings.Replace(text, from, to, 1))}
	return out
}

// reader reads the farms: most files of each are those of the one before.
var reader farmfile.Reader

// side is a protocol of a farm; false where the farm's files are refused.
func side(farm fs.FS, name string) (change.Side, *farmfile.Folder, bool) {
	folder, found := reader.Read(farm, protocols.Library)
	out := change.Side{Farm: folder.Farm, Library: folder.Library, Others: map[string]protocol.Protocol{}, Logs: map[string]change.Log{}}
	if !folder.Usable || protocol.Worst(found) == protocol.Error {
		return out, folder, false
	}
	ok := false
	for _, p := range folder.Protocols {
		if p.Name == name {
			out.Protocol, ok = p, true
			continue
		}
		for _, e := range folder.Farm.Evidence {
			if e.Protocol == p.Name {
				out.Others[p.Name] = p
			}
		}
	}
	for _, e := range folder.Farm.Evidence {
		data, err := fs.ReadFile(farm, farmfile.LogPath(e))
		if err != nil {
			return out, folder, false
		}
		log, _ := probe.Read(farmfile.LogPath(e), data, probe.Options{Hottest: 473, Counted: []string{e.Channel, e.Chamber}})
		if log == nil || log.Channel(e.Channel) == nil || log.Channel(e.Chamber) == nil {
			return out, folder, false
		}
		out.Logs[e.ID] = change.Log{Document: farmfile.LogPath(e), Vessel: series(log, e.Channel), Chamber: series(log, e.Chamber)}
	}
	return out, folder, ok
}

func series(l *probe.Log, name string) []heat.Point {
	var out []heat.Point
	for _, p := range l.Channel(name).Points {
		out = append(out, heat.Point{Time: p.Seconds, Temperature: p.Kelvin})
	}
	return out
}

func must(t testing.TB, farm fs.FS, name string) change.Side {
	t.Helper()
	s, _, ok := side(farm, name)
	if !ok {
		_, found := farmfile.Read(farm, protocols.Library)
		for _, f := range found {
			t.Log(f.Place.File, f.Place.Line, english.Say(f.What))
		}
	}
	require.True(t, ok, "the farm's files are refused")
	return s
}

// compare compares a protocol of two farms.
func compare(t testing.TB, before, after fs.FS, name string, vessels int) *change.Report {
	t.Helper()
	r, err := change.Compare(must(t, before, name), must(t, after, name), vessels, english)
	require.NoError(t, err)
	return r
}
