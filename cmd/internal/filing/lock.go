package filing

import (
	"context"
	"os"
	"sync/atomic"
	"time"
)

// How often a lock is asked for again (design choice), and how old something has to be to
// be taken for left behind where no lock tells: no run takes a day.
const (
	askAgain = 10 * time.Millisecond
	oldAge   = 24 * time.Hour
)

// Lock waits until no other run has locked a file or a folder, and locks it until it is
// closed or the process ends. It is of that file and not of its name, and keeps out
// nobody but other runs of this program on the same machine. Where the disk or the system
// has no locks, there is none.
func Lock(ctx context.Context, f *os.File) error {
	for {
		got, err := tryLock(f)
		if got || err != nil {
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(askAgain):
		}
	}
}

// Abandoned reports whether a file or a folder that a run locks as long as it lives
// belongs to none that lives.
func Abandoned(root *os.Root, name string) bool {
	info, err := root.Lstat(name)
	if err != nil || info.Mode()&os.ModeSymlink != 0 {
		return false
	}
	f, err := root.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	got, err := tryLock(f)
	if err != nil {
		return time.Since(info.ModTime()) > oldAge
	}
	now, err := f.Stat()
	return got && err == nil && os.SameFile(info, now)
}

// begun counts what is under way.
var begun atomic.Int64

// Begin says that something is under way that has to be brought to an end by whoever began
// it, such as files that are not yet in their place, and gives the function that says
// that it is.
func Begin() (end func()) {
	begun.Add(1)
	return func() { begun.Add(-1) }
}

// UnderWay reports whether something is: a program that is told to end waits for it.
func UnderWay() bool { return begun.Load() > 0 }
