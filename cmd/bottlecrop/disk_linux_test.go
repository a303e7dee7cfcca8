package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"bottlecrop/cmd/internal/book"
)

// withDisks is the environment variable that says to a test that it runs where it may
// mount disks.
const withDisks = "BOTTLECROP_TEST_DISKS"

// mayMount runs the test that calls it again in a process that may mount disks which
// nobody else sees, and reports whether this is that process. It needs a kernel that lets
// everybody have user namespaces: on a machine without them the test is skipped, and in
// CI it fails.
func mayMount(t *testing.T) bool {
	t.Helper()
	if os.Getenv(withDisks) != "" {
		return true
	}
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self, "-test.run=^"+t.Name()+"$", "-test.v")
	cmd.Env = append(os.Environ(), withDisks+"=1", noCache+"=", "XDG_CACHE_HOME="+sharedFolder(t, "cache-of-programs"))
	cmd.SysProcAttr = &syscall.SysProcAttr{
		Cloneflags:  syscall.CLONE_NEWUSER | syscall.CLONE_NEWNS,
		UidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Geteuid(), Size: 1}},
		GidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getegid(), Size: 1}},
	}
	var out strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Start(); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("this test mounts disks in a user namespace, and in CI it may not be skipped: %v", err)
		}
		t.Skipf("this machine lets nobody mount disks in a user namespace: %v", err)
	}
	require.NoError(t, cmd.Wait(), "%s", &out)
	require.Contains(t, out.String(), "--- PASS: "+t.Name())
	t.Logf("in a process that may mount disks:\n%s", &out)
	return false
}

// disk mounts an empty disk of so many kilobytes.
func disk(t *testing.T, kilobytes int64) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, unix.Mount("tmpfs", dir, "tmpfs", 0, "size="+strconv.FormatInt(kilobytes, 10)+"k"))
	t.Cleanup(func() { _ = unix.Unmount(dir, unix.MNT_DETACH) }) // it goes with the process
	return dir
}

// usedOf is how many kilobytes of a disk are in use.
func usedOf(t *testing.T, dir string) int64 {
	t.Helper()
	var s unix.Statfs_t
	require.NoError(t, unix.Statfs(dir, &s))
	return int64(s.Blocks-s.Bfree) * s.Bsize / 1024
}

// fillUp leaves no room on a disk, and gives a function that makes room again.
func fillUp(t *testing.T, dir string) (empty func()) {
	t.Helper()
	file := filepath.Join(dir, "filler")
	f, err := os.Create(file)
	require.NoError(t, err)
	for size := 1 << 20; size > 0; size /= 2 {
		for err == nil {
			_, err = f.Write(make([]byte, size))
		}
		require.ErrorIs(t, err, syscall.ENOSPC)
		err = nil
	}
	require.NoError(t, f.Close())
	return func() { require.NoError(t, os.Remove(file)) }
}

// A full disk and one that can't be written to cost nobody a book, and nothing is left
// that would pile up. A book goes to any disk, but not in the place of one.
func TestBooksOnDisks(t *testing.T) {
	if !mayMount(t) {
		return
	}
	program := theProgram(t)
	farm := begunFarm(t, program, t.TempDir())
	roomy := disk(t, 200_000)
	first := func(out string) {
		t.Helper()
		ends(t, program("book", "--farm", farm, "--out", out, "--bottles", "500"))
	}
	first(filepath.Join(roomy, "book"))
	large := usedOf(t, roomy)
	t.Logf("the book has %d kB on a disk", large)

	t.Run("another disk", func(t *testing.T) {
		temporary := disk(t, 1000)
		cmd := program("book", "--farm", farm, "--out", filepath.Join(roomy, "book"), "--bottles", "501")
		cmd.Env = append(cmd.Env, "TMPDIR="+temporary)
		ends(t, cmd)
		requireWhole(t, filepath.Join(roomy, "book"))
		assert.Equal(t, 501, sizeOf(t, filepath.Join(roomy, "book")))
		assert.Empty(t, leftovers(t, roomy))
	})

	t.Run("full while the book is written", func(t *testing.T) {
		dir := disk(t, large*3/2)
		out := filepath.Join(dir, "book")
		first(out)
		used := usedOf(t, dir)
		for range 2 {
			said := refuses(t, program("book", "--farm", farm, "--out", out, "--bottles", "501"))
			assert.Contains(t, said, "no book was made: write "+out)
			assert.Contains(t, said, "no space left on device\n  hint: see that there is room")
			requireWhole(t, out)
			assert.Equal(t, 500, sizeOf(t, out))
			assert.Empty(t, leftovers(t, dir))
			assert.Equal(t, used, usedOf(t, dir), "what failed runs leave takes room")
		}
	})

	t.Run("read-only", func(t *testing.T) {
		dir := disk(t, large*4)
		out := filepath.Join(dir, "book")
		first(out)
		before := contents(t, dir)
		require.NoError(t, unix.Mount("", dir, "", unix.MS_REMOUNT|unix.MS_RDONLY, ""))
		assert.Contains(t, refuses(t, program("book", "--farm", farm, "--out", out, "--bottles", "501")), "in which nothing may be removed")
		assert.Contains(t, refuses(t, program("book", "--farm", farm, "--out", out+"-2")), "read-only file system\n  hint: see that")
		assert.Equal(t, before, contents(t, dir))
	})

	t.Run("the root of a disk", func(t *testing.T) {
		dir := disk(t, large*3)
		said := refuses(t, program("book", "--farm", farm, "--out", dir))
		assert.Contains(t, said, dir+" is the root of a disk, which can't be replaced in one step\n  hint: name a folder in it, such as --out "+dir+"/book")
		// A folder of the same disk that is mounted at another place looks like any other.
		of, at := filepath.Join(dir, "of"), filepath.Join(dir, "at")
		first(of)
		require.NoError(t, os.Mkdir(at, 0o755))
		require.NoError(t, unix.Mount(of, at, "", unix.MS_BIND, ""))
		assert.Contains(t, refuses(t, program("book", "--farm", farm, "--out", at, "--bottles", "501")), "is the root of a disk")
		requireWhole(t, of)
		assert.FileExists(t, filepath.Join(at, book.Marker))
		assert.Empty(t, leftovers(t, dir))
		require.NoError(t, unix.Unmount(at, 0))
	})
}

// Nor do they cost anybody a file, whichever command writes it.
func TestFilesOnDisks(t *testing.T) {
	if !mayMount(t) {
		return
	}
	program := theProgram(t)

	t.Run("full while a file is written", func(t *testing.T) {
		dir := disk(t, 4000)
		own := begunFarm(t, program, dir)
		page := filepath.Join(dir, "page.html")
		ends(t, program("print", "my-first-protocol", "--bottles", "12", "--only", "sheet", "--to", page, "--farm", own))
		before := contents(t, dir)
		empty := fillUp(t, dir)
		full := len(contents(t, dir))
		approve := program("check", "--approve", "my-first-protocol", "--by", "A. Keeper", "--on", "2026-11-26", "--farm", own)
		for _, cmd := range []*exec.Cmd{
			approve,
			program("design", "my-first-protocol", "--nitrogen", "0.9%..0.95%", "--write", "--farm", own),
			program("print", "my-first-protocol", "--bottles", "12", "--only", "record", "--to", page, "--farm", own),
			program("plan", "my-first-protocol", "--bottles", "12", "--start", "2026-12-01", "--batch", "b-1", "--ical", filepath.Join(dir, "plan.ics"), "--farm", own),
			program("start", filepath.Join(dir, "farm-2")),
		} {
			assert.Contains(t, refuses(t, cmd), "no space left on device", "%s", cmd)
			assert.Len(t, contents(t, dir), full, "%s", cmd)
		}
		empty()
		assert.Equal(t, before, contents(t, dir))
		ends(t, program("start", filepath.Join(dir, "farm-2")))
		ends(t, program(approve.Args[1:]...))
	})

	t.Run("read-only", func(t *testing.T) {
		dir := disk(t, 4000)
		own := begunFarm(t, program, dir)
		before := contents(t, dir)
		require.NoError(t, unix.Mount("", dir, "", unix.MS_REMOUNT|unix.MS_RDONLY, ""))
		for _, cmd := range []*exec.Cmd{
			program("check", "--approve", "my-first-protocol", "--by", "A. Keeper", "--on", "2026-11-26", "--farm", own),
			program("design", "my-first-protocol", "--nitrogen", "0.9%..0.95%", "--write", "--farm", own),
			program("start", filepath.Join(dir, "farm-2")),
		} {
			assert.Contains(t, refuses(t, cmd), "read-only file system", "%s", cmd)
		}
		ends(t, program("check", "--farm", own))
		assert.Equal(t, before, contents(t, dir))
	})
}
