// Bottlecrop-release makes the archives of a release from a checkout of the repository:
// one for each platform with the program, its licenses and those of all that is linked
// into it, a bill of materials, a page for man, completions and the schema, and the
// checksums of all. The same commit and Go give the same bytes.
//
//	go generate ./cmd/bottlecrop && go run ./cmd/bottlecrop-release --out FOLDER
//
// The script .ci/release calls it, twice, from clones.
package main

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"
)

// platform is what a program is built for.
type platform struct{ system, machine string }

// platforms are those of a release.
var platforms = []platform{
	{"darwin", "amd64"}, {"darwin", "arm64"}, {"linux", "amd64"}, {"linux", "arm64"}, {"windows", "amd64"},
}

func (p platform) String() string { return p.system + "_" + p.machine }

// program is the name of the program's file there.
func (p platform) program() string {
	if p.system == "windows" {
		return "bottlecrop.exe"
	}
	return "bottlecrop"
}

func main() {
	out := flag.String("out", "", "the `folder` that the archives go to, which must be empty or not there")
	only := flag.String("only", "", "one `platform` alone, such as linux_amd64")
	flag.Parse()
	if *out == "" || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := release(*out, *only); err != nil {
		fmt.Fprintln(os.Stderr, "bottlecrop-release:", err)
		os.Exit(1)
	}
}

// release makes all archives and their checksums.
func release(out, only string) error {
	if _, err := os.Stat(filepath.Join("cmd", "bottlecrop", "module.js")); err != nil {
		return fmt.Errorf("%w; run go generate ./cmd/bottlecrop in the repository's folder first", err)
	}
	if found, err := os.ReadDir(out); err == nil && len(found) > 0 {
		return fmt.Errorf("%s is not empty", out)
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "bottlecrop-release-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	at, err := dated()
	if err != nil {
		return err
	}
	common, version, err := commonFiles(work)
	if err != nil {
		return err
	}
	sums := map[string][]byte{}
	for _, p := range platforms {
		if only != "" && only != p.String() {
			continue
		}
		built, err := build(work, p)
		if err != nil {
			return err
		}
		files, bill, err := filesOf(p, built, version, common)
		if err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
		name := "bottlecrop_" + version + "_" + p.String()
		archive, ending := tarGz, ".tar.gz"
		if p.system == "windows" {
			archive, ending = zipped, ".zip"
		}
		packed, err := archive(name, files, at)
		if err != nil {
			return err
		}
		sums[name+ending], sums[name+".cdx.json"] = packed, bill
	}
	if len(sums) == 0 {
		return fmt.Errorf("%s is none of the platforms %v", only, platforms)
	}
	sums["SHA256SUMS"] = checksums(sums)
	for name, data := range sums {
		if err := os.WriteFile(filepath.Join(out, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// dated is the time that every file of an archive has: that of the commit, or what
// SOURCE_DATE_EPOCH says (reproducible-builds.org/specs/source-date-epoch).
func dated() (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		out, err := run("git", "log", "-1", "--format=%ct")
		if err != nil {
			return time.Time{}, err
		}
		text = strings.TrimSpace(string(out))
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	return time.Unix(seconds, 0).UTC(), err
}

// run runs a program and gives what it prints; its own complaint is in the error.
func run(name string, args ...string) ([]byte, error) { return runIn(nil, name, args...) }

func runIn(env []string, name string, args ...string) ([]byte, error) {
	c := exec.Command(name, args...)
	c.Env = append(os.Environ(), env...)
	var complaint bytes.Buffer
	c.Stderr = &complaint
	out, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("%s %s: %w: %s", name, strings.Join(args, " "), err, strings.TrimSpace(complaint.String()))
	}
	return out, nil
}

// flagsOfBuild are those of every program of a release: no path of this machine, no table
// of symbols, and the commit where there is one.
var flagsOfBuild = []string{"build", "-trimpath", "-buildvcs=auto", "-tags", "release", "-ldflags", "-s -w"}

// build builds the program for a platform.
func build(work string, p platform) (string, error) {
	file := filepath.Join(work, p.String(), p.program())
	env := []string{"GOOS=" + p.system, "GOARCH=" + p.machine, "CGO_ENABLED=0", "GOFLAGS=-mod=readonly", "GOWORK=off"}
	_, err := runIn(env, "go", append(slices.Clone(flagsOfBuild), "-o", file, "./cmd/bottlecrop")...)
	return file, err
}

// commonFiles are the files that archives of all platforms have, and the program's
// version. The program itself writes what it knows best: it is built for this machine
// and asked.
func commonFiles(work string) (map[string][]byte, string, error) {
	here, err := build(work, platform{runtime.GOOS, runtime.GOARCH})
	if err != nil {
		return nil, "", err
	}
	told, err := run(here, "version", "--json")
	if err != nil {
		return nil, "", err
	}
	var is struct{ Version string }
	if err := json.Unmarshal(told, &is); err != nil {
		return nil, "", err
	}
	files := map[string][]byte{}
	for name, args := range map[string][]string{
		"man/bottlecrop.1":           {"man"},
		"schema.json":                {"schema"},
		"completion/bottlecrop.bash": {"completion", "bash"},
		"completion/_bottlecrop":     {"completion", "zsh"},
		"completion/bottlecrop.fish": {"completion", "fish"},
		"completion/bottlecrop.ps1":  {"completion", "powershell"},
	} {
		if files[name], err = run(here, args...); err != nil {
			return nil, "", err
		}
	}
	for _, name := range []string{"README.md", "LICENSE"} {
		if files[name], err = os.ReadFile(name); err != nil {
			return nil, "", err
		}
	}
	guide, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		return nil, "", err
	}
	files["CHANGELOG.md"], err = changelog(guide, is.Version)
	return files, is.Version, err
}

// changelog is the chapter of the developers' guide on what has changed. It has to begin
// with the version that is released.
func changelog(guide []byte, version string) ([]byte, error) {
	_, chapter, found := bytes.Cut(guide, []byte("\n## What has changed\n"))
	if !found {
		return nil, errors.New("DEVELOPERS.md has no chapter ## What has changed")
	}
	if end := bytes.Index(chapter, []byte("\n## ")); end >= 0 {
		chapter = chapter[:end+1]
	}
	_, first, _ := bytes.Cut(chapter, []byte("\n### "))
	line, _, _ := bytes.Cut(first, []byte("\n"))
	if string(line) != version {
		return nil, fmt.Errorf("the chapter ## What has changed of DEVELOPERS.md begins with %q, and the program is %s", line, version)
	}
	return append([]byte("# What has changed\n"), chapter...), nil
}

// filesOf are the files of one platform's archive, and its bill of materials.
func filesOf(p platform, built, version string, common map[string][]byte) (files map[string][]byte, bill []byte, err error) {
	info, err := buildinfo.ReadFile(built)
	if err != nil {
		return nil, nil, err
	}
	files = map[string][]byte{}
	for name, data := range common {
		files[name] = data
	}
	if files[p.program()], err = os.ReadFile(built); err != nil {
		return nil, nil, err
	}
	linked, err := linkedModules(info)
	if err != nil {
		return nil, nil, err
	}
	for _, m := range linked {
		for name, text := range m.texts {
			files["licenses/"+m.path+"/"+name] = text
		}
	}
	sum := sha256.Sum256(files[p.program()])
	bill, err = billOf(version, p, info.GoVersion, sum, linked)
	files["sbom.cdx.json"] = bill
	return files, bill, err
}
