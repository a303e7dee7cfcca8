package main

import (
	"context"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"

	"bottlecrop/cmd/internal/filing"
)

// endings are the signals by which somebody ends the program: the user, the system, and
// a terminal that is closed.
var endings = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}

// How long a command has to end by itself before it is ended from outside, and how often
// it is asked for anew what it has under way (design choice).
const (
	patience = 500 * time.Millisecond
	askAgain = 10 * time.Millisecond
)

// stoppable is a context that a signal cancels. A command that looks at it ends by itself.
// One that does not, because it computes, is ended here as soon as it has nothing under
// way that would be left half done. A second signal ends the program at once: what it
// leaves then, the next run clears away. ended is called when the command has ended.
func (t *terminal) stoppable() (ctx context.Context, ended func()) {
	ctx, cancel := context.WithCancel(context.Background())
	told := make(chan os.Signal, 1)
	for _, s := range endings {
		if !signal.Ignored(s) { // as under nohup
			signal.Notify(told, s)
		}
	}
	var last sync.Mutex // who has it has the last word
	go func() {
		s := <-told
		signal.Stop(told)
		t.stopped.Store(int32(codeOf(s)))
		cancel()
		for wait := patience; ; wait = askAgain {
			time.Sleep(wait)
			if last.Lock(); !filing.UnderWay() {
				os.Exit(t.status(context.Canceled))
			}
			last.Unlock()
		}
	}()
	return ctx, func() {
		last.Lock() // until the exit
		signal.Stop(told)
	}
}

// codeOf is the exit code of a program that a signal ended, as shells have it.
func codeOf(s os.Signal) int {
	if n, ok := s.(syscall.Signal); ok {
		return 128 + int(n)
	}
	return interrupted
}
