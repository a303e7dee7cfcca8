package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
)

// systemPython is the one for which Debian's python3-icalendar is installed.
const systemPython = "/usr/bin/python3"

// The calendar of the whole demo farm, read back by a second program's reader, has each
// entry as it was written, and the tasks that the JSON has, on their days.
func TestCalendarOfAFarmIsReadBackByPython(t *testing.T) {
	if err := exec.Command(systemPython, "-c", "import icalendar").Run(); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("this test needs python3-icalendar, and in CI it may not be skipped")
		}
		t.Skip("this machine has no python3-icalendar; .ci/run installs it")
	}
	x := demoPlan(t, "2026-11-26")
	events := x.events(planned{revision: 3, alarm: 360})
	text, err := calendar.Feed{Product: "-//bottlecrop//test//EN", Name: "Willow Fork", Stamp: *x.Today, Events: events}.Text()
	require.NoError(t, err)
	read := exec.Command(systemPython, "../internal/calendar/testdata/read_back.py")
	read.Stdin = strings.NewReader(text)
	read.Stderr = os.Stderr
	out, err := read.Output()
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(events)+1)

	on := map[[2]string]int{} // what stands there on a day
	for i, e := range events {
		alarm := "-360"
		if e.Free {
			alarm = ""
		}
		require.Equal(t, []string{e.UID, x.Today.String() + "T00:00:00+00:00", e.From.String(), (e.To + 1).String(), "3", e.Summary,
			e.Description, e.Category, strconv.FormatBool(e.Free), alarm}, rows[i+1])
		if !e.Free && e.From >= x.Mondays()[0] {
			on[[2]string{e.Summary, e.From.String()}]++
		}
	}
	report, err := json.Marshal(x.report())
	require.NoError(t, err)
	var printed struct {
		Tasks []struct{ Title, Batch, Date string }
	}
	require.NoError(t, json.Unmarshal(report, &printed))
	require.Greater(t, len(printed.Tasks), 1000)
	for _, k := range printed.Tasks {
		on[[2]string{k.Title + ", " + k.Batch, k.Date}]--
	}
	left := 0
	for at, n := range on {
		if strings.HasPrefix(at[0], "Deliver ") {
			left += n
			continue
		}
		assert.Zero(t, n, "%v", at)
	}
	assert.Equal(t, len(x.Deliveries), left)
}
