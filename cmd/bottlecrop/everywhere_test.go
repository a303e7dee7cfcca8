package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/cpu"
)

// A farm's book is the same byte for byte wherever it is made: on a processor that fuses
// multiplications and additions and has other exponentials (arm64, which qemu plays here,
// and amd64 at level 3), in another folder, zone, locale and umask, on one processor or
// on eight. It builds the program for each and makes some books, which takes a minute of
// two processors; so it is for .ci/run. With BOTTLECROP_GROWN=n there are a farm of so many
// protocols and one in US units besides, which .ci/long asks for.
func TestSameOnOtherProcessors(t *testing.T) {
	if os.Getenv("CI") == "" && os.Getenv("BOTTLECROP_GROWN") == "" {
		t.Skip("builds the program for other processors: .ci/run does that")
	}
	qemu := "qemu-aarch64-static"
	need(t, qemu)
	grown := 0
	if text := os.Getenv("BOTTLECROP_GROWN"); text != "" {
		var err error
		grown, err = strconv.Atoi(text)
		require.NoError(t, err)
	}
	dir := t.TempDir()
	cache := filepath.Join(dir, "cache")
	built := func(name string, env ...string) string {
		out := filepath.Join(dir, name)
		began := time.Now()
		c := exec.Command("go", "build", "-o", out, ".")
		c.Env = append(os.Environ(), env...)
		c.Env = append(c.Env, "CGO_ENABLED=0")
		ends(t, c)
		t.Logf("%s built in %s", name, time.Since(began).Round(time.Second))
		return out
	}
	here := built("here")
	arm := built("arm64", "GOOS=linux", "GOARCH=arm64")
	ways := []struct {
		name   string
		umask  string
		folder string // that the farm lies in, and the book
		run    []string
		env    []string
	}{
		{"one processor", "077", "Zwölf Äpfel/und eine Birne", []string{here}, []string{"GOMAXPROCS=1", "TZ=Pacific/Auckland", "LANG=tr_TR.UTF-8", "LC_ALL=tr_TR.UTF-8", "LC_NUMERIC=de_DE.UTF-8"}},
		{"eight processors", "002", "x", []string{here}, []string{"GOMAXPROCS=8", "TZ=America/St_Johns"}},
		{"arm64", "022", "arm64-farm", []string{qemu, arm}, []string{"GOMAXPROCS=2"}},
	}
	if grown > 0 && runtime.GOARCH == "amd64" {
		if cpu.X86.HasFMA && cpu.X86.HasAVX2 && cpu.X86.HasBMI2 {
			ways = append(ways, ways[0])
			ways[3].name, ways[3].run, ways[3].folder = "amd64 that fuses", []string{built("amd64-v3", "GOAMD64=v3")}, "v3"
		} else {
			t.Log("amd64 that fuses: not run, this processor does not")
		}
	}
	farms := []struct {
		name string
		make func(farm string)
		args []string
	}{{"demo", func(farm string) { copyDemoFarm(t, farm) }, nil}}
	if grown > 0 {
		farms = append(farms, farms[0], farms[0])
		farms[1].name, farms[1].args = "demo in US units", []string{"--units", "us", "--spread"}
		farms[2].name, farms[2].make = "grown", func(farm string) { grownFarm(t, farm, grown) }
	}
	for _, f := range farms {
		t.Run(f.name, func(t *testing.T) {
			first := filepath.Join(t.TempDir(), "first")
			f.make(first)
			bookOf := func(umask, farm string, run, env []string) string {
				began := time.Now()
				args := slices.Concat([]string{"-c", "umask " + umask + ` && exec "$@"`, "sh"}, run, []string{"book", "--farm", farm}, f.args)
				c := exec.Command("sh", args...)
				c.Env = slices.Concat(os.Environ(), []string{noCache + "=", noRescale + "=on", "XDG_CACHE_HOME=" + cache}, env)
				ends(t, c)
				t.Logf("%v: %s", env, time.Since(began).Round(time.Second))
				return filepath.Join(farm, "out")
			}
			want := bookOf("022", first, []string{here}, nil)
			require.FileExists(t, filepath.Join(want, "enoki-850", "carried.js"), "the book carries what sheets are worked out from")
			for _, way := range ways {
				farm := filepath.Join(t.TempDir(), way.folder)
				f.make(farm)
				sameFiles(t, want, bookOf(way.umask, farm, way.run, way.env), way.name)
			}
		})
	}
}

// sameFiles fails where a folder has not the same files with the same bytes as another,
// and shows where the first of them differ.
func sameFiles(t *testing.T, a, b, of string) {
	t.Helper()
	list := func(dir string) (out []string) {
		require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
			if err == nil && !d.IsDir() {
				out = append(out, strings.TrimPrefix(path, dir))
			}
			return err
		}))
		return out
	}
	files := list(a)
	require.Greater(t, len(files), 300)
	require.Equal(t, files, list(b), of)
	wrong := 0
	for _, name := range files {
		x, err := os.ReadFile(filepath.Join(a, name))
		require.NoError(t, err)
		y, err := os.ReadFile(filepath.Join(b, name))
		require.NoError(t, err)
		if string(x) == string(y) {
			continue
		}
		if wrong++; wrong <= 8 {
			assert.Fail(t, of+": "+name+" differs "+firstDifference(string(x), string(y)))
		}
	}
	if wrong > 0 {
		t.Errorf("%s: %d of %d files differ", of, wrong, len(files))
	}
}
