package words_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/working"
)

// seasonQuantities are those that the demo farm's season enters.
func seasonQuantities(t *testing.T) []*working.Quantity {
	t.Helper()
	folder := farm()
	in := season.Input{Farm: folder.Farm, Processes: map[string]*process.Process{}, Orders: folder.Orders, Workdays: calendar.EveryDay()}
	for _, p := range folder.Protocols {
		pr, err := process.Plan(process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
		require.NoError(t, err)
		in.Processes[p.Name] = pr
	}
	s, err := season.Plan(in)
	require.NoError(t, err)
	l, _ := s.Judge(folder.Farm, in.Workdays, nil)
	return l.All()
}
