package versions

import (
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/history"
)

// 2,000 commits on 50 protocols: one in 50 changes the farm, one in 200 the farm's
// library, all others a protocol. Issue 9 asks for 3 s the first time.
func BenchmarkVersions(b *testing.B) {
	r := checks.NewRepository(b)
	demo := os.DirFS("../../..")
	text := func(name string) string {
		src, err := fs.ReadFile(demo, "protocols/"+name)
		require.NoError(b, err)
		return string(src)
	}
	hold := regexp.MustCompile(`(?m)^hold = .*`)
	altitude := regexp.MustCompile(`(?m)^altitude = .*`)
	wall := regexp.MustCompile(`(?m)^wall = .*`)
	farm, enoki, vessels := text("farm.toml"), text("enoki-850.toml"), text("library/vessels.toml")
	var script strings.Builder
	file := func(name, text string) {
		fmt.Fprintf(&script, "M 100644 inline protocols/%s\ndata %d\n%s\n", name, len(text), text)
	}
	commit := func(i int) {
		fmt.Fprintf(&script, "commit refs/heads/main\ncommitter Ada <ada@example.org> %d +0000\ndata 1\nx\n", 1700000000+3600*i)
	}
	var names []string
	commit(0)
	file("farm.toml", farm)
	file("library/vessels.toml", vessels)
	file("evidence/2026-03-02-enoki.csv", text("evidence/2026-03-02-enoki.csv"))
	for i := range 50 {
		name := fmt.Sprintf("p%d", i)
		if i == 0 {
			name = "enoki-850" // the farm's file names it
		}
		names = append(names, name)
		file(name+".toml", enoki)
	}
	for i := 1; i < 2000; i++ {
		commit(i)
		switch {
		case i%200 == 0:
			file("library/vessels.toml", wall.ReplaceAllString(vessels, fmt.Sprintf(`wall = "1.8%03d mm"`, i/2)))
		case i%50 == 0:
			file("farm.toml", altitude.ReplaceAllString(farm, fmt.Sprintf(`altitude = "%d m"`, 100+i)))
		default:
			file(names[i%49]+".toml", hold.ReplaceAllString(enoki, fmt.Sprintf(`hold = "%d.%03d min"`, 120+i%7, i/2)))
		}
	}
	c := exec.Command("git", "fast-import", "--quiet")
	c.Dir, c.Stdin = r.Dir, strings.NewReader(script.String())
	require.NoError(b, c.Run())
	read := func(store Store, names ...string) []Line {
		h, err := history.Open(b.Context(), r.Dir)
		require.NoError(b, err)
		head, err := h.Resolve(b.Context(), "main")
		require.NoError(b, err)
		lines, err := (&Reader{h, library, store}).Of(b.Context(), head, names...)
		require.NoError(b, err)
		require.NoError(b, h.Close())
		require.Greater(b, len(lines[0].Versions), 70)
		return lines
	}
	b.Run("all the first time", func(b *testing.B) {
		for b.Loop() {
			read(nil, names...)
		}
	})
	store := memory{}
	read(store, names...)
	b.Logf("%d kB are kept", len(store[keptAs])>>10)
	b.Run("all again", func(b *testing.B) {
		for b.Loop() {
			read(store, names...)
		}
	})
	b.Run("one the first time", func(b *testing.B) {
		for b.Loop() {
			read(nil, names[0])
		}
	})
	b.Run("one again", func(b *testing.B) {
		for b.Loop() {
			read(store, names[0])
		}
	})
}
