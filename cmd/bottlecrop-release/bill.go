package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
)

// linked is a module that is in a program, with its license.
type linked struct {
	path, version string
	sum           string            // of go.sum
	texts         map[string][]byte // of its license files, by name
	license       string            // its SPDX identifier, "" where none was recognized
}

// licenseFile is the name of a file that has to go where the module goes.
var licenseFile = regexp.MustCompile(`(?i)^(licen[sc]e|copying|notice|patents)([.-].*)?$`)

// licenseFolder is the name of a folder of such files.
var licenseFolder = regexp.MustCompile(`(?i)licen[sc]es$`)

// linkedModules are the modules of a program, the standard library first, with their
// licenses. A module without one is an error: it may not be passed on.
func linkedModules(info *debug.BuildInfo) ([]linked, error) {
	root, err := run("go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	out := []linked{{path: "std", version: strings.TrimPrefix(info.GoVersion, "go")}}
	dirs := map[string]string{"std": strings.TrimSpace(string(root))}
	ask := []string{"list", "-m", "-f", "{{.Path}}\t{{.Dir}}"}
	for _, m := range info.Deps {
		if m.Replace != nil {
			return nil, fmt.Errorf("%s is replaced by %s: a release is made of what go.mod names", m.Path, m.Replace.Path)
		}
		out = append(out, linked{path: m.Path, version: m.Version, sum: m.Sum})
		ask = append(ask, m.Path)
	}
	listed, err := run("go", ask...)
	if err != nil {
		return nil, err
	}
	for line := range strings.Lines(string(listed)) {
		name, dir, _ := strings.Cut(strings.TrimSpace(line), "\t")
		dirs[name] = dir
	}
	for i := range out {
		if err := out[i].read(dirs[out[i].path]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// read reads the license files of a module's folder: those at its top, and what it has of
// others below it, by their names or in a folder of licenses. Of Go itself the top alone
// is read, for what is below is the distribution and not the library.
func (m *linked) read(dir string) error {
	m.texts = map[string][]byte{}
	err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		name, nameErr := filepath.Rel(dir, file)
		if err = errors.Join(err, nameErr); err != nil {
			return err
		}
		if d.IsDir() {
			if d.Name() == "testdata" || m.path == "std" && name != "." {
				return fs.SkipDir
			}
			return nil
		}
		folder := filepath.Base(filepath.Dir(name))
		if !d.Type().IsRegular() || strings.HasSuffix(name, ".go") || !licenseFile.MatchString(d.Name()) && !licenseFolder.MatchString(folder) {
			return nil
		}
		text, err := os.ReadFile(file)
		m.texts[filepath.ToSlash(name)] = text
		if m.license == "" && folder == "." {
			m.license = recognized(text)
		}
		return err
	})
	if err == nil && len(m.texts) == 0 {
		err = fmt.Errorf("%s %s has no license file", m.path, m.version)
	}
	return err
}

// recognized is the SPDX identifier of a license, by sentences of its text. They were
// chosen by us; it is no lawyer's reading, and the text itself is in the archive.
func recognized(text []byte) string {
	t := string(bytes.Join(bytes.Fields(text), []byte(" ")))
	has := func(parts ...string) bool {
		return !slices.ContainsFunc(parts, func(p string) bool { return !strings.Contains(t, p) })
	}
	switch {
	case has("Apache License", "Version 2.0, January 2004"):
		return "Apache-2.0"
	case has("Redistribution and use in source and binary forms", "Neither the name"):
		return "BSD-3-Clause"
	case has("Redistribution and use in source and binary forms"):
		return "BSD-2-Clause"
	case has("Permission is hereby granted, free of charge", "The above copyright notice and this permission notice"):
		return "MIT"
	}
	return ""
}

// The parts of a bill of materials, CycloneDX 1.6 as JSON (ECMA-424).
type (
	bill struct {
		Format       string       `json:"bomFormat"`
		Spec         string       `json:"specVersion"`
		Serial       string       `json:"serialNumber"`
		Version      int          `json:"version"`
		Metadata     metadata     `json:"metadata"`
		Components   []component  `json:"components"`
		Dependencies []dependency `json:"dependencies"`
	}
	metadata struct {
		Component  component  `json:"component"`
		Properties []property `json:"properties"`
	}
	component struct {
		Type       string     `json:"type"`
		Ref        string     `json:"bom-ref"`
		Name       string     `json:"name"`
		Version    string     `json:"version"`
		Hashes     []hash     `json:"hashes,omitempty"`
		Licenses   []choice   `json:"licenses,omitempty"`
		PURL       string     `json:"purl,omitempty"`
		Properties []property `json:"properties,omitempty"`
	}
	choice struct {
		License license `json:"license"`
	}
	license struct {
		ID   string `json:"id,omitempty"`
		Name string `json:"name,omitempty"`
	}
	hash struct {
		Algorithm string `json:"alg"`
		Content   string `json:"content"`
	}
	property struct {
		Name  string `json:"name"`
		Value string `json:"value"`
	}
	dependency struct {
		Ref string   `json:"ref"`
		On  []string `json:"dependsOn,omitempty"`
	}
)

// billOf says what a program is made of. It has no time in it, and its serial number is
// made of the program's checksum, so that it is the same whenever it is made.
func billOf(version string, p platform, goVersion string, sum [sha256.Size]byte, modules []linked) ([]byte, error) {
	program := component{Type: "application", Ref: "bottlecrop", Name: "bottlecrop", Version: version,
		Hashes: []hash{{"SHA-256", hex.EncodeToString(sum[:])}}}
	b := bill{Format: "CycloneDX", Spec: "1.6", Serial: serial(sum), Version: 1,
		Metadata: metadata{Component: program, Properties: []property{{"bottlecrop:platform", p.String()}, {"bottlecrop:go", goVersion}}}}
	own, err := os.ReadFile("LICENSE")
	if err != nil {
		return nil, err
	}
	b.Metadata.Component.Licenses = licenses(recognized(own), "LICENSE")
	root := dependency{Ref: program.Ref}
	for _, m := range modules {
		purl := "pkg:golang/" + strings.ReplaceAll(url.PathEscape(m.path), "%2F", "/") + "@" + url.PathEscape(m.version)
		c := component{Type: "library", Ref: purl, Name: m.path, Version: m.version, PURL: purl, Licenses: licenses(m.license, "licenses/"+m.path)}
		if m.sum != "" {
			c.Properties = []property{{"bottlecrop:go.sum", m.sum}}
		}
		b.Components = append(b.Components, c)
		root.On = append(root.On, purl)
	}
	// Which module needs which is in go.mod; what is linked is needed by the program.
	b.Dependencies = []dependency{root}
	for _, c := range b.Components {
		b.Dependencies = append(b.Dependencies, dependency{Ref: c.Ref})
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err = e.Encode(b)
	return out.Bytes(), err
}

func licenses(id, where string) []choice {
	if id != "" {
		return []choice{{license{ID: id}}}
	}
	return []choice{{license{Name: "see " + where}}}
}

// serial is a UUID of version 8 (RFC 9562, 5.8) of a checksum.
func serial(sum [sha256.Size]byte) string {
	u := sum[:16]
	u = slices.Clone(u)
	u[6], u[8] = u[6]&0x0f|0x80, u[8]&0x3f|0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", u[0:4], u[4:6], u[6:8], u[8:10], u[10:16])
}
