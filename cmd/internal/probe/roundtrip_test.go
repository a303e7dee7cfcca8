package probe_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/unit"
)

// clocks are ways to write a time; Go's own calendar is the judge. A style with
// a header of its own counts from the start.
var clocks = []struct {
	header string
	write  func(start time.Time, at time.Duration, mark string) []string
}{
	{"Date/time", layout("2006-01-02 15:04:05")},
	{"Date/time", layout("2006-01-02T15:04:05Z07:00")},
	{"Date/time", layout("2006/01/02 15:04:05")},
	{"Date/time", layout("02.01.2006 15:04:05")},
	{"Date/time", layout("2.1.06 15:04:05")},
	{"Date/time", layout("1/2/2006 3:04:05 PM")},
	{"Date/time", layout("02-Jan-2006 15:04:05")},
	{"Date|Time", layout("2006-01-02|15:04:05")},
	{"Date|Time", layout("1/2/2006|03:04:05 pm")},
	{"Elapsed", func(_ time.Time, at time.Duration, _ string) []string {
		return []string{fmt.Sprintf("%d:%02d:%02d", int(at.Hours()), int(at.Minutes())%60, int(at.Seconds())%60)}
	}},
	{"Time (s)", func(_ time.Time, at time.Duration, _ string) []string { return []string{fmt.Sprint(at.Seconds())} }},
	{"Time (min)", func(_ time.Time, at time.Duration, mark string) []string {
		return []string{strings.Replace(strconv.FormatFloat(at.Minutes(), 'f', 6, 64), ".", mark, 1)}
	}},
}

func layout(l string) func(time.Time, time.Duration, string) []string {
	return func(start time.Time, at time.Duration, _ string) []string {
		return strings.Split(start.Add(at).Format(l), "|")
	}
}

// A log written in any of the shapes reads back as what was written, and where
// it may be read in two ways it is refused, not guessed.
func TestWhatIsWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clock := rapid.SampledFrom(clocks).Draw(t, "clock")
		delim := rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "delimiter")
		mark := rapid.SampledFrom([]string{".", ","}).Draw(t, "decimal mark")
		end := rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(t, "line end")
		symbol := rapid.SampledFrom([]string{"°C", "°F", "deg C", "Fahrenheit", "(C)", "[F]"}).Draw(t, "unit")
		channels := rapid.IntRange(1, 4).Draw(t, "channels")
		index := rapid.Bool().Draw(t, "index")
		quoted := rapid.Bool().Draw(t, "quotes") || delim == mark
		start := time.Date(2025, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 28).Draw(t, "day"),
			rapid.IntRange(0, 23).Draw(t, "hour"), rapid.IntRange(0, 59).Draw(t, "minute"), 0, 0, time.UTC)
		step := time.Duration(rapid.IntRange(1, 3600).Draw(t, "step")) * time.Second
		rows := rapid.IntRange(2, 60).Draw(t, "rows")

		var text strings.Builder
		write := func(cells ...string) {
			for i, c := range cells {
				if i > 0 {
					text.WriteString(delim)
				}
				if quoted {
					c = `"` + c + `"`
				}
				text.WriteString(c)
			}
			text.WriteString(end)
		}
		if rapid.Bool().Draw(t, "byte order mark") {
			text.WriteString("\ufeff")
		}
		for i := range rapid.IntRange(0, 3).Draw(t, "settings") {
			write([]string{"Serial", "Interval", "Log"}[i], []string{"0042", "1", "started by button"}[i])
		}
		names := strings.Split(clock.header, "|")
		if index {
			names = append([]string{"No."}, names...)
		}
		for i := range channels {
			names = append(names, fmt.Sprintf("Probe %d %s", i+1, symbol))
		}
		write(names...)
		want := make([][]probe.Point, channels)
		for r := range rows {
			at := step * time.Duration(r)
			cells := clock.write(start, at, mark)
			if index {
				cells = append([]string{strconv.Itoa(r + 1)}, cells...)
			}
			for c := range channels {
				tenths := rapid.IntRange(200, 1300).Draw(t, "tenths")
				cells = append(cells, fmt.Sprintf("%d%s%d", tenths/10, mark, tenths%10))
				k, err := unit.Parse(unit.TemperatureOf, fmt.Sprintf("%d.%d %s", tenths/10, tenths%10, map[bool]string{true: "°C", false: "°F"}[strings.Contains(symbol, "C")]))
				require.NoError(t, err)
				want[c] = append(want[c], probe.Point{Seconds: at.Seconds(), Kelvin: k})
			}
			write(cells...)
		}

		log, findings := probe.Read("soak.csv", []byte(text.String()), probe.Options{})
		last := start.Add(step * time.Duration(rows-1))
		if log == nil && strings.Contains(text.String(), "/2025") {
			// Month or day first: fair to ask only while no day is above 12 and
			// the date changes.
			require.Equal(t, "probe.dates", findings[0].Rule)
			for d := start; !d.After(last); d = d.Add(step) {
				require.LessOrEqual(t, d.Day(), 12)
			}
			require.NotEqual(t, start.YearDay(), last.YearDay())
			log, findings = probe.Read("soak.csv", []byte(text.String()), probe.Options{Dates: probe.MonthFirst})
		}
		require.NotNil(t, log, "%s", told(findings))
		require.Len(t, log.Channels, channels)
		for i, c := range log.Channels {
			require.Len(t, c.Points, rows)
			for j, p := range c.Points {
				require.InDelta(t, want[i][j].Seconds, p.Seconds, 1e-4)
				require.InDelta(t, want[i][j].Kelvin, p.Kelvin, 1e-9)
			}
		}
		assert.InDelta(t, step.Seconds(), log.Interval, 1e-4)
		for _, f := range findings {
			require.Equal(t, "probe.jump", f.Rule, "readings drawn at random jump, and nothing else is odd")
		}
	})
}
