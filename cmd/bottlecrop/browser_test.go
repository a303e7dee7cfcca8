package main

import (
	"context"
	"os"
	"os/exec"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// need skips a test that needs a program which the machine does not have, and
// fails it in CI.
func need(t testing.TB, program string) {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("this test needs %s, and in CI it may not be skipped", program)
		}
		t.Skipf("this machine has no %s; .ci/run installs it", program)
	}
}

// some is all of a list in CI, and every eighth elsewhere: the first tier of tests is
// to be run often, and a browser is slow.
func some[T any](list []T) []T { return checks.Every(8, list) }

// few is all of a long list in CI, and every 211th elsewhere. That is a prime: what a list
// has by turns, books and widths, comes up by turns.
func few[T any](list []T) []T { return checks.Every(211, list) }

// kinds are one page of each kind.
var kinds = []string{
	"index.html", "enoki-850/index.html", "enoki-850/sheet-48.html", "enoki-quart/sheet-400.html",
	"oyster-1100/working-12.html", "guides/pressure-vessels.html", "guides/how-to-use-this-book.html",
	"library/species.html", "library/ingredients.html", "library/vessels.html", "library/sterilizers.html",
	"library/troubles.html", "enoki-850/troubles.html", "enoki-850/sterilizer-card.html",
	"reference/limits.html", "search.html?q=bran", "index-of-words.html",
	"start-of-shift.html", "hygiene.html", "lions-mane-950/trainer.html", "beech-850/release.html", "guides/glossary.html", "guides/chemicals.html",
	"enoki-850/card-sterilizing-48.html", "beech-850/card-fruiting-400.html", "enoki-850/wall-cards-48.html",
	"enoki-850/record-48.html", "beech-850/record-400.html", "enoki-850/labels-48.html", "enoki-850/load-map-400.html", "enoki-850/training-48.html", "lions-mane-950/training-key-12.html",
	"enoki-850/evidence.html", "enoki-850/spawn.html", "enoki-850/sterilizer-card.html", "rooms/index.html", "rooms/cold.html", "rooms/incubation.html", "results.html", "results-working.html", "trace.html", "season.html", "weeks/2027-W09.html",
}

// measure is run in a page: targets that are too small to hit, and whether our font has
// come.
const measure = `(async () => {
	await document.fonts.ready;
	const small = [];
	for (const e of document.querySelectorAll('a, input, summary, button')) {
		const r = e.getBoundingClientRect();
		if (!r.width || getComputedStyle(e).display === 'inline') continue;
		if (r.width < 24 || r.height < 24) small.push(e.outerHTML.slice(0, 80));
	}
	const fonts = [...document.fonts].filter(f => f.status === 'loaded').length;
	return {small, fonts};
})()`

type measured struct {
	Small []string `json:"small"`
	Fonts int      `json:"fonts"`
}

// Pages of each kind and in both languages work from file://: no request leaves the
// book, nothing is refused, the font comes; and every target is at least 24 px (WCAG 2.2,
// 2.5.8), on a desk and on a phone, in light and dark, in large type too.
func TestPagesInABrowser(t *testing.T) {
	ctx := browser(t)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank")))
	requests := chromedp.Events(ctx, network.RequestWillBeSent)
	_, err := chromedp.Run(ctx, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, tab, network.Enable, network.EnableParams{})
	})
	require.NoError(t, err)
	books := []string{"file://" + sharedFolder(t, "demo") + "/", "file://" + sharedFolder(t, "large") + "/"}
	var asked atomic.Int64
	go func() {
		for r, err := range requests {
			if err != nil {
				return
			}
			asked.Add(1)
			if url := r.Request.URL; !strings.HasPrefix(url, books[0]) && !strings.HasPrefix(url, books[1]) && !strings.HasPrefix(url, "data:") && url != "about:blank" {
				t.Errorf("a request leaves the book: %s", url)
			}
		}
	}()
	messages := console(ctx)
	type view struct {
		shelved
		scheme string
		width  int64
	}
	var views []view
	for _, page := range kinds {
		for _, p := range []shelved{{demoBook, page}, {demoBook, "es/" + page}, {largeBook, page}} {
			views = append(views, view{p, "light", 1280}, view{p, "dark", 390})
		}
	}
	views = few(views)
	for _, v := range views {
		seenAs(t, ctx, "screen", "prefers-color-scheme: "+v.scheme)
		name := opened(t, ctx, v.book(t), v.page, v.width) + ", " + v.scheme
		got, err := chromedp.Run(ctx, chromedp.Evaluate[measured](measure, chromedp.EvalAwaitPromise))
		require.NoError(t, err, name)
		assert.Empty(t, got.Small, "%s has targets under 24 px", name)
		assert.Greater(t, got.Fonts, 0, "%s did not load the font", name)
	}
	assert.Greater(t, asked.Load(), int64(2*len(views)), "requests were not recorded: each page asks for its stylesheet and its font")
	select {
	case m := <-messages:
		t.Errorf("the browser complains: %s", m)
	default:
	}
}

// console has what pages of a browser say on its console, without waiting for who reads
// it, up to a hundred messages.
func console(ctx context.Context) <-chan string {
	messages := make(chan string, 100)
	go func() {
		for m, err := range chromedp.Console(ctx) {
			if err != nil {
				return
			}
			messages <- m.String()
		}
	}()
	return messages
}
