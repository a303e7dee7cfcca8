package main

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/metrics"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"

	"bottlecrop/cmd/internal/book"
)

// How fast a book is made is measured here and asserted nowhere. The table in
// DEVELOPERS.md has what was measured, on which machine:
//
//	go test ./cmd/bottlecrop -run '^$' -bench 'Book' -benchtime 1x -timeout 0

// BenchmarkBookOfTheDemo makes the book of the demo farm, in both of its languages, with
// the thermal cases worked out before.
func BenchmarkBookOfTheDemo(b *testing.B) {
	farm := b.TempDir()
	copyDemoFarm(b, farm)
	warm := warmedBy(b, farm)
	measureBook(b, farm)
	b.ReportMetric(warm.Seconds(), "warm-s")
}

// BenchmarkBook makes the book of a farm with as many protocols, of four sizes each and
// with 40 thermal cases, in one language, and beside it the floor: the same pages from
// templates that are parsed, with nothing computed.
func BenchmarkBook(b *testing.B) {
	cases := b.TempDir()
	grownFarm(b, cases, 47) // the demo's seven, and one of each thermal case
	warm := warmedBy(b, cases)
	for _, n := range []int{10, 100, 1000} {
		b.Run(fmt.Sprintf("protocols=%d", n), func(b *testing.B) {
			farm := b.TempDir()
			grownFarm(b, farm, n)
			measureBook(b, farm)
			b.ReportMetric(warm.Seconds(), "warm-s")
		})
	}
}

// BenchmarkBookAgain makes the book of a farm again, after one protocol was changed and
// after nothing was: that of the demo, in two languages, and of farms that were grown.
func BenchmarkBookAgain(b *testing.B) {
	cases := b.TempDir()
	grownFarm(b, cases, 47)
	warmedBy(b, cases)
	b.Run("demo", func(b *testing.B) {
		farm := b.TempDir()
		copyDemoFarm(b, farm)
		warmedBy(b, farm)
		measureAgain(b, farm, "enoki-850")
	})
	for _, n := range []int{10, 100, 1000} {
		b.Run(fmt.Sprintf("protocols=%d", n), func(b *testing.B) {
			farm := b.TempDir()
			grownFarm(b, farm, n)
			measureAgain(b, farm, "grown-0001")
		})
	}
}

// measureAgain makes the book of a farm again, with a protocol changed and with nothing.
func measureAgain(b *testing.B, farm, protocol string) {
	out := filepath.Join(b.TempDir(), "book")
	for _, changed := range []bool{true, false} {
		b.Run(fmt.Sprintf("changed=%v", changed), func(b *testing.B) {
			b.Setenv(noCache, "")
			b.Setenv("XDG_CACHE_HOME", b.TempDir())
			began := time.Now()
			makeBook(b, farm, out)
			anew := time.Since(began)
			cpu := time.Duration(0)
			for i := 0; b.Loop(); i++ {
				b.StopTimer()
				if changed {
					file := filepath.Join(farm, "protocols", protocol+".toml")
					text, err := os.ReadFile(file)
					require.NoError(b, err)
					text = regexp.MustCompile(`(?m)^summary = .*`).ReplaceAll(text, fmt.Appendf(nil, "summary = \"Changed %d.\"", i))
					require.NoError(b, os.WriteFile(file, text, 0o644))
				}
				runtime.GC()
				c := cpuTime()
				b.StartTimer()
				makeBook(b, farm, out)
				b.StopTimer()
				cpu += cpuTime() - c
				b.StartTimer()
			}
			b.ReportMetric(cpu.Seconds()/float64(b.N), "cpu-s/op")
			b.ReportMetric(anew.Seconds(), "anew-s")
			b.ReportMetric(float64(pagesIn(b, out)), "pages")
		})
	}
}

// warmedBy makes the book of a farm once: then its thermal cases are worked out.
func warmedBy(b *testing.B, farm string) time.Duration {
	b.Helper()
	began := time.Now()
	makeBook(b, farm, filepath.Join(b.TempDir(), "book"))
	return time.Since(began)
}

// measureBook makes the book of a farm, and the floor for it.
func measureBook(b *testing.B, farm string) {
	parent := b.TempDir()
	out := filepath.Join(parent, "book")
	var took, cpu, floor, floorCPU time.Duration
	var peak uint64
	for b.Loop() {
		b.StopTimer()
		require.NoError(b, os.RemoveAll(out))
		runtime.GC()
		done := peakMemory()
		t, c := time.Now(), cpuTime()
		b.StartTimer()
		makeBook(b, farm, out)
		b.StopTimer()
		took, cpu = took+time.Since(t), cpu+cpuTime()-c
		peak = max(peak, done())
		pages := floorOf(b, out)
		require.NoError(b, os.RemoveAll(out))
		runtime.GC()
		t, c = time.Now(), cpuTime()
		setFloor(b, pages, out)
		floor, floorCPU = floor+time.Since(t), floorCPU+cpuTime()-c
		b.ReportMetric(float64(len(pages.paths)), "pages")
		b.StartTimer()
		pages = nil
	}
	n, runs := float64(pagesIn(b, out)), float64(b.N)
	b.ReportMetric(runs*n/took.Seconds(), "pages/s")
	b.ReportMetric(cpu.Seconds()*1000/(runs*n), "cpu-ms/page")
	b.ReportMetric(took.Seconds()/floor.Seconds(), "x-floor")
	b.ReportMetric(cpu.Seconds()/floorCPU.Seconds(), "x-floor-cpu")
	b.ReportMetric(float64(peak)/1e6, "peak-MB")
}

func makeBook(b *testing.B, farm, out string) {
	b.Helper()
	defer collectLess()() // as the program does
	var said bytes.Buffer
	t := &terminal{out: io.Discard, err: &said}
	c := command(t)
	c.SetArgs([]string{"book", "--farm", farm, "--out", out, "--rescale=off"})
	require.Equal(b, done, t.status(c.ExecuteContext(b.Context())), said.String())
}

func pagesIn(b *testing.B, out string) (n int) {
	b.Helper()
	require.NoError(b, filepath.WalkDir(out, func(_ string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			n++
		}
		return err
	}))
	return n
}

// copyDemoFarm copies the demo farm, which is this repository.
func copyDemoFarm(b testing.TB, farm string) {
	b.Helper()
	for _, dir := range []string{"protocols", "site"} {
		require.NoError(b, os.CopyFS(filepath.Join(farm, dir), os.DirFS("../../"+dir)))
	}
}

// grownFarm is the demo farm in one language, with as many protocols: each is based on
// one of those that stand alone, and one of ten densities makes it one of 40 thermal
// cases.
func grownFarm(b testing.TB, farm string, n int) {
	b.Helper()
	copyDemoFarm(b, farm)
	file := filepath.Join(farm, "protocols", "farm.toml")
	text, err := os.ReadFile(file)
	require.NoError(b, err)
	text = regexp.MustCompile(`(?m)^languages = .*\n`).ReplaceAll(text, nil)
	require.NoError(b, os.WriteFile(file, text, 0o644))
	there, err := filepath.Glob(filepath.Join(farm, "protocols", "*-*.toml"))
	require.NoError(b, err)
	random := rand.New(rand.NewPCG(11, 1))
	bases := []string{"enoki-850", "beech-850", "oyster-1100", "maitake-quart"}
	density := regexp.MustCompile(`(?m)^density = "([0-9.]+) kg/L"`)
	for i := range n - len(there) {
		base := bases[i%len(bases)]
		text, err := os.ReadFile(filepath.Join(farm, "protocols", base+".toml"))
		require.NoError(b, err)
		found := density.FindSubmatch(text)
		require.NotNil(b, found, base)
		var of float64
		_, err = fmt.Sscan(string(found[1]), &of)
		require.NoError(b, err)
		name := fmt.Sprintf("grown-%04d", i)
		own := fmt.Sprintf("format = 1\nbased_on = %q\ntitle = %q\nsummary = %q\n\n[fill]\ndensity = \"%.3f kg/L\"\n",
			base, "Grown "+name, fmt.Sprintf("Made up for a benchmark, number %d, seeded %d.", i, random.IntN(1_000_000)), of-0.001*float64(i/len(bases)%10))
		require.NoError(b, os.WriteFile(filepath.Join(farm, "protocols", name+".toml"), []byte(own), 0o644))
	}
}

// peakMemory samples the memory that the program holds, until it is asked for the most.
func peakMemory() func() uint64 {
	samples := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	quit, most := make(chan struct{}), make(chan uint64)
	go func() {
		var peak uint64
		for {
			metrics.Read(samples)
			peak = max(peak, samples[0].Value.Uint64()-samples[1].Value.Uint64())
			select {
			case <-quit:
				most <- peak
				return
			case <-time.After(5 * time.Millisecond):
			}
		}
	}()
	return func() uint64 { close(quit); return <-most }
}

// floorPages are the pages of a book as lines: what a template has to print of them.
// Pages of one kind and size of protocols that were grown from one are alike, and kept
// once.
type floorPages struct {
	paths []string
	of    map[string][]template.HTML // by path, of those that are kept
	kept  []string                   // for each path, the one that it is like
	texts [][]byte                   // Markdown, each distinct text once
}

var grownName = regexp.MustCompile(`^grown-(\d+)/`)

func floorOf(b *testing.B, out string) *floorPages {
	b.Helper()
	p := &floorPages{of: map[string][]template.HTML{}}
	bases := []string{"enoki-850", "beech-850", "oyster-1100", "maitake-quart"}
	require.NoError(b, filepath.WalkDir(out, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(out, file)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		like := name
		if m := grownName.FindStringSubmatch(name); m != nil {
			var i int
			if _, err := fmt.Sscan(m[1], &i); err != nil {
				return err
			}
			like = bases[i%len(bases)] + "/" + path.Base(name)
		}
		p.paths, p.kept = append(p.paths, name), append(p.kept, like)
		return nil
	}))
	for i, like := range p.kept {
		if p.of[like] != nil {
			continue
		}
		text, err := os.ReadFile(filepath.Join(out, filepath.FromSlash(like)))
		if os.IsNotExist(err) { // the base has no such page
			like = p.paths[i]
			p.kept[i] = like
			text, err = os.ReadFile(filepath.Join(out, filepath.FromSlash(like)))
		}
		require.NoError(b, err)
		for line := range strings.Lines(string(text)) {
			p.of[like] = append(p.of[like], template.HTML(line))
		}
	}
	guides, err := filepath.Glob("../../site/*.md")
	require.NoError(b, err)
	for _, g := range guides {
		text, err := os.ReadFile(g)
		require.NoError(b, err)
		p.texts = append(p.texts, text)
	}
	return p
}

// setFloor does what no book can be made without: it fills a parsed template with each
// page, turns each Markdown text into HTML once, and writes the same bytes.
func setFloor(b *testing.B, p *floorPages, out string) {
	b.Helper()
	page := template.Must(template.New("page").Parse(`{{range .}}{{.}}{{end}}`))
	for _, text := range p.texts {
		var html bytes.Buffer
		require.NoError(b, goldmark.Convert(text, &html))
	}
	pages := make([]book.Page, len(p.paths))
	buffers := sync.Pool{New: func() any { return new(bytes.Buffer) }}
	for i, name := range p.paths {
		pages[i] = book.Page{Path: name, Set: func() ([]byte, error) {
			html := buffers.Get().(*bytes.Buffer)
			defer buffers.Put(html)
			html.Reset()
			err := page.Execute(html, p.of[p.kept[i]])
			return slices.Clone(html.Bytes()), err
		}}
	}
	var made sync.Map
	require.NoError(b, book.Set(b.Context(), pages, func(_ int, f book.File) error {
		file := filepath.Join(out, filepath.FromSlash(f.Path))
		if _, is := made.Load(filepath.Dir(file)); !is {
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				return err
			}
			made.Store(filepath.Dir(file), true)
		}
		return os.WriteFile(file, f.Data, 0o644)
	}))
}
