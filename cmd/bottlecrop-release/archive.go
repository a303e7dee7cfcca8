package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"time"
)

// modeOf is the mode of a file in an archive: the program may be run.
func modeOf(name string) fs.FileMode {
	if strings.HasPrefix(name, "bottlecrop") {
		return 0o755
	}
	return 0o644
}

// tarGz packs files into a folder of that name, in the order of their names and with one
// time for all: who packed them, when and where is not in it.
func tarGz(folder string, files map[string][]byte, at time.Time) ([]byte, error) {
	var out bytes.Buffer
	packed, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	w := tar.NewWriter(packed)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		h := &tar.Header{Typeflag: tar.TypeReg, Name: path.Join(folder, name), Mode: int64(modeOf(name)), Size: int64(len(files[name])), ModTime: at.Truncate(time.Second), Format: tar.FormatPAX}
		if err := w.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := w.Write(files[name]); err != nil {
			return nil, err
		}
	}
	err = errors.Join(w.Close(), packed.Close())
	return out.Bytes(), err
}

// zipped is tarGz as Windows opens it by itself.
func zipped(folder string, files map[string][]byte, at time.Time) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		h := &zip.FileHeader{Name: path.Join(folder, name), Method: zip.Deflate, Modified: at.UTC().Truncate(time.Second)}
		h.SetMode(modeOf(name))
		f, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := f.Write(files[name]); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}

// checksums are those of files as sha256sum -c reads them.
func checksums(files map[string][]byte) []byte {
	var out bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(&out, "%x  %s\n", sha256.Sum256(files[name]), name)
	}
	return out.Bytes()
}
