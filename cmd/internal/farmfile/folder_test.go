package farmfile

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

func TestRead(t *testing.T) {
	f := clean(t, farmOf(t, map[string][]byte{
		"protocols/zz.toml":    []byte("format = 1\ntitle = \"Z\"\nbased_on = \"child\"\n[harvest]\nlost = \"0 %\"\n"),
		"protocols/child.toml": []byte("format = 1\ntitle = \"Child\"\nbased_on = \"enoki\"\nbatch_sizes = [100000, 1]\nvessel = \"jar-quart\"\n[[substrate.ingredient]]\ningredient = \"soy-hull\"\nshare_dm = \"100 %\"\n[fill]\nmass = \"1.2 lb\"\n[incubation.days]\nshortest = \"3 weeks\"\n"),
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
	assert.Equal(t, unit.MassPrice{Amount: 0.42, Currency: "USD"}, f.Farm.Prices["soy-hull"])
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
	species := string(changed(t, protocol.LibraryFolder+"/species.toml", `core_most = "25 °C"`, `core_most = "24 °C"`))
	// Only the first entry, and one of the farm's own.
	first, second, _ := strings.Cut(species, "\n[[species]]\nid = \"oyster\"")
	mine := first + "\n[[species]]\nid = \"my-strain\"" + second
	f := clean(t, farmOf(t, map[string][]byte{protocol.LibraryFolder + "/species.toml": []byte(mine)}))
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
	f, list := Read(farmOf(t, map[string][]byte{protocol.LibraryFolder + "/species.toml": []byte(bad)}), builtIn)
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
		{protocol.FarmDocument, "scale[1].reads", protocol.FarmDocument, `reads = "10 g"`},
		{protocol.FarmDocument, "sterilizer[0].holds[2].count", protocol.FarmDocument, "count = 84"},
		{protocol.FarmDocument, "moisture_wb.soy-hull", protocol.FarmDocument, `soy-hull = "10.2 %"`},
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

// Both a farm's own line ends and those of another system read alike.
func TestLineEnds(t *testing.T) {
	files := map[string][]byte{}
	for _, name := range []string{protocol.FarmDocument, "protocols/enoki.toml", protocol.LibraryFolder + "/species.toml"} {
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
		_, first := Read(farm, builtIn)
		for range checks.Rounds(2, 5) {
			_, again := Read(farm, builtIn)
			require.Equal(t, lines(first), lines(again), path)
		}
	}
}
