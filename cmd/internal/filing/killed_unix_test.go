//go:build unix

package filing

import (
	"bufio"
	"bytes"
	"context"
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

	"bottlecrop/cmd/internal/checks"
)

// writerOf is the environment variable that makes this test a program that does nothing
// but put texts in the place of a file.
const writerOf = "BOTTLECROP_TEST_WRITER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(writerOf); dir != "" {
		writeForEver(dir)
	}
	os.Exit(m.Run())
}

// texts are the two that a writer puts in turn, long enough to be killed in.
var texts = [2]string{strings.Repeat("old = \"1\"\n", 40_000), strings.Repeat("new = \"22\"\n", 50_000)}

func writeForEver(dir string) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		panic(err)
	}
	for i := 1; ; i++ {
		held, err := Hold(root, "a.toml")
		if err == nil {
			err = held.Put(context.Background(), root, []byte(texts[i%2]))
		}
		if err != nil {
			panic(err)
		}
		fmt.Println(i)
	}
}

// A writer that is killed at any moment leaves the old text or the new one, whole, and at
// the most one file beside it, which the next one clears away. .ci/long kills it two
// hundred times.
func TestKilledWriter(t *testing.T) {
	kills := 20
	if s := os.Getenv("BOTTLECROP_KILLS"); s != "" {
		n, err := strconv.Atoi(s)
		require.NoError(t, err)
		kills = n
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "a.toml")
	write(t, file, texts[0])
	random := rand.New(rand.NewPCG(2, 2))
	half, most := 0, 0
	for range kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), writerOf+"="+dir)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		var said bytes.Buffer
		cmd.Stderr = &said
		require.NoError(t, cmd.Start())
		_, err = bufio.NewReader(out).ReadString('\n') // it is at work
		require.NoError(t, err, said.String())
		time.Sleep(time.Duration(random.Float64() * float64(30*time.Millisecond)))
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait()
		now := checks.Text(t, file)
		require.True(t, now == texts[0] || now == texts[1], "%d bytes, neither the old text nor the new one", len(now))
		beside := len(checks.Names(t, dir)) - 1
		if beside > 0 {
			half++
		}
		most = max(most, beside)
	}
	assert.LessOrEqual(t, most, 1, "what killed writers leave piles up")
	root := opened(t, dir)
	held, err := Hold(root, "a.toml")
	require.NoError(t, err)
	require.NoError(t, held.Put(t.Context(), root, []byte("last")))
	assert.Equal(t, "last", checks.Text(t, file))
	assert.Equal(t, []string{"a.toml"}, checks.Names(t, dir))
	t.Logf("%d kills, %d of them while a file was half written", kills, half)
}
