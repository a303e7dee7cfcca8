package calendar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/calendar"
)

// Weeks around the ends of years, as ISO 8601 has them (from memory): a year's last
// days may be of the next one's first week, and the other way round.
func TestWeekNames(t *testing.T) {
	for day, week := range map[string]string{
		"2005-01-01": "2004-W53", "2005-01-02": "2004-W53", "2007-12-31": "2008-W01", "2008-12-28": "2008-W52",
		"2008-12-29": "2009-W01", "2009-12-31": "2009-W53", "2010-01-03": "2009-W53", "2010-01-04": "2010-W01",
		"2026-12-07": "2026-W50", "2027-01-03": "2026-W53", "2028-02-29": "2028-W09",
	} {
		assert.Equal(t, week, date(t, day).WeekName(), day)
	}
	monday, err := calendar.ParseWeek("2026-W50")
	require.NoError(t, err)
	assert.Equal(t, "2026-12-07", monday.String())
	for _, bad := range []string{"", "2026", "2026-50", "2026-w50", "2026-W5", "2026-W00", "2027-W53", "2026-W54", "1899-W52", "2200-W01", "26-W50", "2026-W50-1"} {
		_, err := calendar.ParseWeek(bad)
		assert.Error(t, err, bad)
	}
}

// Every day is in the week of its name, as Go's own calendar has it, and that week is
// read back as the Monday before it.
func TestWeeksAreReadBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := calendar.Date(rapid.IntRange(int(calendar.First)+7, int(calendar.Last)-7).Draw(rt, "day"))
		monday, err := calendar.ParseWeek(d.WeekName())
		require.NoError(rt, err)
		assert.Equal(rt, calendar.Monday, monday.Weekday())
		assert.True(rt, monday <= d && d < monday+7)
		year, week := time.Unix(int64(d)*86400, 0).UTC().ISOWeek()
		gotYear, gotWeek := d.Week()
		assert.Equal(rt, [2]int{year, week}, [2]int{gotYear, gotWeek})
	})
}

// A day as the code of a batch has it. 2026-03-14 is a Saturday in week 11, and
// 2027-01-03 the Sunday of the last week of the year before (ISO 8601; any calendar).
func TestMixingDay(t *testing.T) {
	for day, wanted := range map[string][2]string{
		"2026-03-14": {"260314", "2026W116"},
		"2027-01-03": {"270103", "2026W537"},
		"2100-12-31": {"001231", "2100W525"},
	} {
		d, err := calendar.Parse(day)
		require.NoError(t, err)
		m := d.Mixing()
		assert.Equal(t, day, m.Date)
		assert.Equal(t, wanted, [2]string{m.Short, m.Week})
	}
}
