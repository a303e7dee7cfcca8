package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/rescale"
	"bottlecrop/cmd/internal/words"
)

// moduleBook has the sheets of two protocols of the demo farm for 48 vessels, in both
// languages, with the module; and its sessions, by protocol and folder. It is made once.
func moduleBook(t testing.TB) (folder string, sessions map[string]*rescale.Session) {
	t.Helper()
	folder = sharedFolder(t, "module")
	if shared.module != nil {
		return folder, shared.module
	}
	module, err := builtModule()
	require.NoError(t, err)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	sessions = map[string]*rescale.Session{}
	bound := func(f *farm, tag string) book.Input {
		in := book.Input{Edition: f.edition(), Guides: f.printed(f.guides), Library: f.folder.Library, Module: module}
		in.Edition.AnySize, in.Edition.Folder = true, tag
		for _, e := range f.entries {
			if name := e.Method.Protocol; name == "enoki-850" || name == "lions-mane-950" {
				e.Batches = e.Batches[:2]
				in.Entries = append(in.Entries, e)
				c, err := rescale.Carry(in.Edition, e.Process, e.Method, "")
				require.NoError(t, err)
				data, err := c.Encode()
				require.NoError(t, err)
				s, err := rescale.Open(data, words.Catalog(f.voice), 48)
				require.NoError(t, err)
				sessions[tag+"/"+name] = s
			}
		}
		return in
	}
	in := bound(f, "")
	for _, tag := range f.languages()[1:] {
		other, err := f.in(tag)
		require.NoError(t, err)
		in.Others = append(in.Others, bound(other, tag))
	}
	pages, err := book.Pages(in)
	require.NoError(t, err)
	pages = slices.DeleteFunc(pages, func(p book.Page) bool {
		return path.Ext(p.Path) == ".html" && !strings.HasSuffix(p.Path, "/sheet-48.html")
	})
	require.NoError(t, book.Publish(t.Context(), folder, pages, nil, nil))
	shared.module = sessions
	return folder, sessions
}

// sheetTold is what a sheet says below its heading, its form left out: the same in the text
// of a page and in a browser.
const sheetTold = `[...document.querySelectorAll("main > section, main > .stations, main dl.which, footer.running-foot")].map(e => e.textContent).join(" ").replace(/\s+/g, " ").trim()`

// toldIn is that of the text of a page.
func toldIn(t *testing.T, page string) string {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var all []string
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		class := ""
		for _, a := range n.Attr {
			if a.Key == "class" {
				class = a.Val
			}
		}
		inMain := n.Parent != nil && n.Parent.Data == "main"
		if inMain && (n.Data == "section" || class == "stations") || n.Data == "dl" && class == "which" || n.Data == "footer" {
			var b strings.Builder
			for x := range n.Descendants() {
				if x.Type == html.TextNode {
					b.WriteString(x.Data)
				}
			}
			all = append(all, b.String())
		}
	}
	return strings.TrimSpace(regexp.MustCompile(`[\s\x{00a0}]+`).ReplaceAllString(strings.Join(all, " "), " "))
}

// touched is what is run in a page as somebody writes a number into its heading: what
// becomes of the focus, the caret, the place of the field, the address and the status.
const touched = `(async () => {
	const wait = async (what, done) => { for (let i = 0; i < 6000 && !done(); i++) await new Promise(r => setTimeout(r, 20)); if (!done()) throw new Error("waited in vain for " + what); };
	const field = document.querySelector("h1 input.figure-of-size");
	const before = field.getBoundingClientRect();
	field.focus();
	await wait("the module", () => document.body.dataset.ready);
	field.value = "137";
	field.setSelectionRange(2, 2);
	const began = performance.now();
	field.dispatchEvent(new Event("input", { bubbles: true }));
	await wait("the sheet", () => document.body.dataset.anew === "n=137");
	const took = performance.now() - began;
	const after = document.querySelector("h1 input.figure-of-size").getBoundingClientRect();
	return {
		took, status: document.querySelector("[role=status]").textContent, hash: location.hash, title: document.title,
		focus: document.activeElement === field && field.isConnected, caret: field.selectionStart, moved: Math.abs(after.x - before.x) + Math.abs(after.y - before.y),
		heading: document.querySelector("h1").textContent,
	};
})()`

type touch struct {
	Took, Moved                  float64
	Status, Hash, Title, Heading string
	Focus                        bool
	Caret                        int
}

// A sheet is worked out in a browser, from the disk and over http, in both languages: it
// says what the program says, the field keeps focus, caret and place, and nothing is
// refused by the policy of the page.
func TestRescaleInABrowser(t *testing.T) {
	ctx := browser(t)
	folder, sessions := moduleBook(t)
	server := httptest.NewServer(http.FileServer(http.Dir(folder)))
	defer server.Close()
	messages := console(ctx)
	places := []struct{ at, of string }{
		{"file://" + folder, "/enoki-850"}, {"file://" + folder, "es/lions-mane-950"}, {server.URL, "/enoki-850"}, {server.URL, "es/lions-mane-950"},
	}
	for _, p := range checks.Every(5, places) {
		page := p.at + "/" + strings.TrimPrefix(p.of, "/") + "/sheet-48.html"
		require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(page)))
		got, err := chromedp.Run(ctx, chromedp.Evaluate[touch](touched, chromedp.EvalAwaitPromise))
		require.NoError(t, err, page)
		want, err := sessions[p.of].Restore("n=137")
		require.NoError(t, err)
		assert.Equal(t, "#n=137", got.Hash)
		assert.Equal(t, want.Said, got.Status)
		assert.Contains(t, want.Page, "<title>"+html.EscapeString(got.Title)+"</title>")
		assert.True(t, got.Focus, "the field keeps the focus")
		assert.Equal(t, 2, got.Caret)
		assert.Less(t, got.Moved, 1.0, "the field stays where it was")
		assert.NotContains(t, got.Heading, "48")
		t.Logf("%s: %.0f ms from the key to the sheet", page, got.Took)
		shown, err := chromedp.Run(ctx, chromedp.Evaluate[string](sheetTold))
		require.NoError(t, err)
		assert.Equal(t, toldIn(t, want.Page), strings.ReplaceAll(shown, "\u00a0", " "))
		// An address gives the same, and the way back leads to what was before.
		for _, fragment := range checks.Every(2, []string{"good=60&start=2027-02-01", "short.gypsum=300g", "n=61&page=record"}) {
			require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(page+"#"+fragment)))
			shown := shownAt(t, ctx, fragment)
			want, err := sessions[p.of].Restore(fragment)
			require.NoError(t, err)
			assert.Equal(t, toldIn(t, want.Page), shown, fragment)
		}
	}
	select {
	case m := <-messages:
		t.Errorf("the browser complains: %s", m)
	default:
	}
	// Without WebAssembly a sentence says so, and the printed sizes remain.
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("file://"+folder+"/enoki-850/sheet-48.html")))
	said, err := chromedp.Run(ctx, chromedp.Evaluate[string](`(async () => {
		delete globalThis.WebAssembly;
		document.querySelector("h1 input").focus();
		for (let i = 0; i < 3000 && !document.querySelector("[role=status]").textContent.includes("printed sizes"); i++) await new Promise(r => setTimeout(r, 20));
		return document.querySelector("[role=status]").textContent + " " + document.querySelector(".other-sizes").textContent;
	})()`, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	assert.Contains(t, said, "Use one of the printed sizes")
	assert.Contains(t, said, "12")
}

// shownAt waits for what an address asks for, and reads it.
func shownAt(t *testing.T, ctx context.Context, fragment string) string {
	t.Helper()
	shown, err := chromedp.Run(ctx, chromedp.Evaluate[string](fmt.Sprintf(`(async () => {
		for (let i = 0; i < 6000 && document.body.dataset.anew !== %q; i++) await new Promise(r => setTimeout(r, 20));
		return %s;
	})()`, fragment, sheetTold), chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	return strings.ReplaceAll(shown, "\u00a0", " ")
}

// On paper each sheet of a document that was worked out anew says what it is: its id and
// its own fingerprint at the foot, and at the head that the run is not approved. What was
// changed stands on the first.
func TestRescaledPaper(t *testing.T) {
	ctx := browser(t)
	need(t, "pdftotext")
	folder, sessions := moduleBook(t)
	for _, asked := range checks.Every(7, []struct{ fragment, first string }{
		{"n=137", "137 bottles to grow"},
		{"n=37&start=2027-02-01&air=85kPa", "in place of"}, // the runs are solved anew, which takes seconds
		{"n=137&page=record", ""},
		{"n=137&m.soy-hull=14&page=load-map", ""},
		{"n=37&air=85kPa&page=card-filling", ""},
		{"n=37&start=2027-02-01&page=training", ""},
	}) {
		fragment, first := asked.fragment, asked.first
		require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate("file://"+folder+"/enoki-850/sheet-48.html#"+fragment)))
		shownAt(t, ctx, fragment)
		_, pages := asPrinted(t, ctx, fragment, "-layout")
		want, err := sessions["/enoki-850"].Restore(fragment)
		require.NoError(t, err)
		mark := regexp.MustCompile(`class="fingerprint">([0-9a-f-]+)&#43;([0-9a-f]{4})<`).FindStringSubmatch(want.Page)
		require.NotNil(t, mark, fragment)
		for i, text := range pages {
			where := fmt.Sprintf("%s, page %d of %d", fragment, i+1, len(pages))
			assert.Contains(t, text, mark[1]+"+"+mark[2], where)
			assert.Equal(t, strings.Contains(fragment, "air="), strings.Contains(text, "NOT APPROVED"), where)
		}
		assert.Contains(t, strings.Join(strings.Fields(pages[0]), " "), first, fragment)
		assert.NotContains(t, strings.Join(pages, " "), "Write another number", "the form is not printed")
	}
}

// Firefox opens a sheet from the disk and works it out as well.
func TestRescaleInFirefox(t *testing.T) {
	const asked = "BOTTLECROP_FIREFOX"
	firefox := os.Getenv(asked)
	if firefox == "" {
		t.Skipf("%s does not say where Firefox is; .ci/long installs it and runs this test", asked)
	}
	need(t, "node")
	folder, sessions := moduleBook(t)
	c := exec.Command("node", "--experimental-websocket", "testdata/module/firefox.mjs", firefox, t.TempDir(), "file://"+folder+"/enoki-850/sheet-48.html")
	c.Stderr = os.Stderr
	out, err := c.Output()
	require.NoError(t, err)
	var got struct {
		Ready                    float64
		Focus                    bool
		Title, Rules, Kind, Told string
	}
	require.NoError(t, json.Unmarshal(out, &got), string(out))
	want, err := sessions["/enoki-850"].Restore("n=137")
	require.NoError(t, err)
	assert.Equal(t, toldIn(t, want.Page), strings.ReplaceAll(got.Told, "\u00a0", " "))
	assert.Equal(t, "sheet", got.Kind)
	assert.True(t, got.Focus, "the field keeps the focus")
	assert.Contains(t, got.Rules, "@page", "the paper's rule is that of the new sheet")
	t.Logf("ready after %.0f ms", got.Ready)
}
