package probe

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every day from 1970 to 2199 against Go's own calendar, and no day besides.
func TestCalendar(t *testing.T) {
	day := time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)
	for n := 0; day.Year() < 2200; n, day = n+1, day.AddDate(0, 0, 1) {
		y, m, d := day.Date()
		require.Equal(t, n, civil(y, int(m), d), "%v", day)
		require.LessOrEqual(t, d, daysIn(y, int(m)), "%v", day)
		if day.AddDate(0, 0, 1).Day() == 1 {
			require.Equal(t, d, daysIn(y, int(m)), "%v", day)
		}
	}
}

// What is written is what it means, in s of the day and days since 1970.
func TestStamps(t *testing.T) {
	const day = 20151 // 2025-03-04: date -d 2025-03-04 -u +%s is 20151 · 86400
	for text, want := range map[string][2]float64{
		"2025-03-04 00:00":              {day, 0},
		"2025/3/4 23:59:59":             {day, 86399},
		"2025-03-04T12:00:00.25Z":       {day, 43200.25},
		"2025-03-04 12:00:00,5":         {day, 43200.5},
		"2025-03-04T12:00:00+02:00":     {day, 36000},
		"2025-03-04T12:00:00-0330":      {day, 55800},
		"4.3.2025 1:02":                 {day, 3720},
		"04.03.25 01:02":                {day, 3720},
		"4-MAR-25 01:02":                {day, 3720},
		"3/4/2025 12:00 AM":             {day, 0},
		"3/4/2025, 12:30:00 p.m.":       {day, 45000},
		"03/04/25 11:59 pm":             {day, 86340},
		"03/04/2025 1:00PM":             {day, 46800},
		"2025-03-04 00:00:00.123456789": {day, 0.123456789},
	} {
		s, ok := parseStamp(text, ',')
		require.True(t, ok, text)
		days, ok := s.days(MonthFirst)
		require.True(t, ok, text)
		seconds, ok := s.ofDay()
		require.True(t, ok, text)
		assert.Equal(t, want[0], days, text)
		assert.InDelta(t, want[1], seconds, 1e-9, text)
	}
	for _, text := range []string{
		"", "10", "10:3", "10:60", "1:2:3", "10:30:60", "10:30:00.", "10:30 XM", "13:00 PM", "0:30 AM", "10:30:00 +25:00",
		"2025-03", "2025-03-04x10:00", "2025-03/04 10:00", "2025-03-2025 10:00", "4-Mxr-2025 10:00", "4-Mar", "a:b", "-1:30",
		"2025-03-04 10", "10:30:00.1234567890", "123456:00",
	} {
		_, ok := parseStamp(text, ',')
		assert.False(t, ok, text)
	}
}

// Numbers as loggers write them, against the decimal that they are.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"0": 0, "121.1": 121.1, "-5.5": -5.5, "−5.5": -5.5, "+7": 7, ".5": 0.5, "5.": 5, "1.2E+02": 120, "1e-3": 0.001,
		"0.1234567890123456789": 0.1234567890123456789, "123456789012345678": 123456789012345678, "98.6 °F": 98.6, "20C": 20, "300 K": 300,
	} {
		x, _, ok := number(text, '.')
		require.True(t, ok, text)
		assert.Equal(t, want, x, text)
	}
	x, u, ok := number("121,1 ºC", ',')
	assert.True(t, ok && x == 121.1 && u == Celsius)
	for _, text := range []string{"", "-", ".", "1.2.3", "1,000.5", "0x10", "1_000", "NaN", "Inf", "1e999", "12l", "20 X", "--5", "1e", "5 5"} {
		_, _, ok := number(text, '.')
		assert.False(t, ok, text)
	}
}
