package probe_test

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/protocol"
)

// Whatever bytes a file holds and whatever options are set: no panic; the same
// result each time; a log or an error, never both; times that ascend and
// temperatures that are some; findings that can be said and lie in the file.
func FuzzRead(f *testing.F) {
	for _, c := range readable {
		f.Add([]byte(c.text), byte(c.options.Unit), byte(c.options.Dates), byte(c.options.Time), c.options.Delimiter, c.options.Decimal, c.options.TimeColumn, 0)
	}
	for _, c := range refused {
		f.Add([]byte(c.text), byte(1), byte(1), byte(1), byte(0), byte(0), 0, 0)
	}
	f.Add([]byte("0;212\n60;213,8\n"), byte(2), byte(0), byte(1), byte(';'), byte(','), 1, 2)
	f.Fuzz(func(t *testing.T, data []byte, u, dates, time, delimiter, decimal byte, timeColumn, channel int) {
		o := probe.Options{
			Unit: probe.Unit(u), Dates: probe.DateOrder(dates), Time: probe.TimeUnit(time),
			Delimiter: delimiter, Decimal: decimal, TimeColumn: timeColumn,
		}
		if channel != 0 {
			o.Channels = []int{channel}
		}
		log, findings := probe.Read("fuzz.csv", data, o)
		again, told := probe.Read("fuzz.csv", data, o)
		require.Equal(t, log, again)
		require.Equal(t, findings, told)
		require.Equal(t, log == nil, protocol.Worst(findings) == protocol.Error)

		require.True(t, utf8.ValidString(say(t, findings)))
		rules := map[string]int{}
		ends := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 1
		for _, x := range findings {
			rules[x.Rule]++
			require.LessOrEqual(t, rules[x.Rule], probe.MostOfARule+1)
			require.LessOrEqual(t, x.Place.Line, ends)
			require.LessOrEqual(t, x.Place.Column, x.Place.EndColumn)
			require.GreaterOrEqual(t, x.Place.Column, 0)
		}
		if log == nil {
			return
		}
		require.NotEmpty(t, log.Channels)
		require.Greater(t, log.Interval, 0.0)
		for _, c := range log.Channels {
			require.NotEmpty(t, c.Points)
			require.NotEqual(t, probe.NoUnit, c.Unit)
			before := math.Inf(-1)
			for _, p := range c.Points {
				require.Greater(t, p.Seconds, before)
				require.False(t, math.IsInf(p.Seconds, 0))
				require.True(t, p.Kelvin >= probe.Least && p.Kelvin <= probe.Most)
				before = p.Seconds
			}
		}
	})
}
