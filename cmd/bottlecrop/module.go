package main

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/filing"
	"bottlecrop/cmd/internal/words"
)

// noRescale is the environment variable that says what --rescale says where that is left
// out.
const noRescale = "BOTTLECROP_RESCALE"

// rescaleFlag is --rescale: whether sheets can be worked out in their pages.
type rescaleFlag struct{ text string }

func (x *rescaleFlag) of(c *cobra.Command) {
	c.Flags().StringVar(&x.text, "rescale", cmp.Or(os.Getenv(noRescale), "on"), "`on` or off: whether a sheet can be worked out in its page for any number of vessels")
	c.Flags().Lookup("rescale").DefValue = "on" // the help is the same everywhere
}

func (x rescaleFlag) read() (on bool, err error) {
	if x.text != "on" && x.text != "off" {
		return false, usage(words.Message("module.flag", "found", x.text))
	}
	return x.text == "on", nil
}

// The part of the program that works sheets out in a page is a program of its own for
// WebAssembly, cmd/bottlecrop-web. A release carries it (module_release.go); run from its
// source, the program builds it with the Go that is there, once for each state of the
// source, and keeps it in the user's cache.

// moduleFile is that part as a book has it: a script, for a page from the disk may fetch
// nothing else.
func moduleFile(t *terminal, v *words.Voice) []byte {
	if embeddedModule != nil {
		return embeddedModule
	}
	say := func(id string, pairs ...any) []byte {
		t.say(v, id, pairs...)
		return nil
	}
	source, err := moduleSource()
	if err != nil {
		return say("module.no_source")
	}
	key, err := moduleKey(source)
	if err != nil {
		return say("module.failed", "error", err.Error())
	}
	kept := keptModules()
	if kept != nil {
		if data, ok := kept.Find(key); ok && sealedModule(data) {
			return data
		}
	}
	if _, err := exec.LookPath("go"); err != nil {
		return say("module.no_go")
	}
	say("module.building")
	data, err := buildModule(source)
	if err != nil {
		return say("module.failed", "error", err.Error())
	}
	if kept != nil {
		kept.Keep(key, data)
	}
	return data
}

// carryModule has a book carry the module, in all its languages.
func (t *terminal) carryModule(f *farm, in *book.Input) {
	if len(in.Edition.Own) > 0 { // the module has the program's templates
		t.say(f.voice, "module.own")
		return
	}
	f.carry(moduleFile(t, f.voice), in)
}

// carry has a book carry a module, where there is one.
func (f *farm) carry(module []byte, in *book.Input) {
	if module == nil {
		return
	}
	carry := func(in *book.Input) {
		in.Module, in.Edition.AnySize = module, true
		in.Today = f.folder.Farm.AsOf
	}
	carry(in)
	for i := range in.Others {
		carry(&in.Others[i])
	}
}

// mostModules is how many modules are kept, and mostOfModule how large one may be (design
// choices): each state of the source has its own of some 4 MB.
const (
	mostModules  = 8
	mostOfModule = 16 << 20
)

// keptModules are those of the user's cache, whatever build of the program made them: nil
// where there are none.
func keptModules() *store {
	s := openStore("module", "")
	if s != nil {
		s.files, s.most = mostModules, mostOfModule
	}
	return s
}

// errNoSource says that the program does not know where its source is.
var errNoSource = errors.New("no source of the program is here")

// moduleSource is the folder of the program's source: where it was built from, if that is
// still there. It is looked for nowhere else, and least of all where the program is run:
// that may be a stranger's folder, with a go.mod like ours, and what is built there
// would run in every book.
func moduleSource() (string, error) {
	_, file, _, ok := runtime.Caller(0)
	if !ok {
		return "", errNoSource
	}
	return sourceOf(file)
}

// sourceOf is the folder of the source that a file of this package was compiled from.
func sourceOf(file string) (string, error) {
	if !filepath.IsAbs(file) { // built with -trimpath
		return "", errNoSource
	}
	dir := filepath.Join(filepath.Dir(file), "..", "..")
	text, err := os.ReadFile(filepath.Join(dir, "go.mod"))
	if err != nil || !bytes.HasPrefix(text, []byte("module bottlecrop\n")) {
		return "", errNoSource
	}
	if _, err := os.Stat(filepath.Join(dir, "cmd", "bottlecrop-web")); err != nil {
		return "", errNoSource
	}
	return dir, nil
}

// moduleParts are the folders that the module is made of.
var moduleParts = []string{"cmd/bottlecrop-web", "cmd/internal", "templates"}

// moduleKey names a state of the module's source: what is in its files, and the Go that
// builds it. Files of tests are not part of it.
func moduleKey(source string) (string, error) {
	var names []string
	for _, part := range moduleParts {
		err := filepath.WalkDir(filepath.Join(source, filepath.FromSlash(part)), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() {
				if d.Name() == "testdata" {
					return fs.SkipDir
				}
				return nil
			}
			if !strings.HasSuffix(path, "_test.go") {
				names = append(names, path)
			}
			return nil
		})
		if err != nil {
			return "", err
		}
	}
	names = append(names, filepath.Join(source, "go.mod"), filepath.Join(source, "go.sum"))
	slices.Sort(names)
	h := sha256.New()
	fmt.Fprintln(h, moduleFlags, goVersion())
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			return "", err
		}
		rel, err := filepath.Rel(source, name)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(h, "%s %x\n", filepath.ToSlash(rel), sha256.Sum256(text))
	}
	return hex.EncodeToString(h.Sum(nil))[:32], nil
}

// goVersion is that of the Go that would build the module, "" without one.
func goVersion() string {
	out, err := exec.Command("go", "env", "GOVERSION").Output()
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(out))
}

// moduleFlags make the module small: without its symbols, and with no function copied
// into another, which saves a seventh of what is loaded and costs no time that is felt.
var moduleFlags = []string{"build", "-trimpath", "-buildvcs=false", "-gcflags=all=-l", "-ldflags=-s -w -buildid="}

// buildModule builds the module from its source. The same source and Go give the same
// bytes.
func buildModule(source string) ([]byte, error) {
	dir, done, err := filing.Scratch("module", nil)
	if err != nil {
		return nil, err
	}
	defer done()
	wasm := filepath.Join(dir, "module.wasm")
	c := exec.Command("go", append(slices.Clone(moduleFlags), "-o", wasm, "./cmd/bottlecrop-web")...)
	c.Dir = source
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=-mod=readonly", "CGO_ENABLED=0", "GOWORK=off",
		"GOPROXY=off") // what it needs was there when the program was built
	if out, err := c.CombinedOutput(); err != nil {
		line, _, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
		return nil, fmt.Errorf("go build: %s", cmp.Or(line, err.Error()))
	}
	binary, err := os.ReadFile(wasm)
	if err != nil {
		return nil, err
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	loader, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err = w.Write(binary); err == nil {
		err = w.Close()
	}
	if err != nil {
		return nil, err
	}
	out := slices.Concat(loader, []byte("\nvar bottlecropModule = \""), []byte(base64.StdEncoding.EncodeToString(packed.Bytes())), []byte("\";\n"))
	return append(out, moduleSeal(out)...), nil
}

// moduleSeal is the last line of the module's file: a checksum of what is before it.
func moduleSeal(data []byte) []byte {
	sum := sha256.Sum256(data)
	return []byte("// " + hex.EncodeToString(sum[:]) + "\n")
}

// sealedModule reports whether a file is a module, whole and as it was written.
func sealedModule(data []byte) bool {
	at := len(data) - len(moduleSeal(nil))
	return at > 0 && bytes.Equal(data[at:], moduleSeal(data[:at]))
}

// moduleCommand writes the module for a release, which carries it: go generate calls it.
func moduleCommand(t *terminal) *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:    "module",
		Short:  "Build the part of the program that a book carries",
		Hidden: true,
		Args:   cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			source, err := moduleSource()
			if err != nil {
				return err
			}
			data, err := buildModule(source)
			if err != nil {
				return err
			}
			if out == "" {
				_, err = io.Copy(t, bytes.NewReader(data))
				return err
			}
			return filing.Put(out, data, func([]byte) bool { return true }) // the build's own file
		},
	}
	c.Flags().StringVar(&out, "out", "", "the `file` to write it into (default: to the terminal)")
	return c
}
