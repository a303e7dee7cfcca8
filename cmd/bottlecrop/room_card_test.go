package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/climate"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// The card at a room's door is one page, for every room of the demo farm and for one
// that is held stale and purged, in both systems of units and on both papers.
func TestRoomCardOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	page := loosePage(t)
	for _, units := range checks.Every(2, []string{"metric", "us"}) {
		f, err := openFarm(&settings{farm: "../..", units: units})
		require.NoError(t, err)
		c := f.climate(nil)
		require.Len(t, c.Rooms, 6)
		rooms := append(some(c.Rooms), stale(t, f))
		for _, paper := range papers {
			e := f.edition()
			e.Farm.Paper = paper
			for _, r := range rooms {
				name := strings.Join([]string{r.ID, units, paper}, ", ")
				card, err := leaf.RoomCard(e, r, c.Processes)
				require.NoError(t, err, name)
				said := onePage(t, ctx, page, card, name)
				for _, part := range []string{"DANGER", "NOTICE", "Held at", "5000 ppm", "15000 ppm", "30000 ppm", "The fan stands still", "Humidity over", "at most " + unit.Metric.Number(float64(r.Places), 1)} {
					assert.Contains(t, said, part, name)
				}
				assert.Equal(t, r.Slippery, strings.Contains(said, "WARNING"), name)
				_, purged := r.Value("purge_needed")
				assert.Equal(t, purged, strings.Contains(said, "Before each visit"), name)
			}
		}
	}
}

// stale is the cold room held at 8,000 ppm, with a fan that purges it.
func stale(t *testing.T, f *farm) *climate.Room {
	t.Helper()
	farm := f.folder.Farm
	for i, r := range farm.Rooms {
		if r.ID != "cold" {
			continue
		}
		most, fan := unit.Concentration(0.008), unit.AirFlow(0.1)
		farm.Rooms = slices.Clone(farm.Rooms)
		farm.Rooms[i].CO2Most, farm.Rooms[i].PurgeFan = &most, &fan
		for _, p := range f.processes() {
			if p.Input.Protocol.Name == reached {
				x := climate.Work(climate.NewSite(farm, f.folder.Library), i, []climate.Standing{{Process: p, Stage: "fruiting", Vessels: r.Places}})
				require.NoError(t, x.Ledger.Err())
				require.Positive(t, x.Card().Purge)
				return x
			}
		}
	}
	t.Fatal("the demo farm has no cold room, or no enoki")
	return nil
}
