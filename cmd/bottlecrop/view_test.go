package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
)

// viewedFarm is a copy of the demo farm with two protocols, of which one is based on the
// other, and one besides.
func viewedFarm(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	for _, part := range []string{"protocols", "site"} {
		root := os.DirFS("../..")
		require.NoError(t, fs.WalkDir(root, part, func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() {
				return os.MkdirAll(filepath.Join(dir, path), 0o755)
			}
			if filepath.Ext(path) == ".go" || strings.HasPrefix(path, "protocols/library/") {
				return nil
			}
			for _, name := range []string{"beech-850", "king-oyster-1100", "lions-mane-950", "maitake-quart"} {
				if path == "protocols/"+name+".toml" {
					return nil
				}
			}
			text, err := fs.ReadFile(root, path)
			if err != nil {
				return err
			}
			return os.WriteFile(filepath.Join(dir, path), text, 0o644)
		}))
	}
	// Orders and results are of protocols that are not here.
	require.NoError(t, os.Remove(dir+"/protocols/orders.toml"))
	require.NoError(t, os.Remove(dir+"/protocols/results.toml"))
	require.NoError(t, os.Remove(dir+"/protocols/stock.toml"))
	return dir
}

// edited writes a file of a farm with one place of it changed.
func edited(t testing.TB, dir, file, from, to string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, file))
	require.NoError(t, err)
	require.Equal(t, 1, bytes.Count(text, []byte(from)), "%q in %s", from, file)
	require.NoError(t, os.WriteFile(filepath.Join(dir, file), bytes.Replace(text, []byte(from), []byte(to), 1), 0o644))
}

// pagesOf are the pages of some paths in a book made anew from a folder.
func pagesOf(t testing.TB, dir string, ownTemplates bool, paths ...string) map[string]string {
	t.Helper()
	f, err := openFarm(&settings{farm: dir})
	require.NoError(t, err)
	if ownTemplates {
		f.use()
	}
	require.NoError(t, f.verdict(), "%v", f.findings)
	in, err := f.input(bookAsked{})
	require.NoError(t, err)
	pages, err := book.Pages(in)
	require.NoError(t, err)
	out := map[string]string{}
	for _, p := range pages {
		for _, path := range paths {
			if p.Path == path {
				data, err := p.Set()
				require.NoError(t, err)
				out[path] = string(data)
			}
		}
	}
	return out
}

// some of the book's pages: of a protocol that changes, of one that is based on it, of
// another, in both languages, and the farm's.
var viewed = []string{
	"enoki-850/sheet-48.html", "enoki-850/index.html", "enoki-850/working-12.html", "enoki-850/facing-es-48.html", "es/enoki-850/sheet-48.html",
	"enoki-quart/sheet-48.html", "enoki-quart/index.html", "oyster-1100/sheet-48.html", "es/oyster-1100/index.html",
	"index.html", "es/index.html", "reference/limits.html", "guides/glossary.html", "look/book.css", "rooms/index.html", "look/search-index.js",
}

// After each of many changes the pages of a view are those of a book that is made anew
// from the same files, byte for byte, and so are those that are shown at once.
func TestAViewIsTheBook(t *testing.T) {
	dir := viewedFarm(t)
	x := newViewer(&terminal{out: io.Discard, err: io.Discard}, &settings{farm: dir}, viewAsked{ownTemplates: true}, 0)
	require.NoError(t, x.follow(t.Context(), nil))
	steps := []struct {
		name string
		file string
		do   func()
		soon bool // whether pages of protocols are shown before the whole is worked out
	}{
		{"at first", "", func() {}, false},
		{"a number of a protocol", "protocols/oyster-1100.toml", func() { edited(t, dir, "protocols/oyster-1100.toml", "batch_sizes = [", "batch_sizes = [24, ") }, true},
		{"a line that moves all others", "protocols/oyster-1100.toml", func() { edited(t, dir, "protocols/oyster-1100.toml", "format = 1", "\n\n\nformat = 1") }, true},
		{"what another is based on", "protocols/enoki-850.toml", func() { edited(t, dir, "protocols/enoki-850.toml", `mixing = "15 min"`, `mixing = "16 min"`) }, false},
		{"a guide", "site/glossary.md", func() { edited(t, dir, "site/glossary.md", "# Glossary", "# Glossary of this farm") }, true},
		{"a stylesheet", "templates/book.css", func() {
			require.NoError(t, os.MkdirAll(dir+"/templates", 0o755))
			text, err := os.ReadFile("../../templates/book.css")
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(dir+"/templates/book.css", append(text, "\n.lead { font-style: italic; }\n"...), 0o644))
		}, true},
		{"a template", "templates/sheet.html.tmpl", func() {
			text, err := os.ReadFile("../../templates/sheet.html.tmpl")
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(dir+"/templates/sheet.html.tmpl", bytes.Replace(text, []byte("<p class=\"lead\">"), []byte("<p class=\"lead own\">"), 1), 0o644))
		}, true},
		{"a text in a language", "protocols/languages/es.toml", func() {
			text, err := os.ReadFile(dir + "/protocols/languages/es.toml")
			require.NoError(t, err)
			text = regexp.MustCompile(`(?m)^("Enoki in the 850 mL bottle" *= *").*"$`).ReplaceAll(text, []byte(`${1}Enoki cambiado"`))
			require.Contains(t, string(text), "Enoki cambiado")
			require.NoError(t, os.WriteFile(dir+"/protocols/languages/es.toml", text, 0o644))
		}, false},
		{"the farm", "protocols/farm.toml", func() { edited(t, dir, "protocols/farm.toml", "as_of = \"2026-11-26\"", "as_of = \"2026-11-27\"") }, false},
		{"a price", "protocols/farm.toml", func() { edited(t, dir, "protocols/farm.toml", "[price]", "[price] # per kg") }, false},
		{"a protocol more", "protocols/oyster-b.toml", func() {
			text, err := os.ReadFile(dir + "/protocols/oyster-1100.toml")
			require.NoError(t, err)
			text = regexp.MustCompile(`(?m)^number = .*$`).ReplaceAll(text, []byte(`number = "PR-77"`))
			require.NoError(t, os.WriteFile(dir+"/protocols/oyster-b.toml", text, 0o644))
		}, false},
		{"and gone", "protocols/oyster-b.toml", func() { require.NoError(t, os.Remove(dir+"/protocols/oyster-b.toml")) }, false},
	}
	for i, step := range steps {
		step.do()
		if i%3 == 2 && !checks.Whole() { // what follows goes on from there
			require.NoError(t, x.follow(t.Context(), []string{step.file}), step.name)
			continue
		}
		want := pagesOf(t, dir, true, viewed...)
		require.GreaterOrEqual(t, len(want), len(viewed)-2)
		if p := x.soon([]string{step.file}); step.soon {
			if assert.NotNil(t, p, step.name) {
				for path, page := range want {
					if step.name == "a guide" && strings.HasSuffix(path, "/index.html") {
						continue // a note on the guide is the farm's, and told a moment later
					}
					if strings.Contains(path, "-") && !strings.HasPrefix(path, "look/search") || strings.HasPrefix(path, "guides/") {
						data, found, err := p.Page(path)
						require.NoError(t, err, step.name)
						require.True(t, found, "%s: %s", step.name, path)
						same(t, page, string(data), step.name+", at once: "+path)
					}
				}
			}
		} else {
			assert.Nil(t, p, step.name)
		}
		require.NoError(t, x.follow(t.Context(), []string{step.file}), step.name)
		require.NoError(t, x.farm.verdict(), step.name)
		for path, page := range want {
			data, found, err := x.shown.Page(path)
			require.NoError(t, err, step.name)
			require.True(t, found, "%s: %s", step.name, path)
			same(t, page, string(data), step.name+": "+path)
		}
	}
}

// same holds two pages to each other and shows where they part.
func same(t *testing.T, want, got, name string) {
	t.Helper()
	if want == got {
		return
	}
	i := 0
	for i < min(len(want), len(got)) && want[i] == got[i] {
		i++
	}
	t.Errorf("%s is another from byte %d on:\nwant …%.200q\ngot  …%.200q", name, i, want[max(0, i-60):], got[max(0, i-60):])
}

// The pages of a preview are those of the whole book, whether they are asked for one by
// one or with the others.
func TestPreviewHasEachPage(t *testing.T) {
	dir := viewedFarm(t)
	f, err := openFarm(&settings{farm: dir})
	require.NoError(t, err)
	in, err := f.input(bookAsked{})
	require.NoError(t, err)
	pages, err := book.Pages(in)
	require.NoError(t, err)
	p, err := newPreview(in, nil)
	require.NoError(t, err)
	for i, page := range pages {
		all := p.of(page.Path)
		if all == nil {
			continue
		}
		alone, err := all()
		require.NoError(t, err)
		if assert.Contains(t, alone, page.Path) && i%7 == 0 {
			want, err := page.Set()
			require.NoError(t, err)
			got, err := alone[page.Path]()
			require.NoError(t, err)
			same(t, string(want), string(got), page.Path)
		}
	}
	for _, path := range []string{"", "nothing.html", "enoki-850", "enoki-850/", "enoki-850/nothing.html", "fr/enoki-850/index.html", "../protocols/farm.toml", "protocols/farm.toml"} {
		_, found, err := p.Page(path)
		assert.NoError(t, err, path)
		assert.False(t, found, path)
	}
}

// output is what a view prints, read while it prints.
type output struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.text.Write(p)
}

func (o *output) String() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.text.String()
}

// running begins a view of a folder, and gives its address, what it prints, and a way to
// end it that gives its exit code.
func running(t *testing.T, dir string, more ...string) (address string, printed *output, end func() int) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	printed = &output{}
	term := &terminal{out: printed, err: printed}
	c := command(term)
	c.SetArgs(append([]string{"view", "--farm", dir}, more...))
	ended := make(chan int, 1)
	go func() { ended <- term.status(c.ExecuteContext(ctx)) }()
	end = sync.OnceValue(func() int {
		stop()
		select {
		case code := <-ended:
			return code
		case <-time.After(30 * time.Second):
			t.Error("the view does not end")
			return -1
		}
	})
	t.Cleanup(func() { end() })
	at := regexp.MustCompile(`http://127\.0\.0\.1:\d+/`)
	require.Eventually(t, func() bool { address = at.FindString(printed.String()); return address != "" }, time.Minute, 10*time.Millisecond, "no address")
	return address, printed, end
}

// page asks a view for a page.
func page(t *testing.T, address string) (code int, body string) {
	t.Helper()
	answer, err := http.Get(address)
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer.StatusCode, string(text)
}

// becomes waits until a page has or lacks a text.
func becomes(t *testing.T, address string, code int, has, lacks string) string {
	t.Helper()
	var body string
	ok := assert.Eventually(t, func() bool {
		var got int
		got, body = page(t, address)
		return got == code && strings.Contains(body, has) && (lacks == "" || !strings.Contains(body, lacks))
	}, time.Minute, 20*time.Millisecond)
	require.True(t, ok, "%s does not become a page with %q and without %q", address, has, lacks)
	return body
}

// A view follows its folder: changes of each kind of file, errors with their place over
// the pages as they were, and their mending.
func TestAViewFollowsItsFolder(t *testing.T) {
	dir := viewedFarm(t)
	at, printed, end := running(t, dir)
	sheet, file := at+"oyster-1100/sheet-48.html", dir+"/protocols/oyster-1100.toml"
	becomes(t, sheet, 200, `<h1>`, "view-panel")
	good, err := os.ReadFile(file)
	require.NoError(t, err)
	title := regexp.MustCompile(`(?m)^title = .*$`)

	// Written in place, and as editors do it: another file in its place.
	require.NoError(t, os.WriteFile(file, title.ReplaceAll(good, []byte(`title = "Oyster, written in place"`)), 0o644))
	becomes(t, sheet, 200, "Oyster, written in place", "view-panel")
	require.NoError(t, os.WriteFile(dir+"/protocols/.oyster-1100.toml.tmp", title.ReplaceAll(good, []byte(`title = "Oyster, put in its place"`)), 0o644))
	require.NoError(t, os.Rename(dir+"/protocols/.oyster-1100.toml.tmp", file))
	becomes(t, sheet, 200, "Oyster, put in its place", "view-panel")

	// No TOML: the page as it was, and above it the place and the sentences of check.
	require.NoError(t, os.WriteFile(file, bytes.Replace(good, []byte("format = 1"), []byte("format = = 1"), 1), 0o644))
	body := becomes(t, sheet, 200, "view-panel", "")
	assert.Contains(t, body, "Oyster, put in its place", "the page is as it was")
	f, err := openFarm(&settings{farm: dir})
	require.NoError(t, err)
	for _, x := range protocol.Errors(f.findings) {
		assert.Contains(t, body, fmt.Sprintf("protocols/oyster-1100.toml:%d:%d", x.Place.Line, x.Place.Column))
		assert.Contains(t, plain(body), htmlText(f.voice.Say(x.What)))
		assert.Contains(t, plain(body), htmlText(f.voice.Say(x.Hint)))
	}
	require.NotEmpty(t, protocol.Errors(f.findings))
	becomes(t, at, 200, "view-panel", "") // over each page
	require.NoError(t, os.WriteFile(file, good, 0o644))
	becomes(t, sheet, 200, "<h1>", "view-panel")

	// Out of safe limits, mended; a file that goes, and comes back.
	require.NoError(t, os.WriteFile(file, regexp.MustCompile(`(?m)^moisture_wb = .*$`).ReplaceAll(good, []byte(`moisture_wb = "91 %"`)), 0o644))
	becomes(t, sheet, 200, "view-panel", "")
	require.NoError(t, os.Remove(file))
	becomes(t, sheet, 404, "The book has no page here", "")
	becomes(t, at, 200, "enoki-850", "oyster-1100/")
	require.NoError(t, os.WriteFile(file, good, 0o644))
	becomes(t, sheet, 200, "<h1>", "view-panel")

	// A text in another language, a guide, the farm itself.
	es := dir + "/protocols/languages/es.toml"
	texts, err := os.ReadFile(es)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(es, regexp.MustCompile(`(?m)^("Enoki in the 850 mL bottle" *= *").*"$`).ReplaceAll(texts, []byte(`${1}Enoki cambiado"`)), 0o644))
	becomes(t, at+"es/enoki-850/sheet-48.html", 200, "Enoki cambiado", "")
	edited(t, dir, "site/glossary.md", "# Glossary", "# Glossary of this farm")
	becomes(t, at+"guides/glossary.html", 200, "Glossary of this farm", "")
	edited(t, dir, "protocols/farm.toml", "\nname = \"Willow Fork", "\nname = \"Newly named")
	becomes(t, sheet, 200, "Newly named", "")

	assert.Contains(t, printed.String(), "protocols/oyster-1100.toml:", "the terminal has the findings too")
	assert.Equal(t, done, end())
	assert.Contains(t, printed.String(), "the view has ended")
	_, err = os.Stat(dir + "/out")
	assert.ErrorIs(t, err, fs.ErrNotExist, "a view writes nothing")
}

// htmlText is a text as a page has it.
func htmlText(s string) string {
	return plain(strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;", "+", "&#43;").Replace(s))
}

// A view of a folder that has no good book yet shows what stands in its way, and the book
// when it is mended.
func TestAViewBeginsWithErrors(t *testing.T) {
	dir := viewedFarm(t)
	edited(t, dir, "protocols/oyster-1100.toml", "format = 1", "format = = 1")
	at, _, _ := running(t, dir)
	body := becomes(t, at, http.StatusServiceUnavailable, "protocols/oyster-1100.toml:", "")
	assert.Contains(t, body, "There are no pages yet")
	edited(t, dir, "protocols/oyster-1100.toml", "format = = 1", "format = 1")
	becomes(t, at, 200, "oyster-1100", "view-panel")
}

// A template of the farm's own that fails only when a page is set: that page says so, as
// it was before, and the others are shown.
func TestAViewOfAFailingTemplate(t *testing.T) {
	dir := viewedFarm(t)
	require.NoError(t, os.Mkdir(dir+"/templates", 0o755))
	text, err := os.ReadFile("../../templates/sheet.html.tmpl")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(dir+"/templates/sheet.html.tmpl", append(text, "{{/* own */}}"...), 0o644))
	at, _, _ := running(t, dir, "--own-templates")
	sheet := at + "oyster-1100/sheet-48.html"
	becomes(t, sheet, 200, "<h1>", "view-panel")
	spoiled := bytes.Replace(text, []byte(`{{template "sheet-front" .}}`), []byte(`{{template "sheet-front" .}}{{index .Stations 99999}}`), 1)
	require.NotEqual(t, text, spoiled)
	require.NoError(t, os.WriteFile(dir+"/templates/sheet.html.tmpl", spoiled, 0o644))
	body := becomes(t, sheet, 200, "templates/sheet.html.tmpl:", "")
	assert.Contains(t, body, "<h1>", "the page is as it was")
	becomes(t, at, 200, "oyster-1100", "view-panel")
}

// A link in the farm folder that leads out of it is an error, and nothing of what it leads
// to is ever served.
func TestAViewFollowsNoLinkOut(t *testing.T) {
	secret := filepath.Join(t.TempDir(), "secret.md")
	require.NoError(t, os.WriteFile(secret, []byte("# Nobody may read this\n"), 0o644))
	dir := viewedFarm(t)
	at, _, _ := running(t, dir)
	becomes(t, at, 200, "oyster-1100", "view-panel")
	require.NoError(t, os.Symlink(secret, dir+"/site/secret.md"))
	require.NoError(t, os.Symlink(secret, dir+"/protocols/secret.toml"))
	require.NoError(t, os.Symlink(filepath.Dir(secret), dir+"/site/linked"))
	body := becomes(t, at, 200, "site/secret.md", "")
	assert.Contains(t, body, "protocols/secret.toml")
	for _, path := range []string{"", "guides/secret.html", "site/secret.md", "secret.md", "site/linked/secret.md", "guides/linked/secret.md", "protocols/secret.toml", "protocols/farm.toml", "farm.toml"} {
		code, body := page(t, at+path)
		assert.NotContains(t, body, "Nobody may read this", path)
		if path != "" {
			assert.NotEqual(t, http.StatusOK, code, path)
		}
	}
}

// A second view on a port says that it is taken.
func TestPortIsTaken(t *testing.T) {
	dir := viewedFarm(t)
	at, _, _ := running(t, dir)
	port := strings.TrimSuffix(at[strings.LastIndexByte(at, ':')+1:], "/")
	printed := &output{}
	term := &terminal{out: printed, err: printed}
	c := command(term)
	c.SetArgs([]string{"view", "--farm", dir, "--port", port})
	assert.Equal(t, environment, term.status(c.ExecuteContext(t.Context())))
	assert.Contains(t, printed.String(), "port "+port+" is in use")
}

// A page that is open in a browser shows a change by itself where it was scrolled to, runs
// by its policy, and is let alone by a change that it does not show.
func TestAnOpenPageShowsTheChange(t *testing.T) {
	ctx := browser(t)
	dir := viewedFarm(t)
	at, _, _ := running(t, dir)
	sheet := at + "oyster-1100/sheet-48.html"
	messages := console(ctx)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(sheet)))
	run := func(script string) string {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](script, chromedp.EvalAwaitPromise))
		require.NoError(t, err)
		return got
	}
	run(`scrollTo(0, 900); window.untouched = "yes"; ""`)
	becomesInPage := func(script, want string) {
		t.Helper()
		got := ""
		ok := assert.Eventually(t, func() bool {
			var err error
			got, err = chromedp.Run(ctx, chromedp.Evaluate[string](script, chromedp.EvalAwaitPromise))
			return err == nil && got == want
		}, time.Minute, 50*time.Millisecond)
		require.True(t, ok, "%s is %q, not %q", script, got, want)
	}
	// Another protocol: this page has no need to be loaded again.
	edited(t, dir, "protocols/enoki-850.toml", `mixing = "15 min"`, `mixing = "16 min"`)
	becomes(t, at+"enoki-850/sheet-48.html", 200, "16", "")
	time.Sleep(500 * time.Millisecond) // in which it would be
	assert.Equal(t, "yes", run(`window.untouched || "no"`))
	// Its own title.
	file := dir + "/protocols/oyster-1100.toml"
	good, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, regexp.MustCompile(`(?m)^title = .*$`).ReplaceAll(good, []byte(`title = "Oyster as it is now"`)), 0o644))
	becomesInPage(`String(document.title.includes("Oyster as it is now") && document.readyState === "complete")`, "true")
	becomesInPage(`String(scrollY)`, "900")
	assert.Equal(t, "no", run(`window.untouched || "no"`))
	// An error, and its mending.
	require.NoError(t, os.WriteFile(file, bytes.Replace(good, []byte("format = 1"), []byte("format = = 1"), 1), 0o644))
	becomesInPage(`String(document.querySelector(".view-panel") !== null && document.title.includes("Oyster as it is now"))`, "true")
	require.NoError(t, os.WriteFile(file, good, 0o644))
	becomesInPage(`String(document.querySelector(".view-panel") === null && !document.title.includes("Oyster as it is now"))`, "true")
	select {
	case m := <-messages:
		t.Errorf("the browser complains: %s", m)
	default:
	}
}
