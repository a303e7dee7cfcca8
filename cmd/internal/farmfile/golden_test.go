package farmfile

import (
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
)

var update = flag.Bool("update", false, "write the findings that the golden cases give")

// base is a small farm without faults, and its library.
// The farm that the tests change, and its library as a base for other farms.
var (
	base    = os.DirFS("testdata/base")
	builtIn = os.DirFS("testdata/base/protocols")
)

// farmOf copies the base farm without its library, into which a test puts its
// own files; nil takes one out.
func farmOf(t testing.TB, files map[string][]byte) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	for _, name := range []string{protocol.FarmDocument, "protocols/enoki.toml"} {
		src, err := fs.ReadFile(base, name)
		require.NoError(t, err)
		out[name] = &fstest.MapFile{Data: src}
	}
	for name, src := range files {
		if src == nil {
			delete(out, name)
			continue
		}
		out[name] = &fstest.MapFile{Data: src}
	}
	return out
}

// changed is a file of the base with some text replaced, each once.
func changed(t testing.TB, name string, pairs ...string) []byte {
	t.Helper()
	src, err := fs.ReadFile(base, name)
	require.NoError(t, err)
	text := string(src)
	for i := 0; i < len(pairs); i += 2 {
		require.Equal(t, 1, strings.Count(text, pairs[i]), "%q in %s", pairs[i], name)
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return []byte(text)
}

// line writes a finding as the golden cases have it.
func line(f protocol.Finding) string {
	at := f.Place.File
	if f.Place.Line > 0 {
		at += fmt.Sprintf(":%d:%d-%d", f.Place.Line, f.Place.Column, f.Place.EndColumn)
	}
	out := fmt.Sprintf("%s: %s: %s: %s", at, f.Severity, f.Rule, arguments(f.What))
	if f.Hint.ID != "" {
		out += "\n\t" + strings.TrimPrefix(f.Hint.ID, "farmfile.hint.") + ": " + arguments(f.Hint)
	}
	return strings.TrimRight(out, " ") + "\n"
}

func arguments(m protocol.Message) string {
	var out []string
	for _, name := range slices.Sorted(maps.Keys(m.Args)) {
		switch v := m.Args[name].(type) {
		case protocol.Message:
			out = append(out, name+"="+strings.TrimPrefix(v.ID, "farmfile."))
		default:
			out = append(out, fmt.Sprintf("%s=%v", name, v))
		}
	}
	return strings.Join(out, " | ")
}

func lines(list []protocol.Finding) string {
	var out strings.Builder
	for _, f := range list {
		out.WriteString(line(f))
	}
	return out.String()
}

// goldenCase reads one archive: files of a farm put over the base; "NAME edits"
// has lines "old => new" for a file of the base; "NAME gone" takes one out;
// "want" has the findings.
func goldenCase(t *testing.T, path string) (fstest.MapFS, *txtar.Archive) {
	a, err := txtar.ParseFile(path)
	require.NoError(t, err)
	files := map[string][]byte{}
	for _, f := range a.Files {
		name, what, _ := strings.Cut(f.Name, " ")
		switch {
		case name == "want":
		case what == "edits":
			var pairs []string
			for l := range strings.Lines(string(f.Data)) {
				before, after, ok := strings.Cut(strings.TrimRight(l, "\n"), " => ")
				require.True(t, ok, l)
				pairs = append(pairs, before, strings.ReplaceAll(after, `\n`, "\n"))
			}
			files[name] = changed(t, name, pairs...)
		case what == "gone":
			files[name] = nil
		default:
			files[name] = f.Data
		}
	}
	return farmOf(t, files), a
}

func TestGolden(t *testing.T) {
	paths, err := filepath.Glob("testdata/golden/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			farm, a := goldenCase(t, path)
			_, list := Read(farm, builtIn)
			got := lines(list)
			i := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "want" })
			if *update {
				if i < 0 {
					a.Files = append(a.Files, txtar.File{Name: "want"})
					i = len(a.Files) - 1
				}
				a.Files[i].Data = []byte(got)
				require.NoError(t, os.WriteFile(path, txtar.Format(a), 0o644))
				return
			}
			require.GreaterOrEqual(t, i, 0, "no want in %s; run with -update and read what it writes", path)
			checks.Same(t, path, string(a.Files[i].Data), got)
		})
	}
}
