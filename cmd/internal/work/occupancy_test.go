package work_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/work"
)

// Little's law by the published example of a wine rack, 160 bottles and 96 a year, and
// by 100 vessels a week that stay for 53 days.
func TestLittlesLaw(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	years, err := work.Stay.At(map[string]float64{"L": 160, "lambda": 96})
	require.NoError(t, err)
	table.Row(t, "C107").Meet(t, years)
	stand, err := work.Occupancy.At(map[string]float64{"lambda": 100.0 / 7, "W": 53})
	require.NoError(t, err)
	table.Row(t, "C108").Meet(t, stand)
	part, err := work.Utilization.At(map[string]float64{"D": 6, "C": 8})
	require.NoError(t, err)
	assert.Equal(t, 0.75, part)
}
