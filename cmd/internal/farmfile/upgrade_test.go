package farmfile

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
)

// There has been one format, so nothing real can be upgraded. The mechanism is held to
// testdata/old, a folder of TOML as a farm could have kept it, and to renamings that are
// made up for it: a key, one in tables of a list, a table with others below it.
var madeUp = [][]Renamed{{
	{In: protocol.FarmDocument, Path: "room.wall.size", Now: "area"},
	{In: protocol.FarmDocument, Path: "cleaning", Now: "hygiene"},
	{In: protocol.Document("*"), Path: "substrate.water", Now: "moisture_wb"},
}, {
	{In: protocol.FarmDocument, Path: "hygiene.jug", Now: "jug_reads"},
}}

func old(t *testing.T, file string) []byte {
	t.Helper()
	src, err := os.ReadFile("testdata/old/" + file)
	require.NoError(t, err)
	return src
}

func TestUpgradeKeepsEveryOtherByte(t *testing.T) {
	src := string(old(t, "protocols/farm.toml"))
	out, renamed, err := upgrade(protocol.FarmDocument, []byte(src), madeUp)
	require.NoError(t, err)
	assert.Len(t, renamed, 3)
	// What is to come out, told as replacements of what went in.
	want := strings.NewReplacer(
		"format = 1  # of", "format = 3  # of",
		"size = \"12 m2\"", "area = \"12 m2\"", "\"size\" = \"9 m2\"", "area = \"9 m2\"", "{ name = \"roof\", size=\"30 m2\" }", "{ name = \"roof\", area=\"30 m2\" }",
		"[cleaning]", "[hygiene]", "[ cleaning . bleach ]", "[ hygiene . bleach ]",
		"jug =", "jug_reads =",
	).Replace(src)
	assert.Equal(t, want, string(out))
	assert.Contains(t, want, "# size and cleaning are words in a comment")
	assert.Contains(t, want, "size = cleaning", "a text that looks like a key stays")

	again, renamed, err := upgrade(protocol.FarmDocument, out, madeUp)
	require.NoError(t, err)
	assert.Empty(t, renamed)
	assert.Equal(t, string(out), string(again))
}

func TestUpgradeOfAProtocol(t *testing.T) {
	src := string(old(t, "protocols/enoki.toml"))
	out, _, err := upgrade("protocols/enoki.toml", []byte(src), madeUp)
	require.NoError(t, err)
	assert.Equal(t, strings.NewReplacer("format = 1", "format = 3", "substrate.water", "substrate.moisture_wb").Replace(src), string(out))
	assert.Contains(t, string(out), "\r\n", "line ends stay")

	// A farm's keys are no protocol's, and a file that is no TOML is left alone.
	other, renamed, err := upgrade(protocol.StockDocument, []byte("format = 1\nsubstrate.water = 1\n"), madeUp)
	require.NoError(t, err)
	assert.Empty(t, renamed)
	assert.Equal(t, "format = 3\nsubstrate.water = 1\n", string(other))
	_, _, err = upgrade(protocol.StockDocument, []byte("format = "), madeUp)
	assert.Error(t, err)
}

// Where both names are there, one of the two values would be lost.
func TestUpgradeRefusesWhatWouldLoseAValue(t *testing.T) {
	_, _, err := upgrade("protocols/a.toml", []byte("format = 1\n[substrate]\nwater = \"65 %\"\nmoisture_wb = \"60 %\"\n"), madeUp)
	assert.Error(t, err)
}

func TestUpgradeToday(t *testing.T) {
	for _, text := range []string{"# a\nformat = 1\n", "format = 9\n", "format = \"1\"\n", "name = \"x\"\n"} {
		out, renamed, err := Upgrade(protocol.FarmDocument, []byte(text))
		require.NoError(t, err)
		assert.Empty(t, renamed)
		assert.Equal(t, text, string(out))
	}
	// The format is the one that the types ask for, and that the upgrades lead to.
	assert.Len(t, upgrades, Format-1)
	for _, k := range fileKinds() {
		f, _ := k.t.FieldByName("Format")
		assert.Equal(t, fmt.Sprintf("required,eq=%d", Format), f.Tag.Get("validate"), k.name)
	}
}

func TestDocuments(t *testing.T) {
	files, err := Documents(os.DirFS(repository))
	require.NoError(t, err)
	for _, file := range []string{"protocols/farm.toml", "protocols/stock.toml", "protocols/library/species.toml", "protocols/languages/es.toml", "protocols/library/languages/es.toml"} {
		assert.Contains(t, files, file)
	}
}
