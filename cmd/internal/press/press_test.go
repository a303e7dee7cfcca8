package press

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// browser finds one, or skips the test on a machine without. In CI a missing browser
// fails.
func browser(t *testing.T) string {
	t.Helper()
	browser, err := Find("")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%v, and in CI this test may not be skipped", err)
		}
		t.Skipf("%v; .ci/run installs it", err)
	}
	return browser
}

// start opens a press.
func start(t *testing.T) *Press {
	t.Helper()
	p, err := Open(t.Context(), browser(t))
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, p.Close()) })
	return p
}

// shared is one press for tests that only print.
func shared(t *testing.T) *Press {
	t.Helper()
	if common == nil {
		p, err := Open(context.Background(), browser(t))
		require.NoError(t, err)
		common = p
	}
	return common
}

var common *Press

func TestMain(m *testing.M) {
	code := m.Run()
	if common != nil {
		if err := common.Close(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

// tool runs one of the PDF tools, or skips the test as start does.
func tool(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("no %s, and in CI this test may not be skipped", name)
		}
		t.Skipf("no %s on this machine; .ci/run installs it", name)
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(t, err, "%s: %s", name, out)
	return string(out)
}

// page is a document of several pages with links between them.
func page(t *testing.T, extra string) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(`<!doctype html><html lang="es"><meta charset="utf-8"><title>Vacío (año) · ñ</title><style>@page { size: A4; margin: 20mm } h2 { break-before: page }</style><h1 id="top">Contents</h1><ul>`)
	for i := range 20 {
		fmt.Fprintf(&b, `<li><a href="#part-%d">part</a>`, i)
	}
	b.WriteString(`</ul>`)
	for i := range 20 {
		fmt.Fprintf(&b, `<h2 id="part-%d">Station %d</h2><p>Text of it.</p><table><tr><th scope="col">Scale</th><th scope="col">kg</th></tr><tr><td headers="x">bench</td><td>4</td></tr></table>`, i, i)
	}
	b.WriteString(extra)
	at := filepath.Join(t.TempDir(), "a page%3f é#.html")
	require.NoError(t, os.WriteFile(at, []byte(b.String()), 0o644))
	return at
}

// A page is printed whole: tagged, with bookmarks, its title and language, in form.
func TestPrint(t *testing.T) {
	pdf, err := shared(t).Print(page(t, ""))
	require.NoError(t, err)
	at := filepath.Join(t.TempDir(), "a.pdf")
	require.NoError(t, os.WriteFile(at, pdf, 0o644))

	assert.Contains(t, tool(t, "qpdf", "--check", at), "No syntax or stream encoding errors found")
	info := tool(t, "pdfinfo", at)
	assert.Contains(t, info, "Vacío (año) · ñ")
	assert.Regexp(t, `Tagged: +yes`, info)
	assert.Regexp(t, `Pages: +21`, info)
	assert.Regexp(t, `Page size: +59[45].*A4`, info)
	assert.Regexp(t, `CreationDate: +Thu Jan +1 00:00:00 1970`, info)
	assert.True(t, strings.Contains(string(pdf), "/Lang (es)"), "no language")
	assert.Equal(t, 20, strings.Count(string(pdf), "/Title (Station "), "bookmarks")

	pages, of, err := Places(pdf)
	require.NoError(t, err)
	assert.Equal(t, 21, pages)
	texts := strings.Split(tool(t, "pdftotext", at, "-"), "\f") // each page ends in one
	require.Len(t, texts, pages+1)
	for i := range 20 {
		assert.Regexp(t, fmt.Sprintf(`(?m)^Station %d$`, i), texts[of[fmt.Sprint("part-", i)]-1])
	}
}

// The same page gives the same bytes, from the same browser and from another start.
func TestPrintingAgainGivesTheSameBytes(t *testing.T) {
	file := page(t, "")
	one, two := shared(t), start(t)
	first, err := one.Print(file)
	require.NoError(t, err)
	_, err = one.Print(page(t, "<p>another</p>"))
	require.NoError(t, err)
	again, err := one.Print(file)
	require.NoError(t, err)
	other, err := two.Print(file)
	require.NoError(t, err)
	assert.True(t, string(first) == string(again), "the same browser")
	assert.True(t, string(first) == string(other), "another start of it")
}

// A page runs no script, and reaches no network.
func TestNoScriptAndNoNetwork(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	called := make(chan string, 10)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			called <- c.RemoteAddr().String()
			c.Close()
		}
	}()
	pdf, err := shared(t).Print(page(t, fmt.Sprintf(`<script>document.title = "script ran"</script><img src="http://localhost:%[1]d/x.png" alt=""><img src="http://127.0.0.1:%[1]d/y.png" alt="">`, l.Addr().(*net.TCPAddr).Port)))
	require.NoError(t, err)
	assert.False(t, strings.Contains(string(pdf), "script ran"), "a script ran")
	at := filepath.Join(t.TempDir(), "a.pdf")
	require.NoError(t, os.WriteFile(at, pdf, 0o644))
	assert.NotContains(t, tool(t, "pdfinfo", at), "script ran")
	select {
	case from := <-called:
		t.Errorf("the page reached the network, from %s", from)
	default:
	}
}

func TestWithoutABrowser(t *testing.T) {
	var none *NoBrowser
	_, err := Find("no-such-browser")
	require.ErrorAs(t, err, &none)
	assert.Equal(t, "no-such-browser", none.Asked)
	t.Setenv("PATH", t.TempDir())
	_, err = Find("")
	require.ErrorAs(t, err, &none)
	assert.Contains(t, none.Error(), "chromium")
	_, err = Open(t.Context(), os.Args[0]+"-not-there")
	assert.Error(t, err)
}

func TestAPageThatIsNotThere(t *testing.T) {
	_, err := shared(t).Print(filepath.Join(t.TempDir(), "nothing.html"))
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// Whatever the bytes, there is an answer or an error; what is undated is as long as
// it was, and is not changed a second time.
func FuzzPDF(f *testing.F) {
	small := "%PDF-1.4\n1 0 obj\n<</CreationDate (D:20260301120000+00'00')\n/ModDate (D:20260301120000+00'00')>>\nendobj\n2 0 obj\n<</Pages 3 0 R\n/Dests 5 0 R>>\nendobj\n3 0 obj\n<</Kids [4 0 R]>>\nendobj\n4 0 obj\n<</A (node00000009)>>\nendobj\n5 0 obj\n<</a#20b [4 0 R /XYZ 0 0 0]>>\nendobj\n"
	table := "xref\n0 6\n0000000000 65535 f \n"
	for _, o := range []string{"1 0 obj", "2 0 obj", "3 0 obj", "4 0 obj", "5 0 obj"} {
		table += fmt.Sprintf("%010d 00000 n \n", strings.Index(small, o))
	}
	whole := small + table + fmt.Sprintf("trailer\n<</Root 2 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(small))
	f.Add([]byte(whole))
	f.Add([]byte("%PDF-1.4"))
	f.Add([]byte(strings.Replace(whole, fmt.Sprintf("%010d 00000 n", strings.Index(small, "2 0 obj")), "-000000100 00000 n", 1)))
	pages, of, err := Places([]byte(whole))
	require.NoError(f, err)
	assert.Equal(f, 1, pages)
	assert.Equal(f, map[string]int{"a b": 1}, of)
	f.Fuzz(func(t *testing.T, pdf []byte) {
		_, _, _ = Places(pdf)
		out, err := undated(pdf)
		if err != nil {
			return
		}
		assert.Len(t, out, len(pdf))
		again, err := undated(out)
		require.NoError(t, err)
		assert.Equal(t, out, again)
	})
}

// A browser that is ended in the middle of its work leaves nothing behind: neither its
// own folder nor that of its socket.
func TestInterruptedLeavesNothing(t *testing.T) {
	browser := browser(t)
	dir, err := os.MkdirTemp("", "p") // the path of a socket has to be short
	require.NoError(t, err)
	defer os.RemoveAll(dir)
	file := page(t, "")
	t.Setenv("TMPDIR", dir)
	ctx, cancel := context.WithCancel(t.Context())
	p, err := Open(ctx, browser)
	require.NoError(t, err)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.NotEmpty(t, left)
	cancel()
	_, err = p.Print(file)
	require.ErrorIs(t, err, context.Canceled)
	require.NoError(t, p.Close())
	left, err = os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}
