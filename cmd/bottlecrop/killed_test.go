package main

import (
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
)

// A book that is killed at any moment leaves a whole book: the old one or the
// new one, never a mixture. .ci/long kills it two hundred times.
func TestKilledBook(t *testing.T) {
	kills := 8
	if s := os.Getenv("BOTTLECROP_KILLS"); s != "" {
		n, err := strconv.Atoi(s)
		require.NoError(t, err)
		kills = n
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "bottlecrop")
	made, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput()
	require.NoError(t, err, "%s", made)
	farm := filepath.Join(dir, "farm")
	started, err := exec.Command(program, "start", farm).CombinedOutput()
	require.NoError(t, err, "%s", started)
	out := filepath.Join(farm, "out")
	run := func(size int) *exec.Cmd {
		return exec.Command(program, "book", "--farm", farm, "--bottles", strconv.Itoa(size))
	}
	begin := time.Now()
	first, err := run(500).CombinedOutput()
	require.NoError(t, err, "%s", first)
	whole := time.Since(begin)

	random := rand.New(rand.NewPCG(1, 1))
	for i := range kills {
		cmd := run(501 + i)
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(random.Float64() * 1.2 * float64(whole)))
		_ = cmd.Process.Kill() // it may be done already
		_ = cmd.Wait()
		requireWhole(t, out)
	}
	last, err := run(499).CombinedOutput()
	require.NoError(t, err, "%s", last)
	requireWhole(t, out)
	entries, err := os.ReadDir(farm)
	require.NoError(t, err)
	for _, e := range entries {
		assert.False(t, strings.HasPrefix(e.Name(), ".bottlecrop"), "%s was left by a killed run", e.Name())
	}
}

// requireWhole holds every file of a book to the book's own list.
func requireWhole(t *testing.T, out string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(out, book.Marker))
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")[1:]
	require.Greater(t, len(lines), 10)
	for _, line := range lines {
		sum, name, ok := strings.Cut(line, "  ")
		require.True(t, ok, line)
		page, err := os.ReadFile(filepath.Join(out, name))
		require.NoError(t, err)
		require.Equal(t, sum, fmt.Sprintf("%x", sha256.Sum256(page)), name)
	}
}
