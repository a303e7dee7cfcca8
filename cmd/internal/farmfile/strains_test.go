package farmfile

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// A farm's strain of a species that the program brings: its own values where it
// writes them, the species' everywhere else, and each value found where it stands.
func TestStrainOfABuiltInSpecies(t *testing.T) {
	const file = protocol.LibraryFolder + "/species.toml"
	f := clean(t, farmOf(t, map[string][]byte{
		file:                   []byte("format = 1\n[[species]]\nid = \"enoki-north\"\nstrain_of = \"enoki\"\ncore_most = \"24 °C\"\nfruit_air = [\"5 °C\", \"9 °C\"]\n"),
		"protocols/north.toml": []byte("format = 1\ntitle = \"North\"\nbased_on = \"enoki\"\nspecies = \"enoki-north\"\n"),
	}))
	species, strain := f.Library.Species["enoki"], f.Library.Species["enoki-north"]
	assert.Equal(t, "enoki", strain.StrainOf)
	assert.InDelta(t, 297.15, float64(strain.CoreMost), 1e-12)
	assert.InDelta(t, 282.15, float64(strain.FruitAir.High), 1e-12)
	want := species
	want.ID, want.StrainOf, want.CoreMost, want.FruitAir = strain.ID, "enoki", strain.CoreMost, strain.FruitAir
	assert.Equal(t, want, strain)
	assert.InDelta(t, 298.15, float64(species.CoreMost), 1e-12, "the species keeps its own")

	own := f.Library.Origin("species", "enoki-north", "core_most")
	assert.Equal(t, working.Origin{Document: file, Key: "species[0].core_most"}, own)
	lent := f.Library.Origin("species", "enoki-north", "pin_air")
	assert.Equal(t, working.Origin{Document: "built-in/library/species.toml", Key: "species[0].pin_air"}, lent)
	assert.Equal(t, `pin_air = ["7 °C", "15 °C"]`, f.Place(lent).Text)

	// The method of a protocol has the strain's values, not its descent.
	text := string(f.Canonical("north"))
	assert.Contains(t, text, "species.core_most = 2.97150000000e+02")
	assert.Contains(t, text, "species.pin_air = ")
	assert.NotContains(t, text, "strain_of")
}

// A strain is faulty where its species is, and nothing is worked out with it;
// the fault is told once.
func TestStrainOfAFaultySpecies(t *testing.T) {
	mine := string(changed(t, protocol.LibraryFolder+"/species.toml", `core_most = "25 °C"`, `core_most = 25`)) +
		"\n[[species]]\nid = \"enoki-north\"\nstrain_of = \"enoki\"\n"
	f, list := Read(farmOf(t, map[string][]byte{protocol.LibraryFolder + "/species.toml": []byte(mine)}), builtIn)
	require.Len(t, list, 1)
	assert.Equal(t, "unit.missing", list[0].Rule)
	assert.NotContains(t, f.Library.Species, "enoki-north")
	assert.False(t, f.Usable)
}

// A strain of a species that nothing has is one finding, at the name, with the
// nearest species; what it does not write is not missed.
func TestStrainOfAnUnknownSpecies(t *testing.T) {
	f, list := Read(farmOf(t, map[string][]byte{
		protocol.LibraryFolder + "/species.toml": []byte("format = 1\n[[species]]\nid = \"pale\"\nstrain_of = \"oistre\"\n"),
	}), builtIn)
	require.Len(t, list, 1)
	assert.Equal(t, "reference.unknown", list[0].Rule)
	assert.Equal(t, protocol.Place{File: protocol.LibraryFolder + "/species.toml", Line: 4, Column: 13, EndColumn: 21, Text: `strain_of = "oistre"`}, list[0].Place)
	assert.Equal(t, "oyster", list[0].Hint.Args["near"])
	assert.NotContains(t, f.Library.Species, "pale")
}

// A farm that replaces a species lends the new values to its own strains. One
// that makes a species of what was a strain borrows nothing more, and may have
// strains of it.
func TestStrainAfterTheFarmsOwnSpecies(t *testing.T) {
	species := string(changed(t, protocol.LibraryFolder+"/species.toml", `core_most = "25 °C"`, `core_most = "24 °C"`))
	f := clean(t, farmOf(t, map[string][]byte{
		protocol.LibraryFolder + "/species.toml": []byte("format = 1\n[[species]]\nid = \"pale\"\nstrain_of = \"enoki\"\n" + strings.TrimPrefix(species, "# A part of the library, for tests.\n\nformat = 1\n")),
	}))
	assert.InDelta(t, 297.15, float64(f.Library.Species["pale"].CoreMost), 1e-12)
	assert.Equal(t, working.Origin{Document: protocol.LibraryFolder + "/species.toml", Key: "species[1].core_most"}, f.Library.Origin("species", "pale", "core_most"))

	const pale = "[[species]]\nid = \"pale\"\nstrain_of = \"enoki\"\n"
	program := fstest.MapFS{}
	for _, s := range shelves {
		src, err := fs.ReadFile(base, protocol.LibraryFolder+"/"+s.file)
		require.NoError(t, err)
		if s.kind == "species" {
			src = append(src, []byte("\n"+pale)...)
		}
		program["library/"+s.file] = &fstest.MapFile{Data: src}
	}
	whole := strings.Replace(species, `id = "enoki"`, `id = "pale"`, 1)
	first, _, _ := strings.Cut(whole, "\n[[species]]\nid = \"oyster\"")
	f, list := Read(farmOf(t, map[string][]byte{
		protocol.LibraryFolder + "/species.toml": []byte(first + "\n[[species]]\nid = \"paler\"\nstrain_of = \"pale\"\n"),
	}), program)
	require.Empty(t, lines(list))
	assert.Equal(t, protocol.LibraryFolder+"/species.toml", f.Library.Origin("species", "pale", "core_most").Document)
	assert.InDelta(t, 297.15, float64(f.Library.Species["paler"].CoreMost), 1e-12)
}
