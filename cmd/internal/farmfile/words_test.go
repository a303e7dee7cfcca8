package farmfile_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// neverSaid are messages that no file can bring about today, with the reason.
var neverSaid = map[string]string{
	"farmfile.kind.temperature_difference": "no key is one, and its units are those of a temperature",
	"farmfile.value_refused":               "for a rule that is new in package protocol; TestEveryRuleHasWords wants words of its own",
	"farmfile.file_permission":             "files of the test have no permissions; TestOddFileSystems has it",
	"farmfile.hint.permission":             "the same",
	"farmfile.file_leads_out":              "links need a disk; TestLinksOnADisk has it",
	"farmfile.hint.leads_out":              "the same",
	"farmfile.evidence_leads_out":          "the same",
	"farmfile.file_gone":                   "the same",
	"farmfile.hint.gone":                   "the same",
	"farmfile.file_unreadable":             "files of the test can be read; TestOddFileSystems has it",
}

// said collects the ids of a message and of those in it, and says it: the
// voice panics where the arguments do not fit.
func said(t *testing.T, m protocol.Message, ids map[string]string) {
	t.Helper()
	if m.ID == "" {
		return
	}
	text := words.English(unit.Metric).Say(m)
	ids[m.ID] = text
	assert.NotRegexp(t, `[.!]$|  |\n`, text, m.ID)
	for _, a := range m.Args {
		if inner, ok := a.(protocol.Message); ok {
			said(t, inner, ids)
		}
	}
}

// Every sentence of this package is in the catalog with the arguments that it
// gets, and every sentence of the catalog is said by some farm.
func TestEveryFindingHasWords(t *testing.T) {
	ids := map[string]string{}
	builtIn := os.DirFS("testdata/base/protocols")
	read := func(farm fstest.MapFS) {
		_, list := farmfile.Read(farm, builtIn)
		for _, f := range list {
			said(t, f.What, ids)
			said(t, f.Hint, ids)
			assert.NotEmpty(t, f.Rule)
			assert.Equal(t, protocol.Error, f.Severity)
			assert.Equal(t, "farmfile."+strings.ReplaceAll(f.Rule, ".", "_"), f.What.ID)
		}
	}
	farm, err := os.ReadFile("testdata/base/protocols/farm.toml")
	require.NoError(t, err)
	enoki, err := os.ReadFile("testdata/base/protocols/enoki.toml")
	require.NoError(t, err)
	paths, err := filepath.Glob("testdata/golden/*.txtar")
	require.NoError(t, err)
	for _, path := range paths {
		a, err := txtar.ParseFile(path)
		require.NoError(t, err)
		files := fstest.MapFS{"protocols/farm.toml": {Data: farm}, "protocols/enoki.toml": {Data: enoki}}
		for _, f := range a.Files {
			name, what, _ := strings.Cut(f.Name, " ")
			switch {
			case name == "want":
			case what == "gone":
				delete(files, name)
			case what == "edits":
				text := string(files[name].Data)
				for l := range strings.Lines(string(f.Data)) {
					before, after, _ := strings.Cut(strings.TrimRight(l, "\n"), " => ")
					text = strings.Replace(text, before, strings.ReplaceAll(after, `\n`, "\n"), 1)
				}
				files[name] = &fstest.MapFile{Data: []byte(text)}
			default:
				files[name] = &fstest.MapFile{Data: f.Data}
			}
		}
		read(files)
	}
	with := func(name, src string, mode os.FileMode) fstest.MapFS {
		return fstest.MapFS{
			"protocols/farm.toml": {Data: farm}, "protocols/enoki.toml": {Data: enoki},
			"protocols/" + name: {Data: []byte(src), Mode: mode},
		}
	}
	read(with("bom.toml", "\xEF\xBB\xBF", 0))
	read(with("utf16.toml", "\xFF\xFE", 0))
	read(with("latin.toml", "\xE4", 0))
	read(with("control.toml", "\x00", 0))
	read(with("large.toml", strings.Repeat("#", 2<<20), 0))
	read(with("con.toml", "", 0))
	read(with("pipe.toml", "", os.ModeNamedPipe))
	read(with("many.toml", "batch_sizes = ["+strings.Repeat("0,", 2000)+"]", 0))
	for _, most := range []struct {
		files int
		name  string
		bytes int
	}{{10_001, "p%d.toml", 0}, {129, "p%d.toml", 1 << 20}, {51, "languages/l%d.toml", 0}} {
		files, data := with("enoki.toml", string(enoki), 0), bytes.Repeat([]byte("\n"), most.bytes)
		for i := range most.files {
			files[fmt.Sprintf("protocols/"+most.name, i)] = &fstest.MapFile{Data: data}
		}
		read(files)
	}
	run := "[[evidence]]\nid = \"one\"\nprotocol = \"enoki\"\nlog = \"evidence/one.csv\"\nchannel = \"middle\"\nabove_base = \"60 mm\"\n" +
		"bore = \"none\"\nmeasured_on = \"2026-03-02\"\nby = \"made up\"\nwhy = \"a run that was made well\"\n"
	large := with("evidence/one.csv", strings.Repeat("1", farmfile.MostLog+1), 0)
	large["protocols/farm.toml"] = &fstest.MapFile{Data: append(slices.Clone(farm), run...)}
	read(large)
	_, list := farmfile.Read(fstest.MapFS{"protocols/farm.toml": {Data: farm}, "protocols/enoki.toml": {Data: enoki}}, nil)
	for _, f := range list {
		said(t, f.What, ids)
		said(t, f.Hint, ids)
	}

	for _, id := range words.IDs() {
		if !strings.HasPrefix(id, "farmfile.") {
			continue
		}
		_, never := neverSaid[id]
		assert.NotEqual(t, ids[id] != "", never, "%s: said %q, never said: %v", id, ids[id], never)
	}
	if testing.Verbose() {
		var all []string
		for id, text := range ids {
			all = append(all, id+": "+text)
		}
		slices.Sort(all)
		t.Log(strings.Join(all, "\n"))
	}
}
