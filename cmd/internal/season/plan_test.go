package season_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
)

func TestX(t *testing.T) {
	in := demo(t, nil)
	today := date(t, "2026-11-26")
	in.Today = &today
	in.Orders.Orders = []protocol.Order{
		order("a", "enoki-850", "2027-02-03", "2027-05-01", 1, 8),
		order("b", "oyster-1100", "2027-02-03", "2027-05-01", 1, 8),
		order("c", "lions-mane-950", "2027-02-05", "2027-05-01", 2, 5),
		order("d", "beech-850", "2027-03-26", "2027-05-01", 2, 8),
		order("e", "king-oyster-1100", "2027-02-26", "2027-05-01", 1, 8),
	}
	s, err := season.Plan(in)
	require.NoError(t, err)
	for _, d := range s.Deliveries {
		code := ""
		if d.Batch >= 0 {
			code = s.Batches[d.Batch].Code
		}
		t.Log(in.Orders.Orders[d.Order].ID, d.Day, code, d.Unmet, "late", d.Late, "early", d.Early, "good", d.Good, d.Blocked)
	}
	for _, r := range s.Resources {
		t.Log(r.ID, r.Bounded, r.Capacity, "peak", r.Peak, r.PeakDay, "mean", r.Mean)
	}
	t.Log(s.First, s.Last)
}
