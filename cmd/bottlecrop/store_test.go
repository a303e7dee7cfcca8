package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
)

// filesOf are the paths of all files in a folder.
func filesOf(t *testing.T, folder string) []string {
	entries, err := os.ReadDir(folder)
	if os.IsNotExist(err) {
		return nil
	}
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, filepath.Join(folder, e.Name()))
	}
	return out
}

func TestStore(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "a", "b")
	s := newStore(folder, "build 1")
	_, found := s.Find("key")
	assert.False(t, found)
	s.Keep("key", []byte("result"))
	s.Keep("empty", nil)
	data, found := s.Find("key")
	assert.True(t, found)
	assert.Equal(t, "result", string(data))
	data, found = s.Find("empty")
	assert.True(t, found)
	assert.Empty(t, data)
	_, found = s.Find("other key")
	assert.False(t, found)
	// Another process of the same program has it, another program has not.
	data, found = newStore(folder, "build 1").Find("key")
	assert.True(t, found)
	assert.Equal(t, "result", string(data))
	_, found = newStore(folder, "build 2").Find("key")
	assert.False(t, found)
	// The last word counts.
	s.Keep("key", []byte("again"))
	data, _ = s.Find("key")
	assert.Equal(t, "again", string(data))
	assert.Len(t, filesOf(t, folder), 2)
}

func TestStoreTakesNoDamagedFile(t *testing.T) {
	folder := t.TempDir()
	s := newStore(folder, "build")
	s.Keep("one", []byte(`{"Least":900}`))
	s.Keep("two", []byte(`{"Least":800}`))
	one, two := filepath.Join(folder, s.name("one")), filepath.Join(folder, s.name("two"))
	good, err := os.ReadFile(one)
	require.NoError(t, err)
	for i := range good {
		bad := append([]byte{}, good...)
		bad[i] ^= 1
		require.NoError(t, os.WriteFile(one, bad, 0o600))
		_, found := s.Find("one")
		require.False(t, found, "byte %d", i)
		require.NoError(t, os.WriteFile(one, good[:i], 0o600))
		_, found = s.Find("one")
		require.False(t, found, "cut off at %d", i)
	}
	// A good file under the name of another result.
	require.NoError(t, os.WriteFile(one, good, 0o600))
	require.NoError(t, os.Rename(one, two))
	_, found := s.Find("two")
	assert.False(t, found)
	// A link, a folder and a file without end in the place of a result.
	require.NoError(t, os.Symlink("/dev/zero", one))
	_, found = s.Find("one")
	assert.False(t, found)
	require.NoError(t, os.Remove(one))
	require.NoError(t, os.Mkdir(one, 0o700))
	_, found = s.Find("one")
	assert.False(t, found)
	s.Keep("one", []byte("result")) // can't be, and is not said
	require.NoError(t, os.Remove(one))
	require.NoError(t, os.WriteFile(one, nil, 0o600))
	require.NoError(t, os.Truncate(one, mostOfResult+1))
	_, found = s.Find("one")
	assert.False(t, found)
	s.Keep("one", []byte("result"))
	_, found = s.Find("one")
	assert.True(t, found, "what is damaged is written anew")
}

func TestStoreRemovesTheOldest(t *testing.T) {
	folder := t.TempDir()
	foreign := filepath.Join(folder, "notes.txt")
	require.NoError(t, os.WriteFile(foreign, make([]byte, 4096), 0o600))
	half := filepath.Join(folder, ".bottlecrop-put-0123456789abcdef") // of a killed process
	require.NoError(t, os.WriteFile(half, []byte("half"), 0o600))
	old := time.Now().Add(-time.Hour)
	require.NoError(t, os.Chtimes(half, old, old))
	s := newStore(folder, "build")
	s.files = 20
	for i := range 50 {
		key := fmt.Sprint(i)
		s.Keep(key, []byte("result"))
		at := old.Add(time.Duration(i+1) * time.Second)
		require.NoError(t, os.Chtimes(filepath.Join(folder, s.name(key)), at, at))
		assert.LessOrEqual(t, len(filesOf(t, folder)), 20+1)
	}
	_, found := s.Find("49")
	assert.True(t, found)
	_, found = s.Find("0")
	assert.False(t, found)
	assert.FileExists(t, foreign)
	assert.NoFileExists(t, half)

	// By bytes.
	s = newStore(t.TempDir(), "build")
	s.bytes = 10_000
	for i := range 30 {
		s.Keep(fmt.Sprint(i), make([]byte, 1000))
		var all int64
		for _, f := range filesOf(t, s.folder) {
			info, err := os.Stat(f)
			require.NoError(t, err)
			all += info.Size()
		}
		assert.LessOrEqual(t, all, s.bytes)
	}
	s.Keep("too large", make([]byte, mostOfResult))
	_, found = s.Find("too large")
	assert.False(t, found)
}

func TestStoreIsSilentWithoutAFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	s := newStore(filepath.Join(file, "thermal"), "build")
	s.Keep("key", []byte("result"))
	_, found := s.Find("key")
	assert.False(t, found)

	t.Setenv(noCache, "1")
	assert.Nil(t, openStore("thermal", builtAs()))
	t.Setenv(noCache, "")
	t.Setenv("HOME", "")
	t.Setenv("XDG_CACHE_HOME", "")
	t.Setenv("LocalAppData", "")
	assert.Nil(t, openStore("thermal", builtAs()))
}

// A book has the same bytes without a cache, with a cold and a warm one, and
// whatever has become of it.
func TestTheCacheNeverChangesABook(t *testing.T) {
	t.Parallel() // with those that have no page in the shared browser
	dir := t.TempDir()
	farm, cache := filepath.Join(dir, "farm"), filepath.Join(dir, "cache")
	thermal := filepath.Join(cache, "bottlecrop", "thermal")
	run := func(args ...string) {
		cmd := withCache(cache, args...)
		cmd.Env = append(cmd.Env, "HOME="+dir)
		if !slices.Contains(args, "--out") {
			cmd.Env = append(cmd.Env, noCache+"=1")
		}
		text, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", text)
	}
	run("start", farm)
	run("book", "--farm", farm, "--spread")
	// The list has the checksum of every file of the book.
	want, err := os.ReadFile(filepath.Join(farm, "out", book.Marker))
	require.NoError(t, err)
	require.Empty(t, filesOf(t, cache), "without a cache there is none")
	n := 0
	same := func(how string) {
		n++
		out := filepath.Join(dir, fmt.Sprint("out", n))
		run("book", "--farm", farm, "--spread", "--out", out)
		got, err := os.ReadFile(filepath.Join(out, book.Marker))
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got), how)
	}
	states := func() string {
		var b strings.Builder
		for _, f := range filesOf(t, thermal) {
			info, err := os.Stat(f)
			require.NoError(t, err)
			fmt.Fprintln(&b, info.Name(), info.ModTime().UnixNano(), info.Size())
		}
		return b.String()
	}
	same("cold")
	filled := states()
	require.NotEmpty(t, filled)
	same("warm")
	assert.Equal(t, filled, states(), "all that was needed was there")
	for i, f := range filesOf(t, thermal) {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		switch i % 3 {
		case 0: // another number, of the same form
			text = []byte(strings.NewReplacer("1", "2", "3", "4").Replace(string(text)))
		case 1:
			text = text[:len(text)/2]
		case 2:
			text = nil
		}
		require.NoError(t, os.WriteFile(f, text, 0o600))
	}
	same("damaged")
	if !checks.Whole() {
		return
	}
	require.NoError(t, os.Chmod(thermal, 0o500))
	for _, f := range filesOf(t, thermal)[:2] {
		require.NoError(t, os.WriteFile(f, nil, 0o400))
	}
	same("read-only")
	require.NoError(t, os.Chmod(thermal, 0o700))
	require.NoError(t, os.RemoveAll(thermal))
	require.NoError(t, os.WriteFile(thermal, nil, 0o600))
	same("a file in place of the folder")
}
