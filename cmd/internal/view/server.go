// Package view shows a book while it is written, on this machine alone: its pages from
// memory over the loopback interface, and the page that is open anew when it has
// changed. It knows nothing of farms; what there is to be seen it is given.
//
// A page is looked up by its whole path among those of the book, never on the disk, so
// there is no path that leads out of it. A request from another machine, for another
// host name, by another method or from another site's page is refused: a name of the web
// that is made to lead to this machine (DNS rebinding) reads nothing here.
package view

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	_ "embed" // the script and the look of the panel
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"path"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Pages are those of one state of a book. Page may be asked from several goroutines, and
// gives false for a path that the book does not have.
type Pages interface {
	Page(path string) (data []byte, found bool, err error)
}

// Shown is what there is to be seen.
type Shown struct {
	Pages Pages  // of the last good book; nil where there was none yet
	Look  string // path of the stylesheet that its pages share
	Panel *Panel // over the pages; nil where there is nothing to say
}

// Own addresses: no page of a book begins with a line.
const (
	eventsPath = "/_view/events"
	scriptPath = "/_view/view.js"
	stylePath  = "/_view/view.css"
)

//go:embed view.js
var script []byte

//go:embed view.css
var style []byte

// Server serves what is shown. Show may be called while it serves.
type Server struct {
	port    uint16
	said    Said
	explain func(path string, err error) *Panel

	mu      sync.Mutex
	shown   Shown
	state   string        // names what is shown, over all runs of the program
	changed chan struct{} // closed when something else is shown
	last    map[string][]byte
}

// New is a server for a port. Explain says on a panel why a page could not be set.
func New(port uint16, said Said, explain func(path string, err error) *Panel) *Server {
	return &Server{port: port, said: said, explain: explain, changed: make(chan struct{}), last: map[string][]byte{}}
}

// Show shows something else from now on, and tells the pages that are open.
func (s *Server) Show(x Shown) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.shown, s.state = x, rand.Text()
	close(s.changed)
	s.changed = make(chan struct{})
}

// now is what is shown, and what is closed when that ends.
func (s *Server) now() (Shown, string, <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shown, s.state, s.changed
}

// kept is a page as it was when it could be set last.
func (s *Server) kept(name string) []byte {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.last[name]
}

// mostKept is how many pages are kept for the case that they can't be set any more: more
// than anybody has open (design choice).
const mostKept = 100

func (s *Server) keep(name string, data []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.last) >= mostKept {
		clear(s.last)
	}
	s.last[name] = data
}

// allowed refuses what may not be asked: 0 is an answer.
func (s *Server) allowed(r *http.Request) int {
	from, err := netip.ParseAddrPort(r.RemoteAddr)
	switch {
	case err != nil || !from.Addr().Unmap().IsLoopback():
		return http.StatusForbidden
	case !s.isHost(r.Host):
		return http.StatusMisdirectedRequest
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		return http.StatusMethodNotAllowed
	}
	// A page of another site may lead here, and may have nothing from here within itself:
	// some of a book's files are scripts, which it could run and read.
	if site := r.Header.Get("Sec-Fetch-Site"); site == "cross-site" || site == "same-site" {
		if r.Header.Get("Sec-Fetch-Mode") != "navigate" || r.Header.Get("Sec-Fetch-Dest") != "document" {
			return http.StatusForbidden
		}
	}
	return 0
}

// isHost reports whether a Host header is this machine's own, by the name or the numbers
// that the program prints.
func (s *Server) isHost(host string) bool {
	port := strconv.Itoa(int(s.port))
	for _, own := range []string{"127.0.0.1", "localhost", "[::1]"} {
		if strings.EqualFold(host, own+":"+port) || s.port == 80 && strings.EqualFold(host, own) {
			return true
		}
	}
	return false
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cache-Control", "no-store")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Content-Security-Policy", closed)
	if code := s.allowed(r); code != 0 {
		if code == http.StatusMethodNotAllowed {
			h.Set("Allow", "GET, HEAD")
		}
		s.refuse(w, code)
		return
	}
	switch r.URL.Path {
	case eventsPath:
		s.events(w, r)
	case scriptPath:
		s.write(w, r, http.StatusOK, scriptPath, script)
	case stylePath:
		s.write(w, r, http.StatusOK, stylePath, style)
	default:
		s.page(w, r)
	}
}

// closed is the policy of what is no page: nothing may be loaded.
const closed = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

func (s *Server) refuse(w http.ResponseWriter, code int) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(code)
	fmt.Fprintln(w, s.said.Refused)
}

// types are those of a book's files. What is none of them is bytes to a browser.
var types = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".txt": "text/plain; charset=utf-8", ".woff2": "font/woff2",
	".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".webp": "image/webp",
}

func (s *Server) write(w http.ResponseWriter, r *http.Request, code int, name string, data []byte) {
	kind, known := types[strings.ToLower(path.Ext(name))]
	if !known {
		kind = "application/octet-stream"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	w.WriteHeader(code)
	if r.Method != http.MethodHead {
		_, _ = w.Write(data) // who asked may be gone
	}
}

// page answers with a page of the book, or with the panel alone where there is none.
func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" || strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	shown, _, _ := s.now()
	panel := shown.Panel
	var data []byte
	found := false
	if shown.Pages != nil {
		var err error
		data, found, err = shown.Pages.Page(name)
		if err != nil {
			// The page as it was last, with why it can't be set now.
			if panel == nil {
				panel = s.explain(name, err)
			}
			data = s.kept(name)
			found = data != nil
		} else if found {
			s.keep(name, data)
		}
	}
	if found && !strings.HasSuffix(name, ".html") {
		s.write(w, r, http.StatusOK, name, data)
		return
	}
	code := http.StatusOK
	if !found {
		code = http.StatusNotFound
		if shown.Pages == nil || panel != nil {
			code = http.StatusServiceUnavailable
		}
		data = s.said.empty(panel == nil)
	}
	data, policy := dressed(data, panel, s.said, func(data []byte) string { return s.mark(shown, data) })
	w.Header().Set("Content-Security-Policy", policy+"; frame-ancestors 'none'")
	w.Header().Set("X-View", string(markOf(data)))
	s.write(w, r, code, ".html", data)
}

// mark names what a page looks like: with the same mark there is nothing new to be seen.
func (s *Server) mark(shown Shown, data []byte) string {
	sum := sha256.New()
	sum.Write(data)
	if shown.Pages != nil && shown.Look != "" {
		if look, found, err := shown.Pages.Page(shown.Look); found && err == nil {
			sum.Write(look)
		}
	}
	return hex.EncodeToString(sum.Sum(nil))[:16]
}

// beat is how often a waiting page hears that the program is still there.
const beat = 20 * time.Second

// events tells a page that is open whenever something else is shown, as server-sent
// events (WHATWG HTML, 9.2). The page then asks whether it looks otherwise itself.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	if r.Method == http.MethodHead {
		return
	}
	out := http.NewResponseController(w)
	still := time.NewTicker(beat)
	defer still.Stop()
	for {
		_, state, changed := s.now()
		if _, err := fmt.Fprintf(w, "data: %s\n\n", state); err != nil || out.Flush() != nil {
			return
		}
	waiting:
		for {
			select {
			case <-changed:
				break waiting
			case <-still.C:
				if _, err := fmt.Fprint(w, ":\n\n"); err != nil || out.Flush() != nil {
					return
				}
			case <-r.Context().Done():
				return
			}
		}
	}
}

// Listen opens a port on the loopback interface, by IPv4 and, where this machine has it,
// by IPv6: 0 is any free one. Nothing else than this machine can reach either.
func Listen(ctx context.Context, port uint16) ([]net.Listener, uint16, error) {
	var config net.ListenConfig
	first, err := config.Listen(ctx, "tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(int(port))))
	if err != nil {
		return nil, 0, err
	}
	out := []net.Listener{first}
	got := first.Addr().(*net.TCPAddr).AddrPort().Port()
	// The name localhost may lead to either; a machine without IPv6 has the one.
	if second, err := config.Listen(ctx, "tcp6", net.JoinHostPort("::1", strconv.Itoa(int(got)))); err == nil {
		out = append(out, second)
	}
	return out, got, nil
}

// Bounds of a request (design choices): what a browser sends is far below.
const (
	mostHeader  = 64 << 10
	headerTime  = 10 * time.Second
	closingTime = 2 * time.Second
)

// Serve serves until the context ends, and closes the listeners.
func (s *Server) Serve(ctx context.Context, listeners []net.Listener) error {
	waiting, end := context.WithCancel(ctx) // pages that wait for a change
	defer end()
	server := &http.Server{Handler: s, ReadHeaderTimeout: headerTime, MaxHeaderBytes: mostHeader,
		BaseContext: func(net.Listener) context.Context { return waiting }}
	ended := make(chan error, len(listeners))
	for _, l := range listeners {
		go func() { ended <- server.Serve(l) }()
	}
	var failed error
	select {
	case <-ctx.Done():
	case failed = <-ended:
	}
	end()
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), closingTime)
	defer cancel()
	if server.Shutdown(last) != nil {
		_ = server.Close() // somebody does not let go
	}
	if errors.Is(failed, http.ErrServerClosed) {
		failed = nil
	}
	return failed
}

// markOf is the mark that a dressed page carries.
func markOf(page []byte) []byte {
	_, rest, _ := bytes.Cut(page, []byte(markBegins))
	mark, _, _ := bytes.Cut(rest, []byte(`"`))
	return mark
}
