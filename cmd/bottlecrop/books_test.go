package main

import (
	"context"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/rescale"
	"bottlecrop/cmd/internal/words"
)

// What tests of pages share: a browser with a tab for each test, and the demo farm's
// book in several ways, each made by the first test that opens it. None of them may
// leave a page other than it was.
var shared struct {
	folder  string
	books   map[string]string
	module  map[string]*rescale.Session // of moduleBook, once it is made
	browser context.Context
	close   context.CancelFunc
}

// unshare ends the browser and removes the books.
func unshare() {
	if shared.close != nil {
		shared.close()
	}
	if shared.folder != "" {
		_ = os.RemoveAll(shared.folder) // in the system's folder for what is temporary
	}
}

// sharedFolder is a folder that is there until the last test has ended.
func sharedFolder(t testing.TB, name string) string {
	t.Helper()
	if shared.folder == "" {
		dir, err := os.MkdirTemp("", "bottlecrop-tests-")
		require.NoError(t, err)
		shared.folder, shared.books = dir, map[string]string{}
	}
	return filepath.Join(shared.folder, name)
}

// browser is a tab of headless Chromium. On a machine without one it skips the test,
// and in CI it fails.
func browser(t testing.TB) context.Context {
	t.Helper()
	need(t, "chromium")
	if shared.browser == nil {
		options := append(chromedp.DefaultExecAllocatorOptions[:],
			chromedp.ExecPath("chromium"), chromedp.NoSandbox, chromedp.DisableGPU,
			chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
			chromedp.UserDataDir(sharedFolder(t, "browser")))
		ctx, end := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, quit := chromedp.NewContext(ctx)
		shared.close = func() { quit(); end() }
		require.NoError(t, chromedp.Do(ctx)) // starts it
		shared.browser = ctx
	}
	ctx, cancel := chromedp.NewContext(shared.browser)
	t.Cleanup(cancel)
	require.NoError(t, chromedp.Do(ctx)) // opens the tab, without an end
	ctx, cancel = context.WithTimeout(ctx, 20*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// demoBook is the demo farm's book, in both of its languages: the second is in the
// folder es.
func demoBook(t *testing.T) string {
	t.Helper()
	return sharedBook(t, "demo", func(*farm) {})
}

// largeBook is the same in large type.
func largeBook(t *testing.T) string {
	t.Helper()
	return sharedBook(t, "large", func(f *farm) { f.written.Farm.LargeType, f.folder.Farm.LargeType = true, true })
}

// pseudoBook is the demo farm's book in the pseudo-language alone. What authors wrote
// stays as it is.
func pseudoBook(t *testing.T) string {
	t.Helper()
	return sharedBook(t, "pseudo", func(f *farm) {
		f.voice = words.Pseudo(f.voice.Units())
		f.written.Farm.Languages, f.folder.Farm.Languages = nil, nil
	})
}

// isOpened reports whether a page is one that tests open in every book.
func isOpened(page string) bool {
	page = strings.TrimPrefix(page, "es/")
	_, printed := onPapers[page]
	return printed || slices.ContainsFunc(kinds, func(kind string) bool {
		kind, _, _ = strings.Cut(kind, "?")
		return kind == page
	})
}

// sized are the pages of one batch size.
var sized = regexp.MustCompile(`-[0-9]+\.html$`)

// sharedBook is a book of the demo farm with a change to the farm, made once. Outside CI
// only the demo's own has pages that no test opens, and of larger batches the sheets alone.
func sharedBook(t *testing.T, name string, change func(*farm)) string {
	t.Helper()
	out := sharedFolder(t, name)
	if shared.books[name] != "" {
		return out
	}
	f, err := readFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	defer f.close()
	change(f)
	f.open(nil)
	require.NoError(t, f.verdict())
	in, err := f.input(bookAsked{})
	require.NoError(t, err)
	pages, err := book.Pages(in)
	require.NoError(t, err)
	pages = slices.DeleteFunc(pages, func(p book.Page) bool {
		switch {
		case checks.Whole() || path.Ext(p.Path) != ".html" || isOpened(p.Path):
			return false
		case name == "demo":
			return sized.MatchString(p.Path) && !strings.HasSuffix(p.Path, "-12.html") && !strings.Contains(p.Path, "/sheet-")
		}
		return true
	})
	require.NoError(t, book.Publish(t.Context(), out, pages, nil, nil))
	shared.books[name] = out
	return out
}
