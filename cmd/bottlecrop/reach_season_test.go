package main

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
)

// seasonReaches are those of the limits of a season: with so few bottles, nearly all
// of them are filled for weeks.
var seasonReaches = map[string]reach{
	"season.tight": by(onFarm("capacity.owns[0].count", 330)),
}

func init() { maps.Copy(reaches, seasonReaches) }

// seasonFindings judges the season of a farm's orders, of those for one protocol.
func seasonFindings(t *testing.T, folder *farmfile.Folder, p *process.Process) []protocol.Finding {
	t.Helper()
	w, err := calendar.NewWorkdays(folder.Farm.Week.Works, folder.Farm.Week.Holidays)
	require.NoError(t, err)
	s, err := season.Plan(season.Input{Farm: folder.Farm, Processes: map[string]*process.Process{p.Input.Protocol.Name: p}, Orders: folder.Orders, Workdays: w})
	require.NoError(t, err)
	_, found := s.Judge(folder.Farm, w, nil)
	return found
}
