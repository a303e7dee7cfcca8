package leaf

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
)

// What is in time is picked on the day or a little before; where no later start is in
// time, it is said that the crop has to keep for longer.
func TestPickedLongBefore(t *testing.T) {
	_, s := demoSeason(t, unit.Metric, nil)
	d := s.Deliveries[slices.IndexFunc(s.Deliveries, func(d season.Delivery) bool { return d.Batch >= 0 && d.Late == 0 })]
	for early, want := range map[int]string{0: "season.in_time", season.Keeps: "season.in_time", season.Keeps + 1: "season.early"} {
		d.Early = early
		said := s.Verdict(protocol.Farm{}, d)
		require.Len(t, said, 1)
		assert.Equal(t, want, said[0].ID)
		if want == "season.early" {
			assert.Equal(t, (d.Day - calendar.Date(early)).String(), said[0].Args["date"])
		}
	}
}
