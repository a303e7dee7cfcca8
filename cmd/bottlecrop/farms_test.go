package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

// Each folder of testdata/farms is a small farm with one mistake. Its
// expected.txt says in words what is wrong (#), how it is mended (mend FILE: old
// => new, or mend FILE gone), and what the program finds: file, line, column,
// severity, rule. The findings must be exactly those, and a farm that is mended
// must have none: so it has one mistake and no more.
// `go test ./cmd/bottlecrop -run TestFarms -update` writes the findings anew.
func TestFarms(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	const folder = "../../testdata/farms"
	farms, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(farms), 20)
	kinds := map[string]string{}
	for _, f := range farms {
		t.Run(f.Name(), func(t *testing.T) {
			dir := filepath.Join(folder, f.Name())
			e := readExpected(t, filepath.Join(dir, "expected.txt"))
			require.NotEmpty(t, e.said, "expected.txt does not say what the mistake is")
			require.NotEmpty(t, e.mends, "expected.txt does not say how it is mended")
			got := foundIn(t, dir)
			require.NotEmpty(t, got, "no mistake was found")
			if *updateScripts {
				e.write(t, got)
			} else {
				assert.Equal(t, e.findings, got)
			}
			other, twice := kinds[strings.Join(rulesOf(got), " ")]
			assert.False(t, twice, "the same kind of mistake as %s", other)
			kinds[strings.Join(rulesOf(got), " ")] = f.Name()

			mended := t.TempDir()
			require.NoError(t, os.CopyFS(mended, os.DirFS(dir)))
			for _, m := range e.mends {
				m.apply(t, mended)
			}
			assert.Empty(t, foundIn(t, mended), "mended, it still has findings")
		})
	}
}

// foundIn lists the findings of a farm folder.
func foundIn(t *testing.T, dir string) []string {
	t.Helper()
	f, err := openFarm(&settings{farm: dir})
	require.NoError(t, err)
	var out []string
	for _, x := range f.findings {
		if x.Rule == "language.unreviewed" {
			continue // of every farm in two languages, until it signs texts that change with the program
		}
		out = append(out, fmt.Sprintf("%s:%d:%d: %s: %s", x.Place.File, x.Place.Line, x.Place.Column, x.Severity, x.Rule))
	}
	assert.Equal(t, protocol.Worst(f.findings) == protocol.Error, f.verdict() != nil)
	return out
}

func rulesOf(findings []string) []string {
	var out []string
	for _, f := range findings {
		out = append(out, f[strings.LastIndex(f, " ")+1:])
	}
	return out
}

// expected is an expected.txt.
type expected struct {
	path     string
	said     []string
	mends    []mend
	lines    []string // of both, as written
	findings []string
}

// mend is one change that takes a mistake out.
type mend struct {
	file, old, new string
	gone           bool
}

func readExpected(t *testing.T, path string) expected {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	e := expected{path: path}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		switch rest, isMend := strings.CutPrefix(line, "mend "); {
		case strings.HasPrefix(line, "# "):
			e.said, e.lines = append(e.said, line), append(e.lines, line)
		case isMend:
			e.mends, e.lines = append(e.mends, readMend(t, rest)), append(e.lines, line)
		default:
			e.findings = append(e.findings, line)
		}
	}
	return e
}

func readMend(t *testing.T, text string) mend {
	t.Helper()
	if file, gone := strings.CutSuffix(text, " gone"); gone {
		return mend{file: file, gone: true}
	}
	file, change, ok := strings.Cut(text, ": ")
	require.True(t, ok, text)
	from, to, ok := strings.Cut(change, " => ")
	require.True(t, ok, text)
	lines := strings.NewReplacer(`\n`, "\n")
	return mend{file: file, old: lines.Replace(from), new: lines.Replace(to)}
}

func (m mend) apply(t *testing.T, dir string) {
	t.Helper()
	path := filepath.Join(dir, m.file)
	if m.gone {
		require.NoError(t, os.Remove(path))
		return
	}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, 1, strings.Count(string(text), m.old), "%q in %s", m.old, m.file)
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), m.old, m.new, 1)), fs.FileMode(0o644)))
}

func (e expected) write(t *testing.T, findings []string) {
	t.Helper()
	text := strings.Join(append(e.lines, findings...), "\n") + "\n"
	require.NoError(t, os.WriteFile(e.path, []byte(text), 0o644))
}
