package calendar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/calendar"
)

// date reads a date that is one.
func date(t require.TestingT, text string) calendar.Date {
	d, err := calendar.Parse(text)
	require.NoError(t, err)
	return d
}

// Every day of three hundred years, against the calendar of Go's library.
func TestEveryDay(t *testing.T) {
	at := time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC)
	for d := calendar.First; d <= calendar.Last; d++ {
		y, m, day := d.Civil()
		if y != at.Year() || m != int(at.Month()) || day != at.Day() {
			t.Fatalf("day %d is %v, want %v", d, d, at)
		}
		back, err := calendar.On(y, m, day)
		if err != nil || back != d {
			t.Fatalf("%v is day %d, want %d: %v", at, back, d, err)
		}
		if d.String() != at.Format("2006-01-02") || date(t, d.String()) != d {
			t.Fatalf("day %d is written %v, want %v", d, d, at)
		}
		if int(d.Weekday()) != (int(at.Weekday())+6)%7 {
			t.Fatalf("%v is a %v, want %v", d, d.Weekday(), at.Weekday())
		}
		year, week := d.Week()
		if wantYear, want := at.ISOWeek(); year != wantYear || week != want {
			t.Fatalf("%v is in week %d of %d, want %d of %d", d, week, year, want, wantYear)
		}
		at = at.AddDate(0, 0, 1)
	}
	assert.Equal(t, 2200, at.Year())
}

// On the days on which clocks are changed, a sum of days is one of dates: in any
// zone, the midnight of so many days later is on that date.
func TestNoHourIsLost(t *testing.T) {
	for _, zone := range []string{"America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "America/Santiago", "Pacific/Apia"} {
		place, err := time.LoadLocation(zone)
		require.NoError(t, err)
		rapid.Check(t, func(rt *rapid.T) {
			d := calendar.Date(rapid.IntRange(int(date(rt, "2025-01-01")), int(date(rt, "2027-12-31"))).Draw(rt, "day"))
			n := rapid.IntRange(0, 400).Draw(rt, "days")
			y, m, day := d.Civil()
			noon := time.Date(y, time.Month(m), day, 12, 0, 0, 0, place).AddDate(0, 0, n)
			assert.Equal(rt, noon.Format("2006-01-02"), (d + calendar.Date(n)).String())
		})
	}
}

func TestLeapDaysAndYearEnds(t *testing.T) {
	for _, c := range []struct {
		from string
		days calendar.Date
		want string
	}{
		{"2028-02-28", 1, "2028-02-29"}, {"2028-02-29", 1, "2028-03-01"}, {"2027-02-28", 1, "2027-03-01"},
		{"2100-02-28", 1, "2100-03-01"}, {"2000-02-28", 1, "2000-02-29"}, {"2026-12-31", 1, "2027-01-01"},
		{"2027-01-01", -1, "2026-12-31"}, {"2028-01-15", 366, "2029-01-15"}, {"2026-03-07", 2, "2026-03-09"},
	} {
		assert.Equal(t, c.want, (date(t, c.from) + c.days).String(), "%s and %d days", c.from, c.days)
	}
}

func TestNoSuchDay(t *testing.T) {
	for text, want := range map[string]string{
		"2027-02-29": "no day 2027-02-29", "2100-02-29": "no day", "2026-13-01": "no day", "2026-00-01": "no day",
		"2026-04-31": "no day", "2026-01-00": "no day", "1899-12-31": "1900-01-01 to 2199-12-31 are possible",
		"2200-01-01": "are possible", "2026-1-1": "is no date", "": "is no date", "20261225": "is no date",
		"2026-12-25 ": "is no date", "2026/12/25": "is no date", "2026-1x-01": "is no date", "+026-01-01": "is no date",
	} {
		_, err := calendar.Parse(text)
		assert.ErrorContains(t, err, want, "%q", text)
	}
}

func TestWorkdays(t *testing.T) {
	w, err := calendar.NewWorkdays([]string{"mon", "tue", "wed", "thu", "fri"}, []string{"2026-12-24..2027-01-01", "2027-04-05", "2026-12-25"})
	require.NoError(t, err)
	for day, want := range map[string]string{
		"2026-12-23": "2026-12-23", // a Wednesday
		"2026-12-24": "2027-01-04", // holidays, and then a weekend
		"2027-01-02": "2027-01-04",
		"2027-04-03": "2027-04-06", // a weekend, and then a holiday
	} {
		assert.Equal(t, want, w.Next(date(t, day)).String())
	}
	assert.Equal(t, "2026-12-23", w.Previous(date(t, "2027-01-03")).String())
	assert.True(t, w.Open(date(t, "2027-04-06")))
	assert.True(t, calendar.EveryDay().Open(date(t, "2026-12-25")))

	for _, c := range []struct {
		week, holidays []string
		want           []string
	}{
		{nil, nil, []string{"no working day"}},
		{[]string{"Monday"}, nil, []string{`"Monday" is no day of the week; mon, tue,`}},
		{[]string{"mon", "mon"}, nil, []string{"mon twice"}},
		{[]string{"mon"}, []string{"2026-12-25..2026-12-24", "xmas", "2026-01-01..2027-06-30", "2026-01-01..2026-02-30"},
			[]string{"end before they begin", `"xmas" is no date`, "546 days; 366 at most", "no day 2026-02-30"}},
	} {
		_, err := calendar.NewWorkdays(c.week, c.holidays)
		for _, want := range c.want {
			assert.ErrorContains(t, err, want)
		}
	}
}
