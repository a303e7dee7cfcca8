//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// toldToEnd starts a command, tells it to end as soon as something is there, and gives its exit
// code and what it said.
func toldToEnd(t *testing.T, cmd *exec.Cmd, with syscall.Signal, when func() bool) (code int, said string) {
	t.Helper()
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	require.NoError(t, cmd.Start())
	ended := make(chan struct{})
	go func() {
		_ = cmd.Wait() // its code is asked for below
		close(ended)
	}()
	for begin := time.Now(); !when(); {
		require.Less(t, time.Since(begin), time.Minute, "it does not begin")
		select {
		case <-ended:
			require.Fail(t, "it has ended too soon", "%s", &out)
		case <-time.After(time.Millisecond):
		}
	}
	require.NoError(t, cmd.Process.Signal(with))
	select {
	case <-ended:
	case <-time.After(time.Minute):
		_ = cmd.Process.Kill() // it is about to fail
		require.Fail(t, "it does not end")
	}
	return cmd.ProcessState.ExitCode(), out.String()
}

// A book that is told to end while it is written leaves the old one and nothing beside
// it, and says by its code who ended it.
func TestToldToEnd(t *testing.T) {
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	out := filepath.Join(farm, "out")
	ends(t, program("book", "--farm", farm, "--bottles", "500"))
	before := contents(t, out)
	for with, code := range map[syscall.Signal]int{syscall.SIGINT: 130, syscall.SIGTERM: 143, syscall.SIGHUP: 129} {
		if signal.Ignored(with) { // by nohup, for all that is run under it
			continue
		}
		got, said := toldToEnd(t, program("book", "--farm", farm, "--bottles", "501"), with, func() bool { return len(leftovers(t, farm)) > 0 })
		assert.Equal(t, code, got, said)
		assert.Equal(t, "bottlecrop: interrupted; nothing was left half-written\n", said)
		assert.Empty(t, leftovers(t, farm))
		assert.Equal(t, before, contents(t, out))
	}
}

// A command that computes, and has nothing half done, is ended too.
func TestToldToEndWhileItComputes(t *testing.T) {
	program := theProgram(t)
	dir := t.TempDir()
	farm := begunFarm(t, program, dir)
	file := filepath.Join(farm, firstProtocol)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	// As many protocols with runs of their own, none of which is in any cache.
	for i := range 300 {
		name := fmt.Sprintf("x%03d", i)
		own := bytes.Replace(text, []byte("hold = \"130 min\""), fmt.Appendf(nil, "hold = \"%.2f min\"", 131+0.1*float64(i)), 1)
		require.NotEqual(t, string(text), string(own))
		require.NoError(t, os.WriteFile(filepath.Join(farm, "protocols", name+".toml"), own, 0o644))
	}
	cmd := program("check", "--farm", farm)
	cmd.Env = append(cmd.Env, noCache+"=1")
	begin := time.Now()
	code, said := toldToEnd(t, cmd, syscall.SIGTERM, func() bool { return time.Since(begin) > 300*time.Millisecond })
	assert.Equal(t, 143, code, said)
	assert.Contains(t, said, "bottlecrop: interrupted")
}
