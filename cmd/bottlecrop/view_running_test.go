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

	"bottlecrop/cmd/internal/protocol"
)

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
