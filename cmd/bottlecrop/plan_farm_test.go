package main

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/season"
)

// demoPlan is the plan of the demo farm, on a day that counts as today.
func demoPlan(t *testing.T, today string) farmPlan {
	t.Helper()
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	require.NoError(t, f.verdict())
	d, err := calendar.Parse(today)
	require.NoError(t, err)
	s, err := f.planSeason(&d, calendar.Usually)
	require.NoError(t, err)
	require.NotNil(t, s, "the demo farm has orders")
	return newFarmPlan(f, s, nil)
}

// The calendar of the whole demo farm is read back by another program's reader with
// every entry that was written: its UID, which no other has, its days, its number and
// its words.
func TestCalendarOfAFarmIsReadBack(t *testing.T) {
	x := demoPlan(t, "2026-11-26")
	events := x.events(planned{revision: 3, alarm: 360})
	want := len(x.Deliveries)
	for _, b := range x.Season.Batches {
		want += len(b.Plan.Tasks) + len(b.Plan.Stages)
	}
	require.Len(t, events, want)
	text, err := calendar.Feed{Product: "-//bottlecrop//test//EN", Name: "Willow Fork", Stamp: *x.Today, Events: events}.Text()
	require.NoError(t, err)
	parsed, err := ics.ParseCalendar(strings.NewReader(text))
	require.NoError(t, err)
	require.Len(t, parsed.Events(), want)
	seen := map[string]bool{}
	for i, e := range parsed.Events() {
		w := events[i]
		assert.False(t, seen[e.Id()], e.Id())
		seen[e.Id()] = true
		assert.Equal(t, w.UID, e.Id())
		assert.Equal(t, w.Summary, e.GetProperty(ics.ComponentPropertySummary).Value)
		assert.Equal(t, "3", e.GetProperty(ics.ComponentPropertySequence).Value)
		from, err := e.GetAllDayStartAt()
		require.NoError(t, err)
		until, err := e.GetAllDayEndAt()
		require.NoError(t, err)
		assert.Equal(t, w.From.String(), from.Format("2006-01-02"))
		assert.Equal(t, (w.To + 1).String(), until.Format("2006-01-02"))
		assert.Len(t, e.Alarms(), map[bool]int{true: 0, false: 1}[w.Free])
	}
}

// A plan that is made anew moves the entries of a calendar: what is for the same
// delivery has the same UIDs, though its batch begins on another day and has another
// code.
func TestUIDsStayWhenThePlanMoves(t *testing.T) {
	type done struct{ uid, day, code string }
	picks := func(today string) map[string]done {
		x := demoPlan(t, today)
		out := map[string]done{}
		for i, b := range x.Season.Batches {
			if b.UnderWay {
				continue
			}
			for _, e := range x.batches[i].events(planned{}) {
				if strings.HasPrefix(e.UID, "mix.1.") {
					out[x.batches[i].identity] = done{e.UID, e.From.String(), b.Code}
				}
			}
		}
		return out
	}
	before, after := picks("2026-11-26"), picks("2027-01-04")
	moved := 0
	for id, a := range after {
		b, ok := before[id]
		if !ok {
			continue
		}
		assert.Equal(t, b.uid, a.uid, id)
		if b.day != a.day {
			moved++
			assert.NotEqual(t, b.code, a.code, id)
		}
	}
	assert.Positive(t, moved, "no batch began on another day: the test shows nothing")
}

// The tasks as CSV are read back by Go's own reader: a row for each, every cell as it
// was, lines that end as RFC 4180 has it, and none that a spreadsheet runs.
func TestTasksAsCSVAreReadBack(t *testing.T) {
	x := demoPlan(t, "2026-11-26")
	tasks := x.tasks()
	total := 0
	for _, b := range x.Season.Batches {
		for _, k := range b.Plan.Tasks {
			if k.Date >= season.Monday(*x.Today) { // what is past has no row
				total++
			}
		}
	}
	require.Equal(t, total, len(tasks))
	// What an author might call a batch.
	for i, code := range []string{"=1+1", "+A1", "-2", "@SUM(A1)", "'quoted", "a \"b\", c", "two\nlines"} {
		tasks[i].code = code
	}
	var b bytes.Buffer
	require.NoError(t, writeCSV(&b, tasks))
	assert.Equal(t, strings.Count(b.String(), "\n"), strings.Count(b.String(), "\r\n"), "every line, within a cell too")
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(tasks)+1)
	assert.Equal(t, taskColumns, rows[0])
	at := map[string]int{}
	for i, name := range taskColumns {
		at[name] = i
	}
	for i, row := range rows[1:] {
		k := tasks[i]
		for _, cell := range row {
			require.False(t, cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r"), "%q", cell)
		}
		code := row[at["batch"]]
		if i < 5 {
			require.Equal(t, "'", code[:1])
			code = code[1:]
		}
		assert.Equal(t, k.code, code)
		assert.Equal(t, k.Date.String(), row[at["date"]])
		assert.Equal(t, k.Due.String(), row[at["due"]])
		assert.Equal(t, string(k.Step), row[at["step"]])
		assert.Equal(t, string(k.Role), row[at["role"]])
		assert.Equal(t, plain(k.farm.voice.Say(k.Title(k.Task))), row[at["task"]])
		if k.Takes == 0 {
			assert.Empty(t, row[at["hands_on_min"]])
		} else {
			minutes, err := strconv.Atoi(row[at["hands_on_min"]])
			require.NoError(t, err)
			assert.InDelta(t, leaf.HandsOn(k.Takes).Value/60, minutes, 1e-9)
		}
	}
}

// The same folder and the same today give the same plan: nothing asks a clock.
func TestPlanOfAFarmIsTheSameAgain(t *testing.T) {
	a, b := demoPlan(t, "2026-11-26"), demoPlan(t, "2026-11-26")
	assert.Equal(t, a.report(), b.report())
	assert.Equal(t, a.events(planned{}), b.events(planned{}))
}
