package main

import (
	"io"
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// counting tells how much of a file was read.
type counting struct {
	fs.FS
	read *int
}

type countingFile struct {
	fs.File
	read *int
}

func (c counting) Open(name string) (fs.File, error) {
	f, err := c.FS.Open(name)
	return countingFile{f, c.read}, err
}

func (f countingFile) Read(p []byte) (int, error) {
	n, err := f.File.Read(p)
	*f.read += n
	return n, err
}

// Of a file that is larger than anybody reads no more is read than was asked for, and
// what was read is noted: the head of it, and another head as another.
func TestObservedFilesAreReadAsFarAsIsAsked(t *testing.T) {
	head := func(text string) ([]string, int) {
		read := 0
		w := observe(counting{fstest.MapFS{"large.toml": {Data: []byte(text)}}, &read})
		f, err := w.Open("large.toml")
		require.NoError(t, err)
		_, err = io.ReadAll(io.LimitReader(f, 4))
		require.NoError(t, err)
		require.NoError(t, f.Close())
		return w.about("large.toml"), read
	}
	one, read := head("head and a long tail")
	assert.Equal(t, 4, read)
	other, _ := head("HEAD and a long tail")
	assert.NotEqual(t, one, other)
	tail, _ := head("head and a LONG tail")
	assert.Equal(t, one, tail, "nobody has seen the tail")
}
