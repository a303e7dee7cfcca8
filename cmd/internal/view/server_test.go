package view

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// some are pages in memory; a page that holds "fails" does.
type some map[string]string

func (s some) Page(path string) ([]byte, bool, error) {
	text, found := s[path]
	if text == "fails" {
		return nil, true, errors.New("no page can be set")
	}
	return []byte(text), found, nil
}

const aPage = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src &#39;none&#39;; style-src &#39;self&#39; file: &#39;sha256-abc&#39;; font-src &#39;self&#39; file:; base-uri &#39;none&#39;; form-action &#39;none&#39;">
</head>
<body class="sheet">
<main id="main">as the book has it</main>
</body>
</html>
`

var ours = some{"index.html": aPage, "enoki/sheet-48.html": aPage, "look/book.css": "p{}", "enoki/carried.js": "var x", "es/index.html": aPage}

var said = Said{Language: "en", Title: "Nothing here", NoPage: "The book has no page here.", NoBook: "No book yet.", Home: "The first page", Refused: "refused", Panel: "In the way"}

const port = 8377

func served(pages Pages, panel *Panel) *Server {
	s := New(port, said, func(path string, err error) *Panel { return &Panel{Heading: path + ": " + err.Error()} })
	s.Show(Shown{Pages: pages, Look: "look/book.css", Panel: panel})
	return s
}

func asked(s *Server, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Host, r.RemoteAddr = "127.0.0.1:8377", "127.0.0.1:50000"
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// raw asks a server over the network with a request line as it is written: no client
// mends its path.
func raw(t *testing.T, path string) (status int, body string) {
	t.Helper()
	server := httptest.NewUnstartedServer(nil)
	_, number, err := net.SplitHostPort(server.Listener.Addr().String())
	require.NoError(t, err)
	n, err := strconv.Atoi(number)
	require.NoError(t, err)
	s := New(uint16(n), said, nil)
	s.Show(Shown{Pages: ours})
	server.Config.Handler = s
	server.Start()
	defer server.Close()
	conn, err := net.Dial("tcp", server.Listener.Addr().String())
	require.NoError(t, err)
	defer conn.Close()
	_, err = io.WriteString(conn, "GET "+path+" HTTP/1.1\r\nHost: localhost:"+number+"\r\nConnection: close\r\n\r\n")
	require.NoError(t, err)
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer.StatusCode, string(text)
}

// No way of writing a path leads to a file of this machine, nor to a page by another
// name than its own (OWASP, "Path Traversal": dots, single and double encoding,
// backslashes, NUL, overlong UTF-8).
func TestNoPathLeadsOut(t *testing.T) {
	for _, path := range []string{
		"/../../../../etc/passwd", "/enoki/../../../../etc/passwd", "/./../etc/passwd", "//etc/passwd", "/etc/passwd",
		"/%2e%2e/%2e%2e/%2e%2e/etc/passwd", "/%2e%2e%2f%2e%2e%2fetc%2fpasswd", "/..%2f..%2fetc/passwd",
		"/%252e%252e/%252e%252e/etc/passwd", "/%252e%252e%252fetc%252fpasswd",
		`/..\..\..\etc\passwd`, "/..%5c..%5cetc%5cpasswd", "/%2e%2e%5cetc%5cpasswd",
		"/index.html%00", "/etc/passwd%00.html", "/%00", "/..%c0%af..%c0%afetc/passwd", "/..;/etc/passwd",
		"/server.go", "/../server.go", "/view.js", "/panel.html.tmpl", "/look/", "/enoki", "/enoki/./sheet-48.html", "/enoki//sheet-48.html", "/ENOKI/sheet-48.html", "/_view/", "/_view/../index.html",
	} {
		status, body := raw(t, path)
		assert.Contains(t, []int{http.StatusNotFound, http.StatusBadRequest}, status, path)
		assert.NotContains(t, body, "root:", path)
		assert.NotContains(t, body, "package view", path)
		assert.NotContains(t, body, "as the book has it", path)
	}
	for _, path := range []string{"/", "/index.html", "/enoki/sheet-48.html", "/%65noki/sheet-48.html", "/es/", "/enoki/sheet-48.html?n=137"} {
		status, body := raw(t, path)
		assert.Equal(t, http.StatusOK, status, path)
		assert.Contains(t, body, "as the book has it", path)
	}
}

// Only this machine's own names are answered: a foreign name may be one that its owner
// has made to lead here (DNS rebinding).
func TestForeignHostsAreRefused(t *testing.T) {
	s := served(ours, nil)
	for host, want := range map[string]int{
		"127.0.0.1:8377": 200, "localhost:8377": 200, "LocalHost:8377": 200, "[::1]:8377": 200,
		"evil.example": 421, "evil.example:8377": 421, "127.0.0.1": 421, "127.0.0.1:80": 421, "localhost": 421, "localhost.evil.example:8377": 421,
		"127.0.0.1:8377.evil.example": 421, "127.0.0.1:8377@evil.example": 421, "": 421, "192.168.1.4:8377": 421, "0.0.0.0:8377": 421, "127.1:8377": 421, "localhost.:8377": 421,
	} {
		for _, path := range []string{"/", eventsPath, scriptPath, "/enoki/carried.js"} {
			if want == 200 && path == eventsPath {
				continue // it answers for ever
			}
			got := asked(s, func(r *http.Request) { r.Host, r.URL.Path = host, path })
			assert.Equal(t, want, got.Code, "%s of %q", path, host)
		}
	}
}

// A request from another machine is refused, should one ever come in.
func TestOtherMachinesAreRefused(t *testing.T) {
	s := served(ours, nil)
	for from, want := range map[string]int{"127.0.0.1:5": 200, "127.8.8.8:5": 200, "[::1]:5": 200, "[::ffff:127.0.0.1]:5": 200,
		"192.168.1.4:5": 403, "[2001:db8::1]:5": 403, "[::ffff:192.168.1.4]:5": 403, "": 403, "localhost:5": 403} {
		assert.Equal(t, want, asked(s, func(r *http.Request) { r.RemoteAddr = from }).Code, from)
	}
}

func TestOnlyGetAndHead(t *testing.T) {
	s := served(ours, nil)
	for _, method := range []string{"POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "get", "X"} {
		got := asked(s, func(r *http.Request) { r.Method = method })
		assert.Equal(t, http.StatusMethodNotAllowed, got.Code, method)
		assert.Equal(t, "GET, HEAD", got.Header().Get("Allow"), method)
		assert.NotContains(t, got.Body.String(), "as the book has it", method)
	}
	head := asked(s, func(r *http.Request) { r.Method = http.MethodHead })
	assert.Equal(t, http.StatusOK, head.Code)
	assert.Empty(t, head.Body.String())
	assert.Equal(t, asked(s, nil).Header(), head.Header(), "HEAD says what GET would")
}

// Another site's page may lead here by a link; it may not have a file of the book within
// itself (Fetch Metadata, W3C), and nothing allows it to read one (no CORS).
func TestOtherSitesReadNothing(t *testing.T) {
	s := served(ours, nil)
	for _, c := range []struct {
		site, mode, dest string
		want             int
	}{
		{"", "", "", 200}, {"none", "navigate", "document", 200}, {"same-origin", "no-cors", "script", 200},
		{"cross-site", "navigate", "document", 200}, {"same-site", "navigate", "document", 200},
		{"cross-site", "no-cors", "script", 403}, {"cross-site", "cors", "empty", 403}, {"same-site", "no-cors", "script", 403},
		{"cross-site", "navigate", "iframe", 403}, {"cross-site", "no-cors", "image", 403},
	} {
		got := asked(s, func(r *http.Request) {
			r.Header.Set("Origin", "https://evil.example")
			r.Header.Set("Sec-Fetch-Site", c.site)
			r.Header.Set("Sec-Fetch-Mode", c.mode)
			r.Header.Set("Sec-Fetch-Dest", c.dest)
			r.URL.Path = "/enoki/carried.js"
		})
		assert.Equal(t, c.want, got.Code, c)
		for name := range got.Header() {
			assert.False(t, strings.HasPrefix(name, "Access-Control-"), name)
		}
		assert.Equal(t, "same-origin", got.Header().Get("Cross-Origin-Resource-Policy"))
	}
}

// The policy of a page holds over HTTP as a header and is that of the page, with our
// script and this program besides, and without what only a page from the disk needs.
func TestPolicy(t *testing.T) {
	got := asked(served(ours, nil), nil)
	const want = "default-src 'none'; style-src 'self' 'sha256-abc'; font-src 'self'; base-uri 'none'; form-action 'none'; script-src 'self'; connect-src 'self'"
	assert.Equal(t, want+"; frame-ancestors 'none'", got.Header().Get("Content-Security-Policy"))
	assert.Contains(t, got.Body.String(), `content="`+strings.ReplaceAll(want, "'", "&#39;")+`"`)
	for _, policy := range []string{want, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'sha256-x'", "default-src 'none'"} {
		amended := amended(policy)
		assert.Equal(t, 1, strings.Count(amended, "script-src"), amended)
		assert.NotContains(t, amended, "unsafe-inline")
		for _, name := range []string{"script-src", "style-src", "connect-src"} {
			assert.Regexp(t, name+` [^;]*'self'`, amended)
		}
	}
	// A page without one, of a farm's own template, gets a strict one.
	bare := asked(served(some{"index.html": "<html><body>bare</body></html>"}, nil), nil)
	assert.Contains(t, bare.Header().Get("Content-Security-Policy"), "default-src 'none'; ")
	for _, path := range []string{"/look/book.css", scriptPath, "/enoki/carried.js"} {
		got := asked(served(ours, nil), func(r *http.Request) { r.URL.Path = path })
		assert.Equal(t, closed, got.Header().Get("Content-Security-Policy"), path)
		assert.Equal(t, "nosniff", got.Header().Get("X-Content-Type-Options"), path)
	}
}

// A page is the book's, byte for byte, but for its policy, the script and the panel; its
// other files are the book's.
func TestPagesAreTheBooks(t *testing.T) {
	got := asked(served(ours, nil), nil).Body.String()
	before, after, _ := strings.Cut(aPage, "</head>")
	assert.True(t, strings.HasSuffix(got, "</head>"+after), got)
	assert.True(t, strings.HasPrefix(got, before[:strings.Index(before, "content=\"default")]), got)
	assert.Contains(t, got, `<script src="/_view/view.js" defer data-mark="`)
	css := asked(served(ours, nil), func(r *http.Request) { r.URL.Path = "/look/book.css" })
	assert.Equal(t, "p{}", css.Body.String())
	assert.Equal(t, "text/css; charset=utf-8", css.Header().Get("Content-Type"))
}

// Findings stand over the page as it was, at its head, and nothing that they quote is
// taken for HTML.
func TestPanel(t *testing.T) {
	panel := &Panel{Heading: "1 error stands in the way", Below: "as before", Lines: []Line{{Place: "protocols/enoki.toml:3:7", Severity: "error", What: `found <script>alert(1)</script>`,
		Source: `    3 | title = "<b>"`, Caret: "      |       ^", Beside: []Beside{{"why", "because"}, {"hint", "mend it"}}}}, More: "and 2 more"}
	got := asked(served(ours, panel), nil)
	require.Equal(t, http.StatusOK, got.Code)
	body := got.Body.String()
	assert.Contains(t, body, "as the book has it")
	assert.Less(t, strings.Index(body, "view-panel"), strings.Index(body, "<main"), "the panel stands at the head")
	for _, part := range []string{"protocols/enoki.toml:3:7", "&lt;script&gt;alert(1)&lt;/script&gt;", "&lt;b&gt;", "because", "mend it", "and 2 more"} {
		assert.Contains(t, body, part)
	}
	assert.NotContains(t, body, "<script>alert")
	// The same page without a panel looks otherwise, and is told from it.
	assert.NotEqual(t, asked(served(ours, nil), nil).Header().Get("X-View"), got.Header().Get("X-View"))
	// Before there ever was a book there is the panel alone.
	none := asked(served(nil, panel), nil)
	assert.Equal(t, http.StatusServiceUnavailable, none.Code)
	assert.Contains(t, none.Body.String(), "protocols/enoki.toml:3:7")
	assert.Contains(t, none.Body.String(), "No book yet.")
	assert.Contains(t, asked(served(ours, nil), func(r *http.Request) { r.URL.Path = "/gone.html" }).Body.String(), "The book has no page here.")
}

// A page that can't be set any more is shown as it was, with why.
func TestAPageThatFails(t *testing.T) {
	s := served(ours, nil)
	require.Equal(t, http.StatusOK, asked(s, nil).Code)
	s.Show(Shown{Pages: some{"index.html": "fails", "new.html": "fails"}, Look: "look/book.css"})
	got := asked(s, nil)
	assert.Equal(t, http.StatusOK, got.Code)
	assert.Contains(t, got.Body.String(), "as the book has it")
	assert.Contains(t, got.Body.String(), "index.html: no page can be set")
	got = asked(s, func(r *http.Request) { r.URL.Path = "/new.html" })
	assert.Equal(t, http.StatusServiceUnavailable, got.Code)
	assert.Contains(t, got.Body.String(), "new.html: no page can be set")
}

// A page's mark is another when the page, its stylesheet or the panel is, and the same
// otherwise: only then is an open page loaded again.
func TestMark(t *testing.T) {
	mark := func(pages some) string { return asked(served(pages, nil), nil).Header().Get("X-View") }
	first := mark(ours)
	require.Len(t, first, 16)
	assert.Equal(t, first, mark(some{"index.html": aPage, "look/book.css": "p{}", "another.html": "x"}))
	assert.NotEqual(t, first, mark(some{"index.html": strings.Replace(aPage, "has", "had", 1), "look/book.css": "p{}"}))
	assert.NotEqual(t, first, mark(some{"index.html": aPage, "look/book.css": "p{color:red}"}))
}

// A page that is open hears of each state, over the network, and the server ends while it
// listens.
func TestEventsAndTheEnd(t *testing.T) {
	ctx, end := context.WithCancel(t.Context())
	listeners, got, err := Listen(ctx, 0)
	require.NoError(t, err)
	s := New(got, said, nil)
	s.Show(Shown{Pages: ours})
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, listeners) }()
	at := "127.0.0.1:" + strconv.Itoa(int(got))
	answer, err := http.Get("http://" + at + eventsPath)
	require.NoError(t, err)
	defer answer.Body.Close()
	assert.Equal(t, "text/event-stream", answer.Header.Get("Content-Type"))
	lines := bufio.NewScanner(answer.Body)
	next := func() string {
		for lines.Scan() {
			if state, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				return state
			}
		}
		return ""
	}
	first := next()
	require.NotEmpty(t, first)
	s.Show(Shown{Pages: ours})
	second := next()
	assert.NotEmpty(t, second)
	assert.NotEqual(t, first, second)
	// Both addresses of this machine, and no other.
	for _, l := range listeners {
		ip := l.Addr().(*net.TCPAddr).IP
		assert.True(t, ip.IsLoopback(), "%s", ip)
	}
	_, _, err = Listen(ctx, got)
	assert.Error(t, err, "the port is taken")
	end()
	select {
	case err := <-ended:
		assert.NoError(t, err)
	case <-time.After(10 * time.Second):
		t.Fatal("it did not end")
	}
	_, err = net.Dial("tcp", at)
	assert.Error(t, err, "nobody listens any more")
}
