package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// linkedInto lists the modules that a program for a platform is linked from, by the tool
// of Go that decides it.
func linkedInto(t *testing.T, p platform, program string) []*debug.Module {
	t.Helper()
	out, err := runIn([]string{"GOOS=" + p.system, "GOARCH=" + p.machine, "CGO_ENABLED=0"},
		"go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{end}}{{end}}", program)
	require.NoError(t, err)
	seen := map[string]*debug.Module{}
	for line := range strings.Lines(string(out)) {
		if path, version, ok := strings.Cut(strings.TrimSpace(line), " "); ok {
			seen[path] = &debug.Module{Path: path, Version: version, Sum: "h1:x"}
		}
	}
	var list []*debug.Module
	for _, path := range slices.Sorted(maps.Keys(seen)) {
		list = append(list, seen[path])
	}
	return list
}

// Every module that any of the programs is linked from has a license that goes with it,
// and one that we know; and what a book carries is linked from no other modules.
func TestEveryLinkedModuleHasALicense(t *testing.T) {
	t.Chdir("../..")
	all := map[string]bool{}
	for _, p := range platforms {
		deps := linkedInto(t, p, "./cmd/bottlecrop")
		require.Greater(t, len(deps), 10)
		linked, err := linkedModules(&debug.BuildInfo{GoVersion: runtime.Version(), Deps: deps})
		require.NoError(t, err, p)
		require.Len(t, linked, len(deps)+1, "the standard library is linked too")
		for _, m := range linked {
			all[m.path] = true
			assert.Contains(t, []string{"MIT", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause"}, m.license, "%s: read its license, and add it to recognized", m.path)
			for name, text := range m.texts {
				assert.Greater(t, len(text), 200, "%s of %s", name, m.path)
			}
			if m.path == "gonum.org/v1/gonum" { // it has code of others in it
				assert.Contains(t, m.texts, "THIRD_PARTY_LICENSES/Cephes-LICENSE")
			}
		}
	}
	for _, m := range linkedInto(t, platform{"js", "wasm"}, "./cmd/bottlecrop-web") {
		assert.True(t, all[m.Path], "%s is in the part that a book carries, and in no archive", m.Path)
	}
	empty := linked{path: "example.org/none", version: "v1"}
	assert.ErrorContains(t, empty.read(t.TempDir()), "has no license file")
}

// partsOfCycloneDX is what CycloneDX 1.6 asks of those of its parts that we write, in our
// words: its top level as in bom-1.6.schema.json of CycloneDX/specification, what belongs
// to a component from memory. That
// its other keys are left out is allowed there; a key that is not here we do not write.
const partsOfCycloneDX = `{
 "type": "object", "required": ["bomFormat", "specVersion"], "additionalProperties": false,
 "properties": {
  "bomFormat": {"enum": ["CycloneDX"]}, "specVersion": {"const": "1.6"},
  "serialNumber": {"type": "string", "pattern": "^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"},
  "version": {"type": "integer", "minimum": 1},
  "metadata": {"type": "object", "additionalProperties": false, "properties": {"component": {"$ref": "#/$defs/component"}, "properties": {"$ref": "#/$defs/properties"}}},
  "components": {"type": "array", "uniqueItems": true, "items": {"$ref": "#/$defs/component"}},
  "dependencies": {"type": "array", "uniqueItems": true, "items": {"type": "object", "required": ["ref"], "additionalProperties": false, "properties": {"ref": {"type": "string", "minLength": 1}, "dependsOn": {"type": "array", "uniqueItems": true, "items": {"type": "string", "minLength": 1}}}}}
 },
 "$defs": {
  "component": {"type": "object", "required": ["type", "name"], "additionalProperties": false, "properties": {
   "type": {"enum": ["application", "library"]}, "bom-ref": {"type": "string", "minLength": 1}, "name": {"type": "string"}, "version": {"type": "string"}, "purl": {"type": "string"},
   "hashes": {"type": "array", "items": {"type": "object", "required": ["alg", "content"], "properties": {"alg": {"enum": ["SHA-256"]}, "content": {"pattern": "^([a-fA-F0-9]{32}|[a-fA-F0-9]{40}|[a-fA-F0-9]{64}|[a-fA-F0-9]{96}|[a-fA-F0-9]{128})$"}}}},
   "licenses": {"type": "array", "items": {"type": "object", "required": ["license"], "additionalProperties": false, "properties": {"license": {"type": "object", "oneOf": [{"required": ["id"]}, {"required": ["name"]}], "additionalProperties": false, "properties": {"id": {"enum": ["MIT", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause"]}, "name": {"type": "string"}}}}}},
   "properties": {"$ref": "#/$defs/properties"}}},
  "properties": {"type": "array", "items": {"type": "object", "required": ["name"], "additionalProperties": false, "properties": {"name": {"type": "string"}, "value": {"type": "string"}}}}
 }
}`

func TestBillOfMaterials(t *testing.T) {
	t.Chdir("../..")
	p := platform{"linux", "amd64"}
	linked, err := linkedModules(&debug.BuildInfo{GoVersion: "go1.26.8", Deps: linkedInto(t, p, "./cmd/bottlecrop")})
	require.NoError(t, err)
	text, err := billOf("1.2.3", p, "go1.26.8", sha256.Sum256([]byte("program")), linked)
	require.NoError(t, err)
	again, err := billOf("1.2.3", p, "go1.26.8", sha256.Sum256([]byte("program")), linked)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))

	schema, err := jsonschema.UnmarshalJSON(strings.NewReader(partsOfCycloneDX))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("bill.json", schema))
	compiled, err := c.Compile("bill.json")
	require.NoError(t, err)
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	require.NoError(t, compiled.Validate(value))

	// What no schema says: references are of one thing each, and lead somewhere.
	var b bill
	require.NoError(t, json.Unmarshal(text, &b))
	refs := map[string]bool{b.Metadata.Component.Ref: true}
	for _, c := range b.Components {
		assert.False(t, refs[c.Ref], "%s is there twice", c.Ref)
		refs[c.Ref] = true
		assert.Equal(t, "pkg:golang/"+c.Name+"@"+c.Version, strings.ReplaceAll(c.PURL, "%2B", "+"))
		assert.NotEmpty(t, c.Licenses)
	}
	assert.Len(t, b.Components, len(linked))
	for _, d := range b.Dependencies {
		assert.True(t, refs[d.Ref], d.Ref)
		for _, on := range d.On {
			assert.True(t, refs[on], on)
		}
	}
}

// An archive is the same whenever it is packed, has one folder, sorted files of one time,
// and nobody's name in it; what comes out is what went in.
func TestArchives(t *testing.T) {
	at := time.Unix(1_700_000_001, 123)
	files := map[string][]byte{"bottlecrop": []byte("program"), "README.md": []byte("read"), "licenses/a/LICENSE": []byte("free"), "man/bottlecrop.1": []byte("man")}
	want := []string{"b_1/README.md", "b_1/bottlecrop", "b_1/licenses/a/LICENSE", "b_1/man/bottlecrop.1"}

	first, err := tarGz("b_1", files, at)
	require.NoError(t, err)
	second, err := tarGz("b_1", maps.Clone(files), at.In(time.FixedZone("far", 20000)))
	require.NoError(t, err)
	assert.Equal(t, first, second)
	packed, err := gzip.NewReader(bytes.NewReader(first))
	require.NoError(t, err)
	assert.Empty(t, packed.Name)
	assert.True(t, packed.ModTime.IsZero())
	var names []string
	for r := tar.NewReader(packed); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		names = append(names, h.Name)
		assert.Equal(t, at.Unix(), h.ModTime.Unix())
		assert.Zero(t, h.Uid+h.Gid)
		assert.Empty(t, h.Uname+h.Gname)
		name := strings.TrimPrefix(h.Name, "b_1/")
		assert.Equal(t, name == "bottlecrop", h.Mode&0o111 != 0, name)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.Equal(t, files[name], text)
	}
	assert.Equal(t, want, names)

	first, err = zipped("b_1", files, at)
	require.NoError(t, err)
	second, err = zipped("b_1", maps.Clone(files), at.In(time.FixedZone("far", 20000)))
	require.NoError(t, err)
	assert.Equal(t, first, second)
	z, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	require.NoError(t, err)
	names = nil
	for _, f := range z.File {
		names = append(names, f.Name)
		assert.Equal(t, at.Unix(), f.Modified.Unix())
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.Equal(t, files[strings.TrimPrefix(f.Name, "b_1/")], text)
	}
	assert.Equal(t, want, names)
}

// The checksums are in the form that sha256sum reads.
func TestChecksums(t *testing.T) {
	dir := t.TempDir()
	files := map[string][]byte{"a.tar.gz": []byte("a"), "b.zip": []byte("b")}
	// The digest of "a" as FIPS 180-4 has it; from memory.
	assert.Contains(t, string(checksums(files)), "ca978112ca1bbdcafac231b39a23dc4da786eff8147c4e72b9807785afee48bb  a.tar.gz\n")
	if _, err := exec.LookPath("sha256sum"); err != nil {
		t.Skip("there is no sha256sum to read them")
	}
	for name, data := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
	c := exec.Command("sha256sum", "--check", "--strict", "-")
	c.Dir, c.Stdin = dir, bytes.NewReader(checksums(files))
	out, err := c.CombinedOutput()
	assert.NoError(t, err, string(out))
}

// The chapter of the developers' guide on what has changed begins with the version that
// the program says.
func TestChangelogIsOfThisVersion(t *testing.T) {
	guide, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	root, err := os.ReadFile("../bottlecrop/root.go")
	require.NoError(t, err)
	_, version, found := strings.Cut(string(root), "const version = \"")
	require.True(t, found)
	version, _, _ = strings.Cut(version, "\"")
	text, err := changelog(guide, version)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(text), "# What has changed\n"))
	assert.NotContains(t, string(text), "\n## ")
	_, err = changelog(guide, "9.9.9")
	assert.ErrorContains(t, err, "9.9.9")
}
