package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
)

// workedOn is a small farm that somebody works on: three protocols in two languages, of
// which one is based on another.
func workedOn(t *testing.T) string {
	t.Helper()
	farm := t.TempDir()
	require.NoError(t, os.CopyFS(farm, os.DirFS("starter")))
	first := filepath.Join(farm, "protocols", "my-first-protocol.toml")
	swapIn(t, filepath.Join(farm, "protocols", "farm.toml"), `# languages = ["en", "es"]`, `languages = ["en", "es"]`)
	swapIn(t, first, "batch_sizes = [12, 14, 28]", "batch_sizes = [12]")
	text, err := os.ReadFile(first)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(farm, "protocols", "another.toml"), text, 0o644))
	writeIn(t, farm, "protocols/upon-it.toml", "format = 1\nbased_on = \"another\"\ntitle = \"Upon another\"\nsummary = \"Based on it.\"\n")
	return farm
}

func writeIn(t require.TestingT, farm, name, text string) {
	file := filepath.Join(farm, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
}

func swapIn(t require.TestingT, file, old, with string) {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Contains(t, string(text), old, file)
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(string(text), old, with, 1)), 0o644))
}

// makeWith makes the book of a farm, by the program with a cache of its own, none where it
// is empty; a farm with an error has no book.
func makeWith(t require.TestingT, cache, farm, out string, flags ...string) (made bool, said string) {
	cmd := withCache(cache, append([]string{"book", "--farm", farm, "--out", out, "--rescale=off"}, flags...)...)
	if cache == "" {
		cmd.Env = append(cmd.Env, noCache+"=1")
	}
	var all bytes.Buffer
	cmd.Stderr = &all
	err := cmd.Run()
	var exit *exec.ExitError
	require.True(t, err == nil || errors.As(err, &exit), "%v", err)
	return err == nil, all.String()
}

// changesOfAFarm are what happens to a farm between two books; each takes a number.
var changesOfAFarm = map[string]func(t require.TestingT, farm string, n int){
	"nothing": func(require.TestingT, string, int) {},
	"a value of a protocol": func(t require.TestingT, farm string, n int) {
		setKey(t, farm, "protocols/upon-it.toml", fmt.Sprintf("batch_sizes = [%d]\n", 12+n%40))
	},
	"a value of one that another is based on": func(t require.TestingT, farm string, n int) {
		setLine(t, farm, "protocols/another.toml", "summary = ", fmt.Sprintf("summary = \"Summary %d.\"", n))
	},
	"a line further down": func(t require.TestingT, farm string, n int) {
		prepend(t, farm, "protocols/my-first-protocol.toml", "# a note\n")
	},
	"the farm's altitude": func(t require.TestingT, farm string, n int) {
		setLine(t, farm, "protocols/farm.toml", "altitude = ", fmt.Sprintf("altitude = \"%d m\"", 100+n%7))
	},
	"the farm's name": func(t require.TestingT, farm string, n int) {
		setLine(t, farm, "protocols/farm.toml", "name = ", fmt.Sprintf("name = \"Farm %d\"", n))
	},
	"a line of the farm further down": func(t require.TestingT, farm string, n int) {
		prepend(t, farm, "protocols/farm.toml", "# a note\n")
	},
	"an entry of the library": func(t require.TestingT, farm string, n int) {
		writeIn(t, farm, "protocols/library/troubles.toml", fmt.Sprintf(`format = 1
[[trouble]]
id = "wet-rings"
looks = "Rings of water on the glass, seen %d times"
means = "The room swings in temperature."
do = ["Read the log of the room."]
source = "made up for a test"
`, n))
	},
	"no such entry": func(t require.TestingT, farm string, n int) {
		require.NoError(t, os.RemoveAll(filepath.Join(farm, "protocols", "library")))
	},
	"a guide": func(t require.TestingT, farm string, n int) {
		writeIn(t, farm, "site/our-shed.md", fmt.Sprintf("# Our shed\n\nThe key hangs on hook %d.\n", n))
	},
	"no such guide": func(t require.TestingT, farm string, n int) {
		_ = os.Remove(filepath.Join(farm, "site", "our-shed.md"))
	},
	"a text in the other language": func(t require.TestingT, farm string, n int) {
		writeIn(t, farm, "protocols/languages/es.toml", fmt.Sprintf("format = 1\n[texts]\n\"Upon another\" = \"Sobre otro %d\"\n", n))
	},
	"no such text": func(t require.TestingT, farm string, n int) {
		_ = os.Remove(filepath.Join(farm, "protocols", "languages", "es.toml"))
	},
	"a stylesheet of the farm's own": func(t require.TestingT, farm string, n int) {
		text, err := os.ReadFile("../../templates/book.css")
		require.NoError(t, err)
		writeIn(t, farm, "templates/book.css", string(text)+fmt.Sprintf("\n/* own %d */\n", n))
	},
	"a template of the farm's own": func(t require.TestingT, farm string, n int) {
		text, err := os.ReadFile("../../templates/troubles.html.tmpl")
		require.NoError(t, err)
		writeIn(t, farm, "templates/troubles.html.tmpl", strings.Replace(string(text), "</h1>", fmt.Sprintf("</h1><p>own %d</p>", n), 1))
	},
	"no templates": func(t require.TestingT, farm string, n int) {
		require.NoError(t, os.RemoveAll(filepath.Join(farm, "templates")))
	},
	"one more protocol": func(t require.TestingT, farm string, n int) {
		writeIn(t, farm, "protocols/one-more.toml", fmt.Sprintf("format = 1\nbased_on = \"my-first-protocol\"\ntitle = \"One more\"\nsummary = \"For %d.\"\n", n))
	},
	"one less": func(t require.TestingT, farm string, n int) {
		_ = os.Remove(filepath.Join(farm, "protocols", "one-more.toml"))
	},
	"the stock": func(t require.TestingT, farm string, n int) {
		writeIn(t, farm, "protocols/stock.toml", fmt.Sprintf("format = 1\n# %d\n", n))
	},
}

func setLine(t require.TestingT, farm, name, key, line string) {
	file := filepath.Join(farm, filepath.FromSlash(name))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	_, rest, found := strings.Cut("\n"+string(text), "\n"+key)
	require.True(t, found, "%s has no %s", name, key)
	old, _, _ := strings.Cut(rest, "\n")
	swapIn(t, file, key+old, line)
}

func prepend(t require.TestingT, farm, name, text string) {
	file := filepath.Join(farm, filepath.FromSlash(name))
	was, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, append([]byte(text), was...), 0o644))
}

func setKey(t require.TestingT, farm, name, line string) {
	file := filepath.Join(farm, filepath.FromSlash(name))
	was, err := os.ReadFile(file)
	require.NoError(t, err)
	var kept []string
	key, _, _ := strings.Cut(line, " ")
	for l := range strings.Lines(string(was)) {
		if !strings.HasPrefix(l, key+" ") {
			kept = append(kept, l)
		}
	}
	require.NoError(t, os.WriteFile(file, []byte(strings.Join(kept, "")+line), 0o644))
}

// A book that takes pages from the one that stands is the book that is made anew, byte
// for byte, whatever was changed in between and in whatever order.
func TestABookMadeAgainIsTheBookMadeAnew(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	cache := t.TempDir()
	flags := [][]string{nil, nil, nil, {"--bottles=31"}, {"--units=us"}, {"--own-templates"}, {"--as-of=2027-02-01"}}
	farm, parent := workedOn(t), t.TempDir()
	out := filepath.Join(parent, "out")
	random := rand.New(rand.NewPCG(11, 2))
	all := slices.Sorted(maps.Keys(changesOfAFarm))
	made, steps := 0, checks.Rounds(2, 2*len(all)) // each makes two whole books
	for i := range steps {
		if i%len(all) == 0 {
			random.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		}
		what, asked := all[i%len(all)], flags[random.IntN(len(flags))]
		changesOfAFarm[what](t, farm, random.IntN(1000))
		done, said := makeWith(t, cache, farm, out, asked...)
		anew := filepath.Join(parent, fmt.Sprint("anew-", i))
		also, saidAnew := makeWith(t, cache, farm, anew, asked...)
		require.Equal(t, also, done, "%d, after %s: %s", i, what, said)
		if !done {
			require.Equal(t, saidAnew, said)
			continue
		}
		made++
		now, fresh := filesIn(t, out), filesIn(t, anew)
		for name, f := range fresh {
			require.Contains(t, now, name, "%d, after %s", i, what)
			require.True(t, bytes.Equal(f.data, now[name].data), "%d: %s is another after %s with %v", i, name, what, asked)
		}
		require.Len(t, now, len(fresh), "%d, after %s", i, what)
		require.NoError(t, os.RemoveAll(anew))
	}
	assert.Greater(t, 2*made, steps, "most of these farms have a book")
}

// What a change does not reach is not set again: it is the very file of the book before.
// What it may reach is another.
func TestPagesAreTakenFromTheBookThatStands(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	cache := t.TempDir()
	farm := workedOn(t)
	out := filepath.Join(farm, "out")
	taken := func(flags ...string) (same, other []string) {
		was := filesIn(t, out)
		made, said := makeWith(t, cache, farm, out, flags...)
		require.True(t, made, said)
		now := filesIn(t, out)
		for _, name := range slices.Sorted(maps.Keys(now)) {
			if old, there := was[name]; there && os.SameFile(old.info, now[name].info) {
				same = append(same, name)
			} else {
				other = append(other, name)
			}
		}
		return same, other
	}
	taken()
	_, other := taken()
	assert.Equal(t, []string{book.Marker}, other, "nothing was changed")

	changesOfAFarm["a value of a protocol"](t, farm, 1)
	same, other := taken()
	assert.Contains(t, same, "another/sheet-12.html")
	assert.Contains(t, same, "es/my-first-protocol/index.html")
	assert.Contains(t, other, "upon-it/index.html")
	assert.Contains(t, other, "index.html")

	changesOfAFarm["a value of one that another is based on"](t, farm, 1)
	same, other = taken()
	assert.Contains(t, same, "my-first-protocol/sheet-12.html")
	assert.Contains(t, other, "upon-it/sheet-13.html")

	for _, flag := range checks.Every(2, []string{"--bottles=20", "--units=us"}) {
		same, _ = taken(flag)
		assert.Empty(t, same, flag)
	}
	changesOfAFarm["the farm's altitude"](t, farm, 1)
	same, _ = taken("--bottles=20")
	assert.Empty(t, same, "altitude")

	cache = ""
	same, _ = taken("--bottles=20")
	assert.Empty(t, same, noCache)
}

type fileThere struct {
	data []byte
	info fs.FileInfo
}

func filesIn(t require.TestingT, dir string) map[string]fileThere {
	out := map[string]fileThere{}
	if _, err := os.Stat(dir); err != nil {
		return out
	}
	require.NoError(t, filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		data, err := os.ReadFile(file)
		rel, _ := filepath.Rel(dir, file)
		out[filepath.ToSlash(rel)] = fileThere{data, info}
		return err
	}))
	return out
}
