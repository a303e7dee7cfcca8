package leaf_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// loaded is what the author's page of the demo's enoki tells of a full load, and
// its map.
func loaded(t *testing.T, change func(*process.Input)) (text, html string) {
	t.Helper()
	folder := leaf.DemoFarm()
	for _, p := range folder.Protocols {
		if p.Name != "enoki-850" {
			continue
		}
		in := process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p}
		in.Farm.Sterilizers = append([]protocol.FarmSterilizer(nil), in.Farm.Sterilizers...)
		change(&in)
		plan, err := process.Plan(in)
		require.NoError(t, err)
		b, err := batch.Compute(plan, 48)
		require.NoError(t, err)
		e := leaf.InEnglish(unit.Metric)
		e.Farm, e.Place = in.Farm, folder.Place
		made, err := leaf.Protocol(e, leaf.Recipe{Process: plan, Batches: []*batch.Batch{b}, Method: leaf.Method{Protocol: p.Name}})
		require.NoError(t, err)
		_, html, found := strings.Cut(string(made), `<section class="loading"`)
		require.True(t, found)
		html, _, _ = strings.Cut(html, "</section>")
		return wordsOf(t, []byte("<section"+html+"</section>")), html
	}
	t.Fatal("no enoki-850")
	return "", ""
}

// The author's page tells the run of a full load; what the farm has measured
// stands before what is computed.
func TestLoadingOnTheAuthorsPage(t *testing.T) {
	text, _ := loaded(t, func(*process.Input) {})
	for _, want := range []string{
		"120 bottles in Steam 1", "40 min without the vent; from 23 min to 48 min by plain balance",
		"18 kWh metered, 22 kWh computed", "8.8 L: 4.5 kg in the vent, 3.3 kg in the hold, 1 kg on the load",
		"30 L; at least 21 L", "Never top up under pressure", "Come-up to a full jet of steam", "Layer 1, the lowest",
	} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "A sketch:", "the demo has written its trays down")

	text, html := loaded(t, func(in *process.Input) {
		s := &in.Farm.Sterilizers[0]
		s.Trays, s.FullUp, s.Energy = 0, 50*unit.Minute, 0
		k := in.Library.Sterilizers[s.Model]
		k.OwnBoiler = true
		in.Library.Sterilizers = map[string]protocol.Sterilizer{k.ID: k}
	})
	assert.Contains(t, text, "50 min timed, 40 min computed")
	assert.Contains(t, text, "22 kWh computed")
	assert.NotContains(t, text, "metered,")
	assert.Contains(t, text, "Water from the boiler")
	assert.NotContains(t, text, "Water charge")
	assert.Contains(t, text, "A sketch:")
	assert.Contains(t, html, `class="sketched"`)
}

// The table beside the map counts all places, and the pictures show as many.
func TestMapOfALoadCounts(t *testing.T) {
	text, html := loaded(t, func(*process.Input) {})
	rows := regexp.MustCompile(`Layer \d[^|]*\| (\d+) \| (\d+) \| (\d+) \| (\d+) \| (\d+)`).FindAllStringSubmatch(text, -1)
	require.Len(t, rows, 6, "three layers of a full load and of one of 50")
	sums := [2][6]int{}
	for i, row := range rows {
		for k := range 5 {
			n, err := strconv.Atoi(row[k+1])
			require.NoError(t, err)
			sums[i/3][k] += n
			if k == 0 || k > 2 { // P and I stand in vessels to grow
				sums[i/3][5] += n
			}
		}
	}
	assert.Equal(t, [6]int{118, 1, 2, 2, 0, 120}, sums[0])
	assert.Equal(t, [6]int{48, 1, 2, 2, 70, 120}, sums[1])
	circles := 0
	for _, svg := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(html, -1) {
		for _, class := range []string{"thin", "vessel"} {
			d := regexp.MustCompile(`<path class="` + class + `" d="([^"]*)"`).FindStringSubmatch(svg)
			require.NotNil(t, d)
			circles += strings.Count(d[1], "Z")
		}
	}
	assert.Equal(t, 240, circles)
}

// Nobody reads a map of thousands, so there is none, and the page stands.
func TestNoMapOfThousands(t *testing.T) {
	text, html := loaded(t, func(in *process.Input) {
		s := &in.Farm.Sterilizers[0]
		s.Trays, s.Holds = 0, []protocol.Holds{{Vessel: "bottle-850", Count: 1201}}
		in.Farm.Grain = nil
		k := in.Library.Sterilizers[s.Model]
		k.Chamber, k.Usable, k.Power, k.Water, k.Metal = 4, 3, 200e3, 0.5, 2500
		in.Library.Sterilizers = map[string]protocol.Sterilizer{k.ID: k}
	})
	assert.NotContains(t, text, "How a load stands")
	assert.NotContains(t, html, "<svg")
}
