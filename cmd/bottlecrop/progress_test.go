package main

import (
	"bytes"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// screen is what stands on a terminal's last line after what was written to it.
func screen(written string) string {
	var line []rune
	at := 0
	for _, r := range written {
		switch r {
		case '\r':
			at = 0
		case '\n':
			line, at = nil, 0
		default:
			if at == len(line) {
				line = append(line, r)
			}
			line[at] = r
			at++
		}
	}
	return strings.TrimRight(string(line), " ")
}

type screenOutput struct {
	sync.Mutex
	bytes.Buffer
}

func (s *screenOutput) Write(p []byte) (int, error) {
	s.Lock()
	defer s.Unlock()
	return s.Buffer.Write(p)
}

func (s *screenOutput) text() string {
	s.Lock()
	defer s.Unlock()
	return s.Buffer.String()
}

func TestProgressSaysHowFarItIsAndIsGone(t *testing.T) {
	var out screenOutput
	p := newProgress(&out, time.Millisecond, time.Millisecond)
	set := p.counted(words.English(unit.Metric), 2)
	require.Eventually(t, func() bool { return screen(out.text()) == "Setting pages: 0 of 2" }, time.Minute, time.Millisecond)
	set()
	require.Eventually(t, func() bool { return screen(out.text()) == "Setting pages: 1 of 2" }, time.Minute, time.Millisecond)
	p.says(func() string { return "short" })
	require.Eventually(t, func() bool { return screen(out.text()) == "short" }, time.Minute, time.Millisecond, "what was longer is still there")
	p.says(nil)
	_, err := p.Write([]byte("something else\n"))
	require.NoError(t, err)
	assert.Contains(t, out.text(), "\r     \rsomething else\n", "the line did not make way")
	p.says(func() string { return "again" })
	require.Eventually(t, func() bool { return screen(out.text()) == "again" }, time.Minute, time.Millisecond)
	p.stop()
	assert.Empty(t, screen(out.text()), "the line is not gone")
}

// A run that is soon done says nothing, and one that nobody looks at neither.
func TestNoProgressWhereNobodyWaits(t *testing.T) {
	var out screenOutput
	p := newProgress(&out, time.Hour, time.Hour)
	p.says(func() string { return "never" })
	p.stop()
	assert.Empty(t, out.text())
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	require.NoError(t, err)
	defer null.Close()
	file, err := os.CreateTemp(t.TempDir(), "")
	require.NoError(t, err)
	defer file.Close()
	for _, to := range []*os.File{null, file} {
		x := &terminal{err: to}
		assert.Nil(t, x.beginProgress(), to.Name())
		x.endProgress()
		assert.Same(t, to, x.err)
	}
}
