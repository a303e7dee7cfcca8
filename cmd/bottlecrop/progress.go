package main

import (
	"io"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"bottlecrop/cmd/internal/words"
)

// How long a run may take until it says how far it is, and how often it says so anew
// (design choice: half a second is no wait, and a line that changes more often flickers).
const (
	progressAfter = 500 * time.Millisecond
	progressEvery = 100 * time.Millisecond
)

// progress is one line on a terminal's standard error that says how far a run is. It
// makes way for all else that is printed, and is gone when the run ends.
type progress struct {
	to   io.Writer
	quit chan struct{}
	gone sync.WaitGroup

	guard sync.Mutex
	line  func() string // what it says now; nil for nothing yet
	wide  int           // letters that stand there
}

// progress begins one where standard error is a terminal. It is nil elsewhere, and then
// does nothing.
func (t *terminal) beginProgress() *progress {
	file, ok := t.err.(*os.File)
	if !ok || !isTerminal(file) {
		return nil
	}
	p := newProgress(file, progressAfter, progressEvery)
	t.progress, t.err = p, p
	return p
}

// endProgress takes it away.
func (t *terminal) endProgress() {
	if t.progress != nil {
		t.progress.stop()
		t.progress, t.err = nil, t.progress.to
	}
}

// isTerminal reports whether a file is one that somebody looks at.
func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

func newProgress(to io.Writer, after, every time.Duration) *progress {
	p := &progress{to: to, quit: make(chan struct{})}
	p.gone.Go(func() {
		wait := after
		for {
			select {
			case <-p.quit:
				return
			case <-time.After(wait):
				p.show()
			}
			wait = every
		}
	})
	return p
}

// says sets what the line says from now on.
func (p *progress) says(line func() string) {
	if p != nil {
		p.guard.Lock()
		defer p.guard.Unlock()
		p.line = line
	}
}

func (p *progress) show() {
	p.guard.Lock()
	defer p.guard.Unlock()
	if p.line == nil {
		return
	}
	text := p.line()
	wide := utf8.RuneCountInString(text)
	_, _ = io.WriteString(p.to, "\r"+text+strings.Repeat(" ", max(0, p.wide-wide))) // nothing hangs on it
	p.wide = wide
}

// clear takes the line away until it is shown again. The caller holds the guard.
func (p *progress) clear() {
	if p.wide > 0 {
		_, _ = io.WriteString(p.to, "\r"+strings.Repeat(" ", p.wide)+"\r")
		p.wide = 0
	}
}

// makeWay clears the line for something that is printed elsewhere.
func (p *progress) makeWay() {
	if p != nil {
		p.guard.Lock()
		defer p.guard.Unlock()
		p.clear()
	}
}

// Write is what else is printed on standard error.
func (p *progress) Write(text []byte) (int, error) {
	p.guard.Lock()
	defer p.guard.Unlock()
	p.clear()
	return p.to.Write(text)
}

func (p *progress) stop() {
	close(p.quit)
	p.gone.Wait()
	p.makeWay()
}

// counted has the line say how many of so many pages are in their place, and gives what
// to call with each of them, nil where nobody waits.
func (p *progress) counted(v *words.Voice, all int) (done func()) {
	if p == nil {
		return nil
	}
	var set atomic.Int64
	p.says(func() string {
		return plain(v.Say(words.Message("progress.pages", "set", int(set.Load()), "all", all)))
	})
	return func() { set.Add(1) }
}
