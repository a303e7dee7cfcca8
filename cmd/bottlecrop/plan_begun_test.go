package main

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
)

// On the day on which a batch begins it is written down in results.toml. Its entries in
// a calendar stay the same ones: others would stand beside them.
func TestUIDsStayWhenABatchBegins(t *testing.T) {
	uids := func(today string, begun ...protocol.Result) map[string][]string {
		f, err := openFarm(&settings{farm: "../.."})
		require.NoError(t, err)
		f.folder.Results.Batches = append(slices.Clone(f.folder.Results.Batches), begun...)
		day, err := calendar.Parse(today)
		require.NoError(t, err)
		s, err := f.planSeason(&day, calendar.Usually)
		require.NoError(t, err)
		x := newFarmPlan(f, s, nil)
		out := map[string][]string{}
		for i, b := range x.Season.Batches {
			assert.Equal(t, len(begun) > 0 && b.Code == begun[0].Code, b.UnderWay && len(b.Deliveries) > 0, b.Code)
			for _, e := range x.batches[i].events(planned{}) {
				out[b.Code] = append(out[b.Code], e.UID)
			}
		}
		return out
	}
	const code = "enoki-850-2026-12-14"
	before := uids("2026-11-26")
	require.Greater(t, len(before[code]), 40)
	after := uids("2026-12-15", protocol.Result{Code: code, Protocol: "enoki-850", Mixed: "2026-12-14", Filled: 75, Controls: 2})
	assert.ElementsMatch(t, before[code], after[code])
}
