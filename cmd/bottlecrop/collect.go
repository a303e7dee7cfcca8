package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync/atomic"
)

// How much the heap may grow between two collections of memory, percent of what is in
// use, and how large it may get by that, bytes (design choice). A run lives shortly and
// makes much that is soon thrown away: at the usual 100 percent the collector runs all the
// time, on a heap of a few megabytes. A large farm has much in use, and gets the usual.
const (
	mostGrowth  = 400
	usualGrowth = 100
	roomyHeap   = 112 << 20
)

// collectLess has the collector run less often until it is put back, unless the user has
// said how often.
func collectLess() (back func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	p := &pace{growth: mostGrowth}
	usual := debug.SetGCPercent(mostGrowth)
	p.again()
	return func() {
		p.over.Store(true)
		debug.SetGCPercent(usual)
	}
}

// pace sets the growth anew after each collection, by what is in use.
type pace struct {
	growth int
	over   atomic.Bool
}

// again waits for the next collection: what nobody holds is found by it.
func (p *pace) again() {
	type sentinel struct{ p *pace } // a pointer in it: without one it could share its room with others, and stay
	runtime.SetFinalizer(&sentinel{p}, func(s *sentinel) { s.p.after() })
}

func (p *pace) after() {
	if p.over.Load() {
		return
	}
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	const step = 50 // setting it stops the world
	if g := growthFor(live[0].Value.Uint64()); g > p.growth+step || g < p.growth-step || g != p.growth && g == usualGrowth {
		p.growth = g
		debug.SetGCPercent(g)
	}
	p.again()
}

// growthFor is how much a heap may grow of which so many bytes are in use, percent.
func growthFor(live uint64) int {
	if live == 0 {
		return mostGrowth
	}
	return min(mostGrowth, max(usualGrowth, int(roomyHeap*100/live)-100))
}
