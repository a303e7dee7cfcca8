package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkView changes one protocol of a farm with as many, on which no other is based, and measures how long it
// takes until its sheet and the author's page of it are new, "page-ms", and until the
// whole farm is worked out, "whole-ms"; the median of its runs. The moment in which
// changes are gathered (package view) comes on top. As in DEVELOPERS.md it is measured
// here and asserted nowhere:
//
//	go test ./cmd/bottlecrop -run '^$' -bench View -benchtime 5x -timeout 0
func BenchmarkView(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		b.Run(fmt.Sprintf("protocols=%d", n), func(b *testing.B) {
			dir := b.TempDir()
			grownFarm(b, dir, n)
			x := newViewer(&terminal{out: io.Discard, err: io.Discard}, &settings{farm: dir}, viewAsked{}, 0)
			began := time.Now()
			require.NoError(b, x.follow(b.Context(), nil))
			b.ReportMetric(float64(time.Since(began).Milliseconds()), "first-ms")
			require.NoError(b, x.farm.verdict())
			file := protocolFile(b, dir)
			name := file[len("protocols/") : len(file)-len(".toml")]
			good, err := os.ReadFile(filepath.Join(dir, file))
			require.NoError(b, err)
			require.Contains(b, string(good), "\ntitle = \"")
			var pages, wholes []time.Duration
			for i := 0; b.Loop(); i++ {
				title := fmt.Sprintf("\ntitle = \"%d ", i)
				require.NoError(b, os.WriteFile(filepath.Join(dir, file), bytes.Replace(good, []byte("\ntitle = \""), []byte(title), 1), 0o644))
				began := time.Now()
				p := x.soon([]string{file})
				require.NotNil(b, p)
				for _, path := range []string{name + "/sheet-48.html", name + "/index.html"} {
					data, found, err := p.Page(path)
					require.NoError(b, err)
					require.True(b, found)
					require.Contains(b, string(data), fmt.Sprintf("%d ", i))
				}
				pages = append(pages, time.Since(began))
				began = time.Now()
				require.NoError(b, x.follow(b.Context(), []string{file}))
				wholes = append(wholes, time.Since(began))
			}
			b.ReportMetric(median(pages), "page-ms")
			b.ReportMetric(median(wholes), "whole-ms")
		})
	}
}

// protocolFile is a protocol of a farm on which no other is based.
func protocolFile(b *testing.B, dir string) string {
	b.Helper()
	grown, err := filepath.Glob(filepath.Join(dir, "protocols", "grown-*.toml"))
	require.NoError(b, err)
	return "protocols/" + filepath.Base(grown[len(grown)-1])
}

// median of some times, in milliseconds.
func median(times []time.Duration) float64 {
	slices.Sort(times)
	return float64(times[len(times)/2].Microseconds()) / 1000
}
