package main

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"sync"

	"bottlecrop/cmd/internal/filing"
)

// noCache is the environment variable that turns the store off.
const noCache = "BOTTLECROP_NO_CACHE"

// The store's bounds, and what is left of them when it is tidied up (design
// choices). A result has some 30 kB.
const (
	mostKeptFiles = 5000
	mostKeptBytes = 64 << 20
	mostOfResult  = 4 << 20
	leftOfKept    = 0.75
)

// store keeps what was worked out, such as what the run of a sterilizer comes to, in a
// folder of the user's cache, a file for each result, named for all that it depends on. A
// file carries a checksum of its name and its content, and one that does not fit is
// not there: no fault of the folder changes a page or stops a command. Nothing is
// read or written outside the folder.
type store struct {
	folder string
	build  string // what results depend on besides their question: the program
	files  int
	bytes  int64 // bounds
	most   int64 // of one result

	once sync.Once
	root *os.Root // nil where the folder can't be used

	kept     sync.Mutex
	nFiles   int // in the folder, as far as this process knows; 0 before it looked
	nBytes   int64
	lookedAt bool
}

// openStore is the user's store of one kind of results, which depend on a build of the
// program where one is named, or nil where there is none, or
// where the user wants none. It makes no folder before something is looked for.
func openStore(kind, build string) *store {
	if os.Getenv(noCache) != "" {
		return nil
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return nil
	}
	return newStore(filepath.Join(cache, "bottlecrop", kind), build)
}

func newStore(folder, build string) *store {
	return &store{folder: folder, build: build, files: mostKeptFiles, bytes: mostKeptBytes, most: mostOfResult}
}

// builtAs tells this program from any other that might compute otherwise: by its
// version, how it was built, and the file that it runs from. A developer who
// changes a law gets no result of the law as it was.
func builtAs() string {
	about := version
	if info, ok := debug.ReadBuildInfo(); ok {
		about += "\n" + info.String()
	}
	if path, err := os.Executable(); err == nil {
		if info, err := os.Stat(path); err == nil {
			about += fmt.Sprintf("\n%d bytes of %d", info.Size(), info.ModTime().UnixNano())
		}
	}
	return about
}

// open makes the folder and opens it, once. It reports whether it can be used.
func (s *store) open() bool {
	s.once.Do(func() {
		if os.MkdirAll(s.folder, 0o700) != nil {
			return
		}
		if root, err := os.OpenRoot(s.folder); err == nil {
			s.root = root
		}
	})
	return s.root != nil
}

// name is that of a result's file.
func (s *store) name(key string) string {
	sum := sha256.Sum256([]byte(s.build + "\x00" + key))
	return hex.EncodeToString(sum[:])
}

// seal is the checksum that a file begins with, and a new line.
func seal(name string, data []byte) []byte {
	sum := sha256.Sum256(append([]byte(name+"\n"), data...))
	return []byte(hex.EncodeToString(sum[:]) + "\n")
}

// Find looks a result up.
func (s *store) Find(key string) ([]byte, bool) {
	if !s.open() {
		return nil, false
	}
	name := s.name(key)
	// Neither a link nor a pipe, which could be read for ever.
	info, err := s.root.Lstat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > s.most {
		return nil, false
	}
	text, err := s.root.ReadFile(name)
	if err != nil || len(text) < 2*sha256.Size+1 {
		return nil, false
	}
	head, data := text[:2*sha256.Size+1], text[2*sha256.Size+1:]
	if string(head) != string(seal(name, data)) {
		return nil, false
	}
	return data, true
}

// Keep writes a result, whole or not at all.
func (s *store) Keep(key string, data []byte) {
	if !s.open() || int64(len(data)) > s.most-(2*sha256.Size+1) {
		return
	}
	name := s.name(key)
	text := append(seal(name, data), data...)
	if filing.Keep(s.root, name, text) != nil {
		return
	}
	s.kept.Lock()
	defer s.kept.Unlock()
	s.nFiles++
	s.nBytes += int64(len(text))
	if !s.lookedAt || s.nFiles > s.files || s.nBytes > s.bytes {
		s.tidy()
	}
}

// resultPattern is the name of a result's file.
var resultPattern = regexp.MustCompile(`^[0-9a-f]{64}$`)

// tidy counts the store's files and, when there are too many, removes the oldest.
// It touches nothing that the store did not write.
func (s *store) tidy() {
	entries, err := fs.ReadDir(s.root.FS(), ".")
	if err != nil {
		return
	}
	s.lookedAt, s.nFiles, s.nBytes = true, 0, 0
	var ours []fs.FileInfo
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || !resultPattern.MatchString(e.Name()) && !filing.IsHalf(e.Name()) {
			continue
		}
		ours = append(ours, info)
		s.nFiles++
		s.nBytes += info.Size()
	}
	if s.nFiles <= s.files && s.nBytes <= s.bytes {
		return
	}
	slices.SortFunc(ours, func(a, b fs.FileInfo) int {
		return cmp.Or(a.ModTime().Compare(b.ModTime()), cmp.Compare(a.Name(), b.Name()))
	})
	for _, info := range ours {
		if float64(s.nFiles) <= leftOfKept*float64(s.files) && float64(s.nBytes) <= leftOfKept*float64(s.bytes) {
			return
		}
		if s.root.Remove(info.Name()) == nil {
			s.nFiles--
			s.nBytes -= info.Size()
		}
	}
}
