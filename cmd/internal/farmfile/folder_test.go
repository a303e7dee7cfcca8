package farmfile

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

func TestRead(t *testing.T) {
	f := clean(t, farmOf(t, map[string][]byte{
		"protocols/zz.toml":    []byte("format = 1\ntitle = \"Z\"\nbased_on = \"child\"\n[harvest]\nlost = \"0 %\"\n"),
		"protocols/child.toml": []byte("format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\nbatch_sizes = [1000000, 1]\nvessel = \"jar-quart\"\n[[substrate.ingredient]]\ningredient = \"soy-hull\"\nshare_dm = \"100 %\"\n[fill]\nmass = \"1.2 lb\"\n[incubation.days]\nshortest = \"3 weeks\"\n"),
	}))
	assert.True(t, f.Usable)
	require.Len(t, f.Protocols, 3)
	child, enoki, zz := f.Protocols[0], f.Protocols[1], f.Protocols[2]
	assert.Equal(t, []string{"child", "enoki", "zz"}, []string{child.Name, enoki.Name, zz.Name})

	// Values in SI; units by NIST SP 811, B.8 (1 lb = 0.45359237 kg).
	assert.Equal(t, "Enoki in the 850 mL bottle", enoki.Title)
	assert.InDelta(t, 0.65, float64(enoki.Substrate.Moisture), 1e-15)
	assert.InDelta(t, 103421.3593975254, float64(enoki.Sterilization.GaugePressure), 1e-6)
	assert.InDelta(t, 292.15, float64(enoki.Incubation.Air), 1e-12)
	assert.InDelta(t, 5400, float64(enoki.Sterilization.Hold), 0)
	assert.Nil(t, enoki.Fill.Mass)
	assert.InDelta(t, 680, float64(*enoki.Fill.Density), 1e-12)
	assert.Len(t, enoki.Substrate.Ingredients, 4)
	require.NotNil(t, enoki.Collar)
	assert.Equal(t, []int{12, 48, 160, 400}, enoki.BatchSizes)

	// The child has its own list and its own way of giving the fill.
	assert.Equal(t, "Child", child.Title)
	assert.Empty(t, child.Summary)
	assert.Equal(t, []protocol.Part{{Ingredient: "soy-hull", Share: 1}}, child.Substrate.Ingredients)
	assert.Equal(t, enoki.Substrate.Moisture, child.Substrate.Moisture)
	assert.Nil(t, child.Fill.Density)
	assert.InDelta(t, 1.2*0.45359237, float64(*child.Fill.Mass), 1e-15)
	assert.InDelta(t, 21*86400, float64(*child.Incubation.Days.Shortest), 0)
	assert.Nil(t, child.Incubation.Days.Usual)

	// And so has the child's child, with "0 %" written down.
	assert.Equal(t, child.Vessel, zz.Vessel)
	assert.Zero(t, zz.Harvest.Lost)
	assert.Equal(t, child.Harvest.Trim, zz.Harvest.Trim)

	// The farm.
	assert.Equal(t, "Willow Fork", f.Farm.Name)
	assert.True(t, f.Farm.Invented)
	assert.InDelta(t, 420, float64(*f.Farm.Altitude), 0)
	assert.Nil(t, f.Farm.StationPressure)
	assert.Equal(t, unit.Step{Size: 0.0001, Unit: "g"}, f.Farm.Scales[0].Step)
	assert.Equal(t, "psi", f.Farm.Sterilizers[0].Gauge.Unit)
	assert.Equal(t, unit.Price{Amount: 0.42, Currency: "USD"}, f.Farm.Prices["soy-hull"])
	assert.InDelta(t, 0.102, float64(f.Farm.Moisture["soy-hull"]), 1e-15)

	// The library.
	assert.Len(t, f.Library.Species, 2)
	enokiSpecies := f.Library.Species["enoki"]
	assert.InDelta(t, 291.15, float64(enokiSpecies.Incubation.Low), 1e-12)
	assert.InDelta(t, 297.15, float64(enokiSpecies.Incubation.High), 1e-12)
	assert.NotEmpty(t, enokiSpecies.Source)
	assert.InDelta(t, 1.55, float64(enokiSpecies.EfficiencyHigh), 1e-15)
	assert.Equal(t, working.Origin{Document: "built-in/library/species.toml", Key: "species[0]"}, f.Library.Entries["species.enoki"])
}

// The demonstration farm of this repository, over its own library.
func TestTheRepositoryIsAFarm(t *testing.T) {
	root := os.DirFS("../../..")
	f, list := Read(root, root)
	require.Empty(t, lines(list))
	assert.True(t, f.Usable)
	assert.NotEmpty(t, f.Protocols)
	for _, p := range f.Protocols {
		assert.Len(t, f.Fingerprint(p.Name), 64)
		assert.Equal(t, "protocols/"+p.Name+".toml", f.Place(working.Origin{Document: "protocols/" + p.Name + ".toml", Key: "title"}).File)
	}
	assert.Equal(t, "protocols/library/species.toml", f.Library.Entries["species.enoki"].Document)
}

func TestFarmOverridesTheLibrary(t *testing.T) {
	species := string(changed(t, libraryDir+"/species.toml", `core_most = "25 °C"`, `core_most = "24 °C"`))
	// Only the first entry, and one of the farm's own.
	first, second, _ := strings.Cut(species, "\n[[species]]\nid = \"oyster\"")
	mine := first + "\n[[species]]\nid = \"my-strain\"" + second
	f := clean(t, farmOf(t, map[string][]byte{libraryDir + "/species.toml": []byte(mine)}))
	assert.Len(t, f.Library.Species, 3)
	assert.InDelta(t, 297.15, float64(f.Library.Species["enoki"].CoreMost), 1e-12)
	for id, want := range map[string][2]string{
		"enoki":     {"protocols/library/species.toml", "species[0]"},
		"my-strain": {"protocols/library/species.toml", "species[1]"},
		"oyster":    {"built-in/library/species.toml", "species[1]"},
	} {
		document, key := f.Entry("species", id)
		assert.Equal(t, want, [2]string{document, key}, id)
		at := f.Place(f.Library.Origin("species", id, "id"))
		assert.Equal(t, document, at.File)
		assert.Equal(t, `id = "`+id+`"`, at.Text)
	}
	document, key := f.Entry("species", "no-such")
	assert.Empty(t, document+key)

	// An override with a fault takes the entry out; nothing is computed with
	// the figure that the farm wanted to replace.
	bad := strings.Replace(mine, `core_most = "24 °C"`, `core_most = 24`, 1)
	f, list := Read(farmOf(t, map[string][]byte{libraryDir + "/species.toml": []byte(bad)}), base)
	require.Len(t, list, 1)
	assert.Equal(t, "unit.missing", list[0].Rule)
	assert.False(t, f.Usable)
	assert.NotContains(t, f.Library.Species, "enoki")
	assert.NotContains(t, f.Library.Entries, "species.enoki")
	assert.Empty(t, f.Protocols)
}

func TestPlaceOfAnOrigin(t *testing.T) {
	f := clean(t, farmOf(t, map[string][]byte{
		"protocols/child.toml": []byte("format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\n[fill]\nheadspace = \"70 mL\"\n[[substrate.ingredient]]\ningredient = \"soy-hull\"\nshare_dm = \"100 %\"\n"),
	}))
	const child = "protocols/child.toml"
	for _, c := range []struct{ document, key, file, text string }{
		{child, "fill.headspace", child, `headspace = "70 mL"`},
		{child, "fill.density", "protocols/enoki.toml", `density = "0.68 kg/L"`},
		{child, "sterilization.hold", "protocols/enoki.toml", `hold = "90 min"`},
		{child, "substrate.ingredient[0].share_dm", child, `share_dm = "100 %"`},
		{child, "substrate.ingredient[1].share_dm", child, `[[substrate.ingredient]]`}, // the parent's list is not there any more
		{child, "fill.mass", child, "[fill]"},
		{child, "bore.angle", "protocols/enoki.toml", "[bore]"},
		{child, "summary", child, ""},
		{child, "title", child, `title = "Child"`},
		{child, "", child, ""},
		{"protocols/enoki.toml", "substrate.ingredient[2].share_dm", "protocols/enoki.toml", `share_dm = "18 %"`},
		{farmFile, "scale[1].reads", farmFile, `reads = "10 g"`},
		{farmFile, "sterilizer[0].holds[2].count", farmFile, "count = 84"},
		{farmFile, "moisture_wb.soy-hull", farmFile, `soy-hull = "10.2 %"`},
		{"built-in/library/vessels.toml", "vessel[0].brimful", "built-in/library/vessels.toml", `brimful = "850 mL"`},
		{"--moisture", "soy-hull", "--moisture", ""},
	} {
		at := f.Place(working.Origin{Document: c.document, Key: c.key})
		assert.Equal(t, c.file, at.File, c.key)
		text, _, _ := strings.Cut(at.Text, "#")
		assert.Equal(t, c.text, strings.TrimSpace(text), c.key)
		assert.Equal(t, c.text != "", at.Line > 0, c.key)
	}
	at := f.Place(working.Origin{Document: child, Key: "fill.headspace"})
	assert.Equal(t, protocol.Place{File: child, Line: 5, Column: 13, EndColumn: 20, Text: `headspace = "70 mL"`}, at)
}

// Faults of a file as a whole, one a file.
func TestUnreadableFiles(t *testing.T) {
	for name, c := range map[string]struct {
		src  string
		rule string
		at   [3]int
	}{
		"UTF-8 with a mark":        {"\xEF\xBB\xBFformat = 1\n", "file.bom", [3]int{}},
		"UTF-16, little end first": {"\xFF\xFEf\x00o\x00", "file.utf16", [3]int{}},
		"UTF-16, big end first":    {"\xFE\xFF\x00f\x00o", "file.utf16", [3]int{}},
		"UTF-16 without a mark":    {"f\x00o\x00r\x00m\x00", "file.utf16", [3]int{}},
		"Latin-1":                  {"format = 1\ntitle = \"µ B\xE4r\"\n", "file.not_utf8", [3]int{2, 13, 14}},
		"half a character":         {"a = \"\xC3", "file.not_utf8", [3]int{1, 6, 7}},
		"a null byte":              {"# ok\na = \"x\x00y\"\n", "file.control", [3]int{2, 7, 8}},
		"an escape in a comment":   {"# \x1B[31m\n", "file.control", [3]int{1, 3, 4}},
		"a delete":                 {"a = '\x7F'\n", "file.control", [3]int{1, 6, 7}},
		"a lone carriage return":   {"a = 1\rb = 2\n", "file.control", [3]int{1, 6, 7}},
		"a page of binary":         {strings.Repeat("\x89PNG\r\n\x1A\n", 100), "file.not_utf8", [3]int{1, 1, 2}},
	} {
		t.Run(name, func(t *testing.T) {
			f, list := Read(farmOf(t, map[string][]byte{"protocols/odd.toml": []byte(c.src)}), base)
			require.Len(t, list, 1)
			assert.Equal(t, c.rule, list[0].Rule)
			p := list[0].Place
			assert.Equal(t, "protocols/odd.toml", p.File)
			assert.Equal(t, c.at, [3]int{p.Line, p.Column, p.EndColumn})
			assert.Equal(t, "odd", list[0].Subject)
			assert.Len(t, f.Protocols, 1, "the other protocol is read all the same")
			assert.True(t, f.Usable)
		})
	}
}

// odd is a file system in which one file behaves badly.
type odd struct {
	fs.FS
	name   string
	size   int64 // as Stat says
	bytes  int64 // that can be read
	mode   fs.FileMode
	stat   error
	open   error
	read   error
	opened *bool
}

func (o odd) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(o.FS, name)
	if err == nil && name == filepath.Dir(o.name) {
		list = append(list, fs.FileInfoToDirEntry(oddFile{odd: o}))
	}
	return list, err
}

func (o odd) Stat(name string) (fs.FileInfo, error) {
	if name != o.name {
		return fs.Stat(o.FS, name)
	}
	return oddFile{odd: o}, o.stat
}

func (o odd) Open(name string) (fs.File, error) {
	if name != o.name {
		return o.FS.Open(name)
	}
	*o.opened = true
	if o.open != nil {
		return nil, o.open
	}
	left := o.bytes
	return oddFile{odd: o, left: &left}, nil
}

type oddFile struct {
	odd
	left *int64
}

func (f oddFile) Name() string               { return filepath.Base(f.name) }
func (f oddFile) Size() int64                { return f.size }
func (f oddFile) Mode() fs.FileMode          { return f.mode }
func (f oddFile) ModTime() time.Time         { return time.Time{} }
func (f oddFile) IsDir() bool                { return f.mode.IsDir() }
func (f oddFile) Sys() any                   { return nil }
func (f oddFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f oddFile) Close() error               { return nil }

func (f oddFile) Read(p []byte) (int, error) {
	if f.odd.read != nil {
		return 0, f.odd.read
	}
	n := min(int64(len(p)), *f.left)
	if n == 0 {
		return 0, io.EOF
	}
	for i := range p[:n] {
		p[i] = '#'
	}
	*f.left -= n
	return int(n), nil
}

func TestOddFileSystems(t *testing.T) {
	escape := &fs.PathError{Op: "statat", Path: "odd.toml", Err: errors.New("path escapes from parent")}
	for name, c := range map[string]struct {
		odd    odd
		rule   string
		opened bool
	}{
		"50 MB":                       {odd{size: 50 << 20, bytes: 50 << 20}, "file.large", false},
		"a byte too many":             {odd{size: mostBytes + 1, bytes: mostBytes + 1}, "file.large", false},
		"50 MB that says it is small": {odd{size: 10, bytes: 50 << 20}, "file.large", true},
		"no end":                      {odd{size: 0, bytes: 1 << 60}, "file.large", true},
		"a folder":                    {odd{mode: fs.ModeDir}, "file.folder", false},
		"a pipe":                      {odd{mode: fs.ModeNamedPipe}, "file.special", false},
		"a device":                    {odd{mode: fs.ModeDevice}, "file.special", false},
		"no permission":               {odd{open: &fs.PathError{Op: "open", Path: "/secret/odd.toml", Err: fs.ErrPermission}}, "file.permission", true},
		"a link that leads out":       {odd{stat: escape}, "file.leads_out", false},
		"a link that leads nowhere":   {odd{stat: &fs.PathError{Op: "stat", Path: "x", Err: fs.ErrNotExist}}, "file.gone", false},
		"a bad disk":                  {odd{size: 10, read: &fs.PathError{Op: "read", Path: "/secret/odd.toml", Err: syscall.EIO}}, "file.unreadable", true},
	} {
		t.Run(name, func(t *testing.T) {
			c.odd.FS, c.odd.name, c.odd.opened = farmOf(t, nil), "protocols/odd.toml", new(bool)
			start := time.Now()
			f, list := Read(c.odd, base)
			require.Len(t, list, 1)
			assert.Equal(t, c.rule, list[0].Rule)
			assert.Equal(t, "protocols/odd.toml", list[0].Place.File)
			assert.NotContains(t, line(list[0]), "/secret")
			assert.Equal(t, c.opened, *c.odd.opened)
			assert.Len(t, f.Protocols, 1)
			assert.Less(t, time.Since(start), time.Second)
		})
	}
	t.Run("the largest that is read", func(t *testing.T) {
		o := odd{FS: farmOf(t, nil), name: "protocols/odd.toml", opened: new(bool), size: mostBytes, bytes: mostBytes}
		_, list := Read(o, base)
		require.NotEmpty(t, list)
		assert.Equal(t, "key.missing", list[0].Rule) // it was read: a comment of 1 MiB
	})
}

// On a real disk, through os.Root, as the program opens a farm.
func TestLinksOnADisk(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	require.NoError(t, os.CopyFS(dir, farmOf(t, nil)))
	secret := filepath.Join(outside, "secret.toml")
	require.NoError(t, os.WriteFile(secret, []byte("format = 1\ntitle = \"secret\"\n"), 0o644))
	for name, target := range map[string]string{
		"absolute.toml": secret,
		"relative.toml": "../../" + filepath.Base(outside) + "/secret.toml",
		"inside.toml":   "enoki.toml",
		"dangling.toml": "nothing.toml",
		"round.toml":    "round.toml",
	} {
		require.NoError(t, os.Symlink(target, filepath.Join(dir, "protocols", name)))
	}
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "protocols", "pipe.toml"), 0o644))
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	defer root.Close()
	f, list := Read(root.FS(), base)
	rules := map[string]string{}
	for _, x := range list {
		rules[filepath.Base(x.Place.File)] = x.Rule
		assert.NotContains(t, line(x), outside)
		assert.NotContains(t, line(x), dir)
	}
	assert.Equal(t, "file.leads_out", rules["absolute.toml"])
	assert.Equal(t, "file.leads_out", rules["relative.toml"])
	assert.Equal(t, "file.gone", rules["dangling.toml"])
	assert.Equal(t, "file.unreadable", rules["round.toml"])
	assert.Equal(t, "file.special", rules["pipe.toml"])
	assert.Len(t, rules, 5)
	require.Len(t, f.Protocols, 2)
	assert.Equal(t, "inside", f.Protocols[1].Name)
}

func TestFolders(t *testing.T) {
	t.Run("nothing at all", func(t *testing.T) {
		f, list := Read(fstest.MapFS{}, base)
		require.Len(t, list, 1)
		assert.Equal(t, "farm.missing", list[0].Rule)
		assert.Equal(t, "farmfile.hint.start", list[0].Hint.ID)
		assert.False(t, f.Usable)
		assert.Nil(t, f.Canonical("enoki"))
		assert.Equal(t, protocol.Place{File: farmFile}, f.Place(working.Origin{Document: farmFile, Key: "altitude"}))
	})
	t.Run("no base", func(t *testing.T) {
		f, list := Read(farmOf(t, nil), nil)
		require.NotEmpty(t, list)
		for _, x := range list {
			assert.Equal(t, "reference.unknown", x.Rule)
			assert.Equal(t, "farmfile.hint.reference_none", x.Hint.ID)
		}
		assert.Empty(t, f.Protocols)
	})
	t.Run("protocols is a file", func(t *testing.T) {
		_, list := Read(fstest.MapFS{"protocols": &fstest.MapFile{}}, base)
		require.Len(t, list, 1)
		assert.Equal(t, "file.unreadable", list[0].Rule)
	})
	t.Run("odd names", func(t *testing.T) {
		odd := []string{"Enoki Quart.toml", "größe.toml", "a\nb.toml", "-x.toml", "$(rm).toml", "x.y.toml", "UPPER.toml", ".toml.toml", "enoki.TOML", "\"q\".toml", "a\x1b[31m.toml", "Farm.toml"}
		files := map[string][]byte{}
		for _, name := range odd {
			files["protocols/"+name] = []byte("format = 1\n")
		}
		f, list := Read(farmOf(t, files), base)
		for _, x := range list {
			assert.Equal(t, "file.name", x.Rule)
			assert.NotRegexp(t, `[\x00-\x1f]`, x.Place.File)
			example := x.Hint.Args["example"].(string)
			assert.Regexp(t, `^[a-z][a-z0-9-]*\.toml$`, example)
		}
		assert.Len(t, list, len(odd)-1, "hidden files are not looked at")
		assert.Len(t, f.Protocols, 1)
	})
	t.Run("a library that cannot be read", func(t *testing.T) {
		// One finding, and none for each name that would have been in it.
		f, list := Read(farmOf(t, map[string][]byte{libraryDir + "/vessels.toml": []byte("format = \n")}), base)
		require.Len(t, list, 1)
		assert.Equal(t, "toml.value", list[0].Rule)
		assert.False(t, f.Usable)
		assert.Empty(t, f.Protocols)
	})
	t.Run("a parent that cannot be read", func(t *testing.T) {
		f, list := Read(farmOf(t, map[string][]byte{
			"protocols/enoki.toml": []byte("format = 1\ntitle = Enoki\n"),
			"protocols/child.toml": []byte("format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\n"),
		}), base)
		require.Len(t, list, 1)
		assert.Equal(t, "protocols/enoki.toml", list[0].Place.File)
		assert.Empty(t, f.Protocols)
	})
}

// Both a farm's own line ends and those of another system read alike.
func TestLineEnds(t *testing.T) {
	files := map[string][]byte{}
	for _, name := range []string{farmFile, "protocols/enoki.toml", libraryDir + "/species.toml"} {
		src, err := fs.ReadFile(base, name)
		require.NoError(t, err)
		files[name] = []byte(strings.ReplaceAll(string(src), "\n", "\r\n"))
	}
	a, b := clean(t, farmOf(t, nil)), clean(t, farmOf(t, files))
	assert.Equal(t, a.Protocols, b.Protocols)
	assert.Equal(t, a.Farm, b.Farm)
	assert.Equal(t, a.Library.Species, b.Library.Species)
}

// Reading twice gives the same, whatever the order of maps.
func TestReadIsStable(t *testing.T) {
	paths, err := filepath.Glob("testdata/golden/*.txtar")
	require.NoError(t, err)
	for _, path := range paths {
		farm, _ := goldenCase(t, path)
		_, first := Read(farm, base)
		for range 5 {
			_, again := Read(farm, base)
			require.Equal(t, lines(first), lines(again), path)
		}
	}
}
