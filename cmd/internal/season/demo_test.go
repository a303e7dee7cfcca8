package season_test

import (
	"io/fs"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/season"
)

func TestDemoX(t *testing.T) {
	in := demo(t, nil)
	folder, _ := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	in.Orders = folder.Orders
	in.Results = folder.Results
	today := date(t, "2026-11-26")
	in.Today = &today
	s, err := season.Plan(in)
	require.NoError(t, err)
	for _, d := range s.Deliveries {
		code := ""
		if d.Batch >= 0 {
			code = s.Batches[d.Batch].Code
		}
		t.Log(in.Orders.Orders[d.Order].ID, d.Day, code, d.Unmet, "late", d.Late, "early", d.Early, "good", d.Good, d.Blocked, d.WouldFix, d.Soonest)
	}
	for _, r := range s.Resources {
		t.Log(r.ID, r.Bounded, r.Capacity, "peak", r.Peak, r.PeakDay, "mean", r.Mean)
	}
	t.Log(s.First, s.Last, s.Shortages)
	for _, b := range s.Batches {
		t.Log(b.Code, b.BuysSpawn, b.Batch.Filled, len(b.Plan.Cohorts), b.UnderWay)
	}
}
