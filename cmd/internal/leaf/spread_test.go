package leaf

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// planned is a protocol of the demo farm, changed.
func planned(t *testing.T, name string, change func(*protocol.Protocol)) *process.Process {
	t.Helper()
	folder := DemoFarm()
	i := slices.IndexFunc(folder.Protocols, func(p protocol.Protocol) bool { return p.Name == name })
	require.GreaterOrEqual(t, i, 0)
	change(&folder.Protocols[i])
	p, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: folder.Protocols[i]})
	require.NoError(t, err)
	return p
}

func TestSpreadIsShownWhereItIsAskedFor(t *testing.T) {
	p := planned(t, "enoki-850", func(*protocol.Protocol) {})
	e := InEnglish(unit.Metric)
	without, err := e.spread(p)
	require.NoError(t, err)
	assert.Contains(t, without.Ask, "bottlecrop book --spread")
	assert.Empty(t, without.Rows)

	e.Spread = true
	s, err := e.spread(p)
	require.NoError(t, err)
	assert.Empty(t, s.Ask)
	require.Len(t, s.Rows, 3)
	assert.NotEmpty(t, s.PutAside)
	assert.NotEmpty(t, s.Vented)
	// A full vent leaves no air to be drawn; the rest is listed, what matters most first.
	require.Len(t, s.Drawn, 7)
	assert.Equal(t, e.say("book.spread.matters", "input", words.Message("book.spread.in.vapor")), s.Matters)
	assert.Equal(t, "how freely vapor moves", s.Drawn[0].Name)
	got, err := p.Spread()
	require.NoError(t, err)
	assert.Contains(t, s.Rows[0].P50, unit.Metric.Number(float64(int(got.All.F0.P50/60+0.5)), 1))
	page, err := e.html("spread", s)
	require.NoError(t, err)
	for _, x := range append([]string{s.How, s.Yours, s.Between, "<svg"}, s.Rows[1].P5, s.Drawn[6].From) {
		assert.Contains(t, string(page), strings.ReplaceAll(x, "'", "&#39;"))
	}
}

// A short vent leaves air, and a fill without a bore has none that falls in.
func TestSpreadOfAnotherMethod(t *testing.T) {
	p := planned(t, "enoki-850", func(pr *protocol.Protocol) {
		pr.Bore = protocol.Bore{Made: protocol.BoreNone}
		pr.Sterilization.Vent, pr.Sterilization.Hold = 5*unit.Minute, unit.Hour
	})
	e := Edition{Voice: words.English(unit.US), Spread: true}
	s, err := e.spread(p)
	require.NoError(t, err)
	assert.Len(t, s.Rows, 2)
	assert.Empty(t, s.PutAside)
	assert.Empty(t, s.Vented, "some air is left, and drawn")
	var names []string
	for _, d := range s.Drawn {
		names = append(names, d.Name)
	}
	assert.Contains(t, names, "air left in the chamber")
	assert.NotContains(t, names, "how well the bore takes heat in")
}
