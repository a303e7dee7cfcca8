package season_test

import (
	"io/fs"
	"os"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/season"
	"bottlecrop/cmd/internal/unit"
)

func date(t require.TestingT, text string) calendar.Date {
	d, err := calendar.Parse(text)
	require.NoError(t, err)
	return d
}

var readDemo = sync.OnceValues(func() (*farmfile.Folder, []protocol.Finding) {
	return farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
})

// demo is the demo farm, which is this repository, ready to be changed: without
// orders and results of its own.
func demo(t testing.TB, change func(*protocol.Farm)) season.Input { return demoIn(t, change, nil) }

// demoIn is demo with some protocols in other sterilizers.
func demoIn(t testing.TB, change func(*protocol.Farm), steam map[string]string) season.Input {
	t.Helper()
	folder, findings := readDemo()
	require.NotEqual(t, protocol.Error, protocol.Worst(findings))
	farm := folder.Farm
	farm.Rooms = slices.Clone(farm.Rooms)
	shift := *farm.Shift
	farm.Shift = &shift
	farm.Sterilizers = slices.Clone(farm.Sterilizers)
	if change != nil {
		change(&farm)
	}
	in := season.Input{Farm: farm, Processes: map[string]*process.Process{}}
	for _, pr := range folder.Protocols {
		if s, ok := steam[pr.Name]; ok {
			pr.Sterilizer = s
		}
		p, err := process.Plan(process.Input{Farm: farm, Library: folder.Library, Protocol: pr})
		require.NoError(t, err)
		if protocol.Worst(p.Findings) != protocol.Error {
			in.Processes[pr.Name] = p
		}
	}
	var err error
	in.Workdays, err = calendar.NewWorkdays(farm.Week.Works, farm.Week.Holidays)
	require.NoError(t, err)
	return in
}

func order(id, of, first, last string, weeks int, kg float64) protocol.Order {
	return protocol.Order{ID: id, Protocol: of, Mass: unit.Mass(kg), First: first, Last: last, Weeks: weeks}
}
