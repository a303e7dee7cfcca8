package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// need skips a test that needs a program which the machine does not have, and
// fails it in CI.
func need(t *testing.T, program string) {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("this test needs %s, and in CI it may not be skipped", program)
		}
		t.Skipf("this machine has no %s; .ci/run installs it", program)
	}
}

// some is all of a list in CI, and every eighth elsewhere: the first tier of tests is
// to take under two minutes, and a browser is slow.
func some[T any](list []T) []T {
	if os.Getenv("CI") != "" {
		return list
	}
	var out []T
	for i := 0; i < len(list); i += 8 {
		out = append(out, list[i])
	}
	return out
}

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

// measure is run in a page: how far it is wider than the window, targets that
// are too small to hit, and whether our font has come.
const measure = `(async () => {
	await document.fonts.ready;
	const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
	const small = [];
	for (const e of document.querySelectorAll('a, input, summary, button')) {
		const r = e.getBoundingClientRect();
		if (!r.width || getComputedStyle(e).display === 'inline') continue;
		if (r.width < 24 || r.height < 24) small.push(e.outerHTML.slice(0, 80));
	}
	const fonts = [...document.fonts].filter(f => f.status === 'loaded').length;
	return {wide, small, fonts, ground: getComputedStyle(document.documentElement).backgroundColor + getComputedStyle(document.body).backgroundColor};
})()`

type measured struct {
	Wide   float64  `json:"wide"`
	Small  []string `json:"small"`
	Fonts  int      `json:"fonts"`
	Ground string   `json:"ground"`
}

// Pages work from file://: no request leaves the book, nothing is refused, the
// font comes; no page is wider than its window down to 320 CSS px (WCAG 2.2,
// 1.4.10), and every target is at least 24 px (2.5.8).
func TestPagesInABrowser(t *testing.T) {
	ctx := browser(t)
	out := demoBook(t)
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank")))
	requests := chromedp.Events(ctx, network.RequestWillBeSent)
	_, err := chromedp.Run(ctx, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, tab, network.Enable, network.EnableParams{})
	})
	require.NoError(t, err)
	go func() {
		for r, err := range requests {
			if err != nil {
				return
			}
			if !strings.HasPrefix(r.Request.URL, "file://") && !strings.HasPrefix(r.Request.URL, "data:") && r.Request.URL != "about:blank" {
				t.Errorf("a request leaves the book: %s", r.Request.URL)
			}
		}
	}()
	messages := make(chan string, 100)
	go func() {
		for m, err := range chromedp.Console(ctx) {
			if err != nil {
				return
			}
			messages <- m.String()
		}
	}()
	for _, scheme := range []string{"light", "dark"} {
		_, err := chromedp.Run(ctx, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
			return cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
		})
		require.NoError(t, err)
		for _, page := range some(kinds) {
			widths := []int64{1280, 390, 320}
			if scheme == "dark" {
				widths = widths[1:2] // colors move nothing
			}
			for _, width := range widths {
				name := fmt.Sprintf("%s, %s, %d px", page, scheme, width)
				require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate("file://"+filepath.Join(out, page))), name)
				got, err := chromedp.Run(ctx, chromedp.Evaluate[measured](measure, chromedp.EvalAwaitPromise))
				require.NoError(t, err, name)
				assert.LessOrEqual(t, got.Wide, 0.0, "%s scrolls sideways", name)
				assert.Empty(t, got.Small, "%s has targets under 24 px", name)
				assert.Greater(t, got.Fonts, 0, "%s did not load the font", name)
			}
		}
	}
	select {
	case m := <-messages:
		t.Errorf("the browser complains: %s", m)
	default:
	}
}
