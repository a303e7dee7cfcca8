//go:build unix

package main

import (
	"syscall"
	"time"
)

// cpuTime is what the program has had of the processors: what a machine with other
// things to do gives it late does not count.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
