package main

import (
	"io/fs"
	"os"
	"regexp"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/procedure"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/protocols"
)

// The tables and keys that the starter's farm shows in comments are right as
// they stand: a grower only takes the # away. So are the steps, the skip and the
// acknowledgment in its protocol.
func TestStarterCommentsCanBeUsed(t *testing.T) {
	starter := os.DirFS("starter")
	uncomment := regexp.MustCompile(`(?m)^#(?:   (\[)|(?:   | )([a-z][a-z0-9_]*(?:-[a-z0-9]+)* = (?:\["|["0-9])))`)
	farm := fstest.MapFS{}
	for _, name := range []string{"protocols/farm.toml", "protocols/my-first-protocol.toml"} {
		text, err := fs.ReadFile(starter, name)
		require.NoError(t, err)
		if name == "protocols/my-first-protocol.toml" {
			at := regexp.MustCompile(`(?m)^#   \[\[step\]\]`).FindIndex(text) // and all below
			require.NotNil(t, at)
			text = append(text[:at[0]:at[0]], uncomment.ReplaceAll(text[at[0]:], []byte("$1$2"))...)
		} else {
			text = uncomment.ReplaceAll(text, []byte("$1$2"))
		}
		farm[name] = &fstest.MapFile{Data: text}
	}
	f, findings := farmfile.Read(farm, protocols.Library)
	require.Empty(t, findings)
	assert.Positive(t, float64(f.Farm.F0Target))
	assert.NotEmpty(t, f.Farm.BatchCode)
	assert.NotEmpty(t, f.Farm.BookAddress)
	assert.Len(t, f.Farm.Calls, 2)
	assert.NotNil(t, f.Farm.Costs)
	assert.NotNil(t, f.Farm.Shift)
	require.NotNil(t, f.Farm.Week)
	assert.Len(t, f.Farm.Week.Works, 5)
	assert.Len(t, f.Farm.Week.Holidays, 2)
	require.NotNil(t, f.Farm.Crate)
	assert.NotNil(t, f.Farm.Crate.Lifted)
	assert.Len(t, f.Farm.Noise, 1)
	assert.NotNil(t, f.Farm.Bench)
	assert.NotNil(t, f.Farm.Grain)
	require.Len(t, f.Farm.Rooms, 2) // one to grow in, and that of the bench
	assert.Len(t, f.Farm.Rooms[0].Walls, 1)
	assert.NotNil(t, f.Farm.Outdoor)
	assert.Len(t, f.Farm.ClosedBoxes, 1)
	assert.Len(t, f.Farm.Wages, 2)
	assert.Len(t, f.Farm.Prices, 3)
	assert.Len(t, f.Farm.VesselPrices, 1)
	assert.Len(t, f.Farm.LidPrices, 1)
	assert.Positive(t, float64(f.Farm.Sterilizers[0].Energy))
	require.Len(t, f.Protocols, 1)
	assert.Len(t, f.Protocols[0].Acknowledged, 1)
	assert.Len(t, f.Protocols[0].Skips, 1)
	require.Len(t, f.Protocols[0].Steps, 2)
	assert.Len(t, f.Protocols[0].Steps[1].Cautions, 1)
	// What the reader does not judge: the facts that the sentences name.
	p, err := process.Plan(process.Input{Farm: f.Farm, Library: f.Library, Protocol: f.Protocols[0]})
	require.NoError(t, err)
	assert.Empty(t, procedure.Judge(p))
}
