package calendar_test

import (
	"io/fs"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/farmfile"
	"bottlecrop/cmd/internal/process"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/work"
)

// inputs are the protocols of the demo farm, which is this repository.
func inputs(t testing.TB) []process.Input {
	t.Helper()
	folder, findings := farmfile.Read(os.DirFS("../../.."), fs.FS(nil))
	require.NotEqual(t, protocol.Error, protocol.Worst(findings))
	var out []process.Input
	for _, p := range folder.Protocols {
		out = append(out, process.Input{Farm: folder.Farm, Library: folder.Library, Protocol: p})
	}
	return out
}

func input(t testing.TB, name string) process.Input {
	t.Helper()
	all := inputs(t)
	i := slices.IndexFunc(all, func(in process.Input) bool { return in.Protocol.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return all[i]
}

func compute(t testing.TB, in process.Input, n int) *batch.Batch {
	t.Helper()
	p, err := process.Plan(in)
	require.NoError(t, err)
	b, err := batch.Compute(p, n)
	require.NoError(t, err)
	require.NotEqual(t, protocol.Error, protocol.Worst(b.Findings), "%s at %d", in.Protocol.Name, n)
	return b
}

func weekdays(t require.TestingT, holidays ...string) calendar.Workdays {
	w, err := calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, holidays)
	require.NoError(t, err)
	return w
}

func of(p *calendar.Plan, step work.StepID, cohort int) []calendar.Task {
	var out []calendar.Task
	for _, task := range p.Tasks {
		if task.Step == step && task.Cohort == cohort {
			out = append(out, task)
		}
	}
	return out
}

func only(t testing.TB, p *calendar.Plan, step work.StepID, cohort int) calendar.Task {
	t.Helper()
	list := of(p, step, cohort)
	require.Len(t, list, 1, "%s of cohort %d", step, cohort)
	return list[0]
}
