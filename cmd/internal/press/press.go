// Package press prints pages to PDF, through a Chromium that is installed on the
// machine. It knows files and bytes, and nothing of what stands on a page.
//
// The same page and browser give the same bytes: the dates that the browser puts in
// are taken out again.
package press

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"bottlecrop/cmd/internal/filing"
)

// Programs are the names under which a browser that can print is looked for.
var Programs = []string{"chromium", "chromium-browser", "chrome"}

// NoBrowser says that no browser is there to print with.
type NoBrowser struct {
	Asked string // what was asked for; "" where Programs were looked for
}

func (e *NoBrowser) Error() string {
	if e.Asked != "" {
		return fmt.Sprintf("press: %s is no program that could be run", e.Asked)
	}
	return fmt.Sprintf("press: none of %s is installed", strings.Join(Programs, ", "))
}

// Find looks for the browser that was asked for, a program's name or path, or for one
// of Programs where none was. The error is a *NoBrowser.
func Find(asked string) (string, error) {
	names := Programs
	if asked != "" {
		names = []string{asked}
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", &NoBrowser{asked}
}

// patience is how long one page may take to print: the longest of ours takes some 2
// s on a slow machine (design choice).
const patience = 2 * time.Minute

// Press is a browser at work. Its pages are printed one after another.
type Press struct {
	tab    context.Context
	close  []func()
	own    string // the folder that the browser keeps its things in
	remove func() error
}

// Open starts a browser, by the path that Find gave. It has nothing of its user's,
// reaches no network, and runs no script of a page.
func Open(ctx context.Context, browser string) (*Press, error) {
	own, remove, err := filing.Scratch("press", sweep)
	if err != nil {
		return nil, err
	}
	p := &Press{own: own, remove: remove}
	options := append(chromedp.DefaultExecAllocatorOptions[:len(chromedp.DefaultExecAllocatorOptions):len(chromedp.DefaultExecAllocatorOptions)],
		chromedp.ExecPath(browser), chromedp.UserDataDir(own), chromedp.DisableGPU,
		// Should anything ask for the network, it finds none.
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND"), chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("disable-background-networking", true),
		// Letters are set alike whatever the screen.
		chromedp.Flag("font-render-hinting", "none"), chromedp.Flag("force-color-profile", "srgb"), chromedp.Flag("lang", "en-US"))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox) // its sandbox refuses the superuser, as in a container
	}
	allocated, done := chromedp.NewExecAllocator(ctx, options...)
	p.close = append(p.close, done)
	tab, done := chromedp.NewContext(allocated)
	p.close = append(p.close, done)
	p.tab = tab
	if err := chromedp.Do(tab, chromedp.Navigate("about:blank"), quiet); err != nil {
		return nil, errors.Join(fmt.Errorf("press: %s does not start: %w", browser, err), p.Close())
	}
	return p, nil
}

// quiet turns off the scripts of pages in the tab.
func quiet(ctx context.Context, tab *chromedp.Target) (chromedp.Void, error) {
	_, err := cdp.Call(ctx, tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
	return chromedp.Void{}, err
}

// Close ends the browser and removes what it kept.
func (p *Press) Close() error {
	ended := p.tab != nil && p.tab.Err() != nil
	for i := len(p.close) - 1; i >= 0; i-- {
		p.close[i]()
	}
	sweep(p.own)
	err := os.RemoveAll(p.own)
	for range stragglers {
		if !ended {
			break
		}
		time.Sleep(straggle) // what the browser had started may still write there
		if _, gone := os.Lstat(p.own); gone != nil && err == nil {
			break
		}
		sweep(p.own)
		err = os.RemoveAll(p.own)
	}
	return errors.Join(err, p.remove())
}

// How often, and how long apart, the folder of a browser that was ended in the middle
// of its work is looked at again (design choice).
const (
	stragglers = 20
	straggle   = 100 * time.Millisecond
)

// sweep removes what a browser leaves beside its own folder when it is ended in the
// middle of its work: a folder for the socket by which a second one would find it. A
// link in its own folder says where that is.
func sweep(own string) {
	socket, err := os.Readlink(filepath.Join(own, "SingletonSocket"))
	if err != nil || !filepath.IsAbs(socket) {
		return // it has ended in order, or never began
	}
	beside := filepath.Dir(socket)
	for _, name := range []string{"SingletonSocket", "SingletonCookie"} {
		_ = os.Remove(filepath.Join(beside, name))
	}
	_ = os.Remove(beside) // if nothing else is in it
}

// Print prints a page, by the path of its file, on the paper that its style names.
// The PDF is tagged, has the headings as bookmarks, and the page's own title and
// language.
func (p *Press) Print(file string) ([]byte, error) {
	file, err := filepath.Abs(file)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(file); err != nil {
		return nil, err // the browser would print a page that says so
	}
	address := url.URL{Scheme: "file", Path: filepath.ToSlash(file)}
	if !strings.HasPrefix(address.Path, "/") {
		address.Path = "/" + address.Path // a drive's letter
	}
	ctx, cancel := context.WithTimeout(p.tab, patience)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate(address.String())); err != nil {
		return nil, fmt.Errorf("press: %s can't be opened: %w", file, err)
	}
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFOutlineAndTagged(), chromedp.PDFStream()))
	if err != nil {
		return nil, fmt.Errorf("press: %s can't be printed: %w", file, err)
	}
	return undated(pdf)
}
