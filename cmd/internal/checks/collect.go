package checks

import (
	"os"
	"runtime/debug"
)

// Tests make much that is soon thrown away, on a heap of a few megabytes: at the usual 100
// percent of growth the collector takes an eighth of their time. As in the program it runs
// less often (collect.go of package main) until much is in use, unless the environment says
// how often.
const (
	growth = 400        // percent
	roomy  = 1536 << 20 // bytes, design choice: what the largest package holds in CI, twice
)

func init() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(growth)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(roomy)
	}
}
