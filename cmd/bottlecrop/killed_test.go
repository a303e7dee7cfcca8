package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
)

// kills is how often a test kills the program: a few times, or as BOTTLECROP_KILLS says.
func kills(t *testing.T, few int) int {
	s := os.Getenv("BOTTLECROP_KILLS")
	if s == "" {
		return few
	}
	n, err := strconv.Atoi(s)
	require.NoError(t, err)
	return n
}

// longest is how long after its start a command is killed at the latest, by what it took
// when nobody killed it: a busy machine does not become idle in between.
const longest = 1.6

// theProgram is the program itself in a process of its own, which testscript puts in the
// path. It keeps a cache for the test, so that it is as quick as for a user.
func theProgram(t *testing.T) func(args ...string) *exec.Cmd {
	t.Helper()
	cache := sharedFolder(t, "cache-of-programs")
	return func(args ...string) *exec.Cmd { return withCache(cache, args...) }
}

// withCache is a run of the program with a cache in a folder.
func withCache(folder string, args ...string) *exec.Cmd {
	cmd := exec.Command("bottlecrop", args...)
	cmd.Env = append(os.Environ(), noCache+"=", "XDG_CACHE_HOME="+folder)
	return cmd
}

// ends runs a command that has to end well.
func ends(t *testing.T, cmd *exec.Cmd) string {
	t.Helper()
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	return string(out)
}

// refuses runs a command that something outside has to stop, and gives what it says.
func refuses(t *testing.T, cmd *exec.Cmd) string {
	t.Helper()
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit, "%s", out)
	require.Equal(t, environment, exit.ExitCode(), "%s", out)
	return string(out)
}

// begunFarm is a farm folder as start writes it, with a version to approve.
func begunFarm(t *testing.T, program func(args ...string) *exec.Cmd, dir string) string {
	t.Helper()
	farm := filepath.Join(dir, "farm")
	ends(t, program("start", farm))
	file := filepath.Join(farm, firstProtocol)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, append(text, "\n[document]\nnumber = \"1\"\nversion = \"1\"\nowner = \"C. Grower\"\n"...), 0o644))
	return farm
}

// firstProtocol is the one that start writes.
const firstProtocol = "protocols/my-first-protocol.toml"

// leftovers are what runs left in a folder, outside of a book in it.
func leftovers(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case strings.HasPrefix(d.Name(), ".bottlecrop-") && d.Name() != book.Marker:
			out = append(out, path)
			if d.IsDir() {
				return fs.SkipDir
			}
		}
		return nil
	}))
	return out
}

// A book that is killed at any moment leaves a whole book: the old one or the
// new one, never a mixture, and at the most one folder beside it, which the next run
// clears away. .ci/long kills it two hundred times.
func TestKilledBook(t *testing.T) {
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	out := filepath.Join(farm, "out")
	run := func(size int) *exec.Cmd { return program("book", "--farm", farm, "--bottles", strconv.Itoa(size)) }
	ends(t, run(500)) // fills the cache
	begin := time.Now()
	ends(t, run(499)) // nearly all of it is new, as of those that are killed
	whole := time.Since(begin)

	random := rand.New(rand.NewPCG(1, 1))
	stands, beside, isNew := 499, 0, 0
	n := kills(t, 2)
	for i := range n {
		cmd := run(501 + i)
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(random.Float64() * longest * float64(whole)))
		_ = cmd.Process.Kill() // it may be done already
		_ = cmd.Wait()
		requireWhole(t, out)
		now := sizeOf(t, out)
		require.True(t, now == stands || now == 501+i, "a book for %d after one for %d, at the making of that for %d", now, stands, 501+i)
		if now != stands {
			isNew++
		}
		stands = now
		left := leftovers(t, farm)
		require.LessOrEqual(t, len(left), 1, "what killed runs leave piles up: %s", left)
		beside += len(left)
	}
	ends(t, run(498))
	requireWhole(t, out)
	assert.Empty(t, leftovers(t, farm))
	t.Logf("%d kills in up to %g times %v: %d left something beside the book, %d came after the new one stood", n, longest, whole, beside, isNew)
}

// sizeOf is the size of batches that a book was made for by --bottles.
func sizeOf(t *testing.T, out string) int {
	t.Helper()
	for size := range 1000 {
		if size >= 498 {
			if _, err := os.Stat(filepath.Join(out, "my-first-protocol", fmt.Sprintf("sheet-%d.html", size))); err == nil {
				return size
			}
		}
	}
	require.Fail(t, "the book has no sheet of the size that was asked for")
	return 0
}

// requireWhole holds every file of a book to the book's own list, and the list to the
// files.
func requireWhole(t *testing.T, out string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(out, book.Marker))
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
	require.Greater(t, len(lines), 10)
	listed := map[string]bool{book.Marker: true}
	for _, line := range lines {
		sum, name, ok := strings.Cut(line, "  ")
		require.True(t, ok, line)
		page, err := os.ReadFile(filepath.Join(out, name))
		require.NoError(t, err)
		require.Equal(t, sum, fmt.Sprintf("%x", sha256.Sum256(page)), name)
		listed[name] = true
	}
	require.NoError(t, filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(out, path)
		require.NoError(t, err)
		require.True(t, listed[filepath.ToSlash(rel)], "%s is in no list", rel)
		return nil
	}))
}

// A command that writes into a farm's file and is killed leaves it as it was or as it is
// to be, byte for byte, and what it leaves beside goes with the next. How a killed writer
// leaves a file when it is killed in the midst of writing is held by package filing.
func TestKilledEdits(t *testing.T) {
	program := theProgram(t)
	dir := t.TempDir()
	farm := begunFarm(t, program, dir)
	file := filepath.Join(farm, firstProtocol)
	before, err := os.ReadFile(file)
	require.NoError(t, err)
	edits := map[string][]string{
		"approve": {"check", "--approve", "my-first-protocol", "--by", "A. Keeper", "--on", "2026-11-26", "--farm", farm},
		"design":  {"design", "my-first-protocol", "--nitrogen", "0.9%..0.95%", "--write", "--farm", farm},
	}
	random := rand.New(rand.NewPCG(3, 3))
	for name, args := range edits {
		begin := time.Now()
		ends(t, program(args...))
		whole := time.Since(begin)
		after, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NotEqual(t, string(before), string(after))
		written, beside := 0, 0
		n := kills(t, 2)
		for range n {
			require.NoError(t, os.WriteFile(file, before, 0o644))
			cmd := program(args...)
			require.NoError(t, cmd.Start())
			time.Sleep(time.Duration(random.Float64() * longest * float64(whole)))
			_ = cmd.Process.Kill() // it may be done already
			_ = cmd.Wait()
			now, err := os.ReadFile(file)
			require.NoError(t, err)
			switch string(now) {
			case string(before):
			case string(after):
				written++
			default:
				require.Fail(t, "neither the old file nor the new one", "%s", now)
			}
			left := leftovers(t, farm)
			require.LessOrEqual(t, len(left), 1, "what killed runs leave piles up: %s", left)
			beside += len(left)
		}
		require.NoError(t, os.WriteFile(file, before, 0o644))
		ends(t, program(args...))
		assert.Empty(t, leftovers(t, farm))
		require.NoError(t, os.WriteFile(file, before, 0o644))
		t.Logf("%s: %d kills in up to %g times %v: %d left a file beside, %d came after the writing", name, n, longest, whole, beside, written)
	}
}

// A start that was killed is taken up by the next, and a file that is there is whole.
func TestKilledStart(t *testing.T) {
	program := theProgram(t)
	dir := t.TempDir()
	whole := filepath.Join(dir, "whole")
	begin := time.Now()
	ends(t, program("start", whole))
	long := time.Since(begin)
	want := contents(t, whole)
	random := rand.New(rand.NewPCG(4, 4))
	part, n := 0, kills(t, 3)
	for i := range n {
		farm := filepath.Join(dir, strconv.Itoa(i))
		cmd := program("start", farm)
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(random.Float64() * longest * float64(long)))
		_ = cmd.Process.Kill() // it may be done already
		_ = cmd.Wait()
		if _, err := os.Stat(farm); err == nil {
			for name, text := range contents(t, farm) {
				if !strings.HasPrefix(filepath.Base(name), ".bottlecrop-put-") {
					require.True(t, want[name] == text, "%s is not whole", name)
				}
			}
		}
		if now := contents(t, farm); len(now) > 0 && len(now) < len(want) {
			part++
		}
		if out, err := program("start", farm).CombinedOutput(); err != nil {
			require.Contains(t, string(out), "is there already", "the first one was done")
		}
		now := contents(t, farm)
		require.Equal(t, slices.Sorted(maps.Keys(want)), slices.Sorted(maps.Keys(now)))
		require.True(t, maps.Equal(want, now), "a file is not whole")
		require.NoError(t, os.RemoveAll(farm))
	}
	t.Logf("%d kills in up to %g times %v: %d between two files", n, longest, long, part)
}

// contents are the files of a folder; none of one that is not there.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	if _, err := os.Stat(dir); err != nil {
		return out
	}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		rel, err := filepath.Rel(dir, path)
		require.NoError(t, err)
		out[filepath.ToSlash(rel)] = string(text)
		return nil
	}))
	return out
}

// Two books at once are both made, and one of them stands, whole.
func TestTwoBooksAtOnce(t *testing.T) {
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	var runs []*exec.Cmd
	for size := range 3 {
		cmd := program("book", "--farm", farm, "--bottles", strconv.Itoa(500+size))
		cmd.Stderr = new(strings.Builder)
		require.NoError(t, cmd.Start())
		runs = append(runs, cmd)
	}
	for _, cmd := range runs {
		require.NoError(t, cmd.Wait(), "%s", cmd.Stderr)
	}
	out := filepath.Join(farm, "out")
	requireWhole(t, out)
	assert.Contains(t, []int{500, 501, 502}, sizeOf(t, out))
	assert.Empty(t, leftovers(t, farm))
}

// Of several that approve at once one is done. The others are told that the file has
// changed, or find it approved: none believes that its name stands there.
func TestApprovalsAtOnce(t *testing.T) {
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	type run struct {
		cmd *exec.Cmd
		out *strings.Builder
	}
	var runs []run
	for _, by := range []string{"A. Keeper", "B. Keeper", "C. Keeper"} {
		cmd, out := program("check", "--approve", "my-first-protocol", "--by", by, "--on", "2026-11-26", "--farm", farm), new(strings.Builder)
		cmd.Stdout, cmd.Stderr = out, out
		require.NoError(t, cmd.Start())
		runs = append(runs, run{cmd, out})
	}
	var by []string
	for i, r := range runs {
		err := r.cmd.Wait()
		switch said := r.out.String(); {
		case err == nil && strings.Contains(said, ": approved by"):
			by = append(by, []string{"A. Keeper", "B. Keeper", "C. Keeper"}[i])
		case err == nil:
			assert.Contains(t, said, "was approved by")
		default:
			assert.Equal(t, environment, r.cmd.ProcessState.ExitCode(), said)
			assert.Contains(t, said, "was changed by somebody else while this ran; nothing was written into it\n  hint: ")
		}
	}
	require.Len(t, by, 1)
	text, err := os.ReadFile(filepath.Join(farm, firstProtocol))
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(string(text), "[approval]"))
	assert.Contains(t, string(text), `by = "`+by[0]+`"`)
}

// An edit that somebody makes while a command works is not written over, whichever
// command that is.
func TestAnEditInTheMeantimeIsKept(t *testing.T) {
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	file := filepath.Join(farm, firstProtocol)
	w := (&settings{farm: farm}).hold(firstProtocol)
	require.NoError(t, w.err)
	w.text = append(slices.Clone(w.held.Text), "# by the program\n"...)
	mine := append(slices.Clone(w.held.Text), "# by hand\n"...)
	require.NoError(t, os.WriteFile(file, mine, 0o644))
	var said strings.Builder
	term := &terminal{out: &said, err: &said}
	assert.Equal(t, environment, term.status(w.put(t.Context())))
	assert.Contains(t, said.String(), firstProtocol+" was changed by somebody else while this ran; nothing was written into it\n  hint: look at")
	now, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(mine), string(now))
}
