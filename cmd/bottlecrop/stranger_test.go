package main

import (
	"bytes"
	"errors"
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
	"bottlecrop/cmd/internal/working"
)

// The tests of the threat model in DEVELOPERS.md that look at the program as a whole. A farm
// folder is a stranger's.

// payloads are what a stranger writes in place of any text, short enough for any.
var payloads = []string{`<script>x</script>`, `"onload=x><svg>`, `'--></style><p>`, `</title><img>`, `]]><iframe>`, "`${x}`\\u2028\";x", `javascript:x`}

// Whatever stands in a text that people read, in whatever file, no page of the book has an
// element, an attribute or a script that it would not have otherwise: it is text.
func TestAStrangersTextsAreText(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	dir := viewedFarm(t)
	require.NoError(t, os.Remove(filepath.Join(dir, "protocols", "oyster-1100.toml")))
	plain := shapesOf(t, dir)
	rewrite(t, dir, func(i int, key, text string) string {
		put := payloads[i%len(payloads)]
		if strings.ContainsAny(text, "{}") || strings.Contains(put, "{") && strings.Contains(key, "step") {
			put = payloads[0] + text // facts stay; braces of its own would be refused
		}
		return put
	})
	// The texts of other languages are of the originals, and mostly idle now.
	hostile := shapesOf(t, dir)
	for _, path := range slices.Sorted(maps.Keys(hostile)) {
		for shape := range hostile[path] {
			assert.True(t, plain[path][shape] || plain[""][shape], "%s has %s, which it had not before", path, shape)
		}
	}
}

// rewrite puts other texts in place of those that a farm's authors wrote for people, where
// its files take them.
func rewrite(t *testing.T, dir string, put func(i int, key, text string) string) {
	t.Helper()
	f, err := openFarm(&settings{farm: dir})
	require.NoError(t, err)
	files, texts, written := map[string][]byte{}, 0, 0
	f.eachText(func(o working.Origin, text string, _ bool) {
		file := filepath.Join(dir, filepath.FromSlash(o.Document))
		if files[file] == nil {
			files[file], err = os.ReadFile(file)
			require.NoError(t, err)
		}
		if changed, err := farmfile.Set(files[file], o.Key, put(texts, o.Key, text)); err == nil {
			files[file] = changed
			written++
		}
		texts++
	})
	require.Greater(t, texts, 40)
	require.Greater(t, written, texts/2)
	for file, data := range files {
		require.NoError(t, os.WriteFile(file, data, 0o644))
	}
}

// Signs that move a terminal's cursor, change its title or turn the direction of what is
// read are refused wherever a stranger writes them, and are not among what is said of it.
func TestAStrangersTextsLeaveTheTerminal(t *testing.T) {
	dir := viewedFarm(t)
	for _, name := range []string{"oyster-1100", "enoki-quart"} {
		require.NoError(t, os.Remove(filepath.Join(dir, "protocols", name+".toml")))
	}
	rewrite(t, dir, func(_ int, _, text string) string {
		put := "a\x1b[31mb\u009bc\rd"
		if strings.ContainsAny(text, "{}") { // its facts stay
			put = "\x1b" + text
		}
		return put
	})
	for _, args := range [][]string{{"check"}, {"check", "--all"}, {"sheet", "enoki-850", "--bottles", "48"}, {"plan", "enoki-850", "--bottles", "48", "--start", "2027-01-05"}, {"names", "enoki-850"}, {"print", "enoki-85"}} {
		var out bytes.Buffer
		c := command(&terminal{out: &out, err: &out})
		c.SetArgs(append(args, "--farm", dir))
		err := c.ExecuteContext(t.Context())
		if x := (*failure)(nil); errors.As(err, &x) {
			out.WriteString(words.English(unit.Metric).Say(x.what))
		}
		assert.NotEmpty(t, out.String(), args)
		if args[0] == "check" {
			assert.Greater(t, strings.Count(out.String(), "which has a control character"), 20)
		}
		for _, r := range out.String() {
			if r != '\n' && r != '\t' && (r < ' ' || r >= 0x7f && r < 0xa0) {
				t.Errorf("%s prints %q", strings.Join(args, " "), r)
				break
			}
		}
	}
}

// shapesOf are, of each page of a farm's book, its elements with the names of their
// attributes, and what its links and scripts lead to; under "" those of all pages.
func shapesOf(t *testing.T, dir string) map[string]map[string]bool {
	t.Helper()
	f, err := openFarm(&settings{farm: dir})
	require.NoError(t, err)
	for _, x := range f.findings {
		require.NotEqual(t, protocol.Error, x.Severity, "%s %s: %s", where(x.Place), x.Rule, f.voice.Say(x.What))
	}
	in, err := f.input(bookAsked{})
	require.NoError(t, err)
	pages, err := book.Pages(in)
	require.NoError(t, err)
	out := map[string]map[string]bool{"": {}}
	for _, p := range checks.Every(3, pages) {
		data, err := p.Set()
		require.NoError(t, err)
		switch path.Ext(p.Path) {
		case ".html":
		case ".js", ".css", ".ttf", ".woff2", ".png", ".svg", ".json":
			assert.NotContains(t, string(data), "\u2028", p.Path)
			continue
		default:
			continue
		}
		doc, err := html.Parse(bytes.NewReader(data))
		require.NoError(t, err)
		out[p.Path] = map[string]bool{}
		for n := range doc.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			var names []string
			for _, a := range n.Attr {
				names = append(names, a.Key)
				low := strings.ToLower(strings.TrimSpace(a.Val))
				if a.Key == "href" || a.Key == "src" {
					for _, bad := range []string{"javascript:", "data:", "vbscript:", "file:", "//", "http:", "https:"} {
						assert.False(t, strings.HasPrefix(low, bad) && (a.Key == "src" || bad != "http:" && bad != "https:"), "%s: %s=%q", p.Path, a.Key, a.Val)
					}
				}
				assert.False(t, strings.HasPrefix(a.Key, "on"), "%s: %s=%q", p.Path, a.Key, a.Val)
			}
			slices.Sort(names)
			shape := fmt.Sprint(n.Data, names)
			if n.Data == "script" {
				for _, a := range n.Attr {
					if a.Key == "src" {
						shape += path.Base(a.Val)
					}
				}
				require.Contains(t, shape, ".js", "%s has a script in it", p.Path)
			}
			out[p.Path][shape], out[""][shape] = true, true
		}
	}
	return out
}

// The folders of a farm, and the folder of its book, may be links of a stranger's: nothing
// behind them is read or written.
func TestAStrangersFoldersLeadNowhere(t *testing.T) {
	outside := t.TempDir()
	for _, name := range []string{"species.toml", "secret.md", "secret.png", "secret.csv", "es.toml", "sheet.html.tmpl", "book.css"} {
		require.NoError(t, os.WriteFile(filepath.Join(outside, name), []byte("PRIVATE-MATTER = \"1\"\n"), 0o644))
	}
	for _, link := range []string{"protocols/library", "protocols/languages", "protocols/evidence", "site", "templates", "protocols/farm.toml", "protocols/enoki-850.toml", "protocols"} {
		t.Run(link, func(t *testing.T) {
			dir := viewedFarm(t)
			at := filepath.Join(dir, filepath.FromSlash(link))
			require.NoError(t, os.RemoveAll(at))
			require.NoError(t, os.Symlink(outside, at))
			f, err := openFarm(&settings{farm: dir})
			require.NoError(t, err)
			said := ""
			for _, x := range f.findings {
				said += f.voice.Say(x.What) + x.Place.Text
			}
			assert.NotContains(t, said, "PRIVATE-MATTER")
			for _, g := range f.guides {
				assert.NotContains(t, string(g.Markdown), "PRIVATE-MATTER")
			}
			for _, text := range f.own.files {
				assert.NotContains(t, string(text), "PRIVATE-MATTER")
			}
			if f.verdict() != nil {
				return // refused: most of them are
			}
			for path, page := range pagesOf(t, dir, false, viewed...) {
				assert.NotContains(t, page, "PRIVATE-MATTER", path)
			}
		})
	}
	before := names(t, outside)
	dir := viewedFarm(t)
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, "out")))
	at := &terminal{out: &bytes.Buffer{}, err: &bytes.Buffer{}}
	c := command(at)
	c.SetArgs([]string{"book", "--farm", dir, "--rescale", "off"})
	assert.Error(t, c.ExecuteContext(t.Context()))
	assert.Equal(t, before, names(t, outside), "a book was written into a folder that is no book's")
}

func names(t *testing.T, dir string) (out []string) {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// A stranger's folder that looks like the program's source is not built, wherever the
// program is run: what a book carries comes from the source that the program came from.
func TestAStrangersSourceIsNotBuilt(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "cmd", "bottlecrop-web"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go.mod"), []byte("module bottlecrop\n"), 0o644))
	own, err := filepath.Abs("../..")
	require.NoError(t, err)
	t.Chdir(dir)
	for _, gone := range []string{"bottlecrop/cmd/bottlecrop/module.go", filepath.Join(t.TempDir(), "cmd/bottlecrop/module.go"), "./cmd/bottlecrop/module.go"} {
		_, err := sourceOf(gone)
		assert.ErrorIs(t, err, errNoSource, gone)
	}
	got, err := moduleSource()
	require.NoError(t, err)
	assert.Equal(t, own, got)
}

// What of the program can reach a network or begin another program, by package: nothing
// that a farm's files say leads to either. View listens on the loopback interface, press
// speaks with the browser that it began, history runs git, and the program itself builds
// what a book carries.
func TestWhoReachesOut(t *testing.T) {
	allowed := map[string][]string{
		"net": {"view", "bottlecrop"}, "net/http": {"view"}, "net/netip": {"view"}, "os/exec": {"history", "press", "bottlecrop"},
		"github.com/chromedp/chromedp": {"press"},
	}
	var found []string
	require.NoError(t, filepath.WalkDir("..", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		pkg := filepath.Base(filepath.Dir(file))
		if pkg == "checks" || pkg == "bottlecrop-release" || pkg == "bottlecrop-web" { // of tests, of releases, of the page
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, i := range parsed.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			reaches := name == "net" || strings.HasPrefix(name, "net/") && name != "net/url" || name == "os/exec" || name == "plugin" || name == "C" ||
				strings.HasPrefix(name, "golang.org/x/net/") && name != "golang.org/x/net/html" && name != "golang.org/x/net/html/atom" || strings.HasPrefix(name, "github.com/chromedp/")
			if strings.HasPrefix(name, "github.com/chromedp/") {
				name = "github.com/chromedp/chromedp"
			}
			if reaches && !slices.Contains(allowed[name], pkg) {
				found = append(found, file+" imports "+name)
			}
		}
		return nil
	}))
	assert.Empty(t, found)
}
