package probe_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/words"
)

// longLog is a log of that many rows, a second apart, in two channels.
func longLog(rows int) []byte {
	var b strings.Builder
	b.WriteString("Date/time;Core (°C);Chamber (°C)\n")
	for i := range rows {
		s := i % 86400
		fmt.Fprintf(&b, "%02d.01.2025 %02d:%02d:%02d;%d,%d;121,%d\n", 1+i/86400, s/3600, s/60%60, s%60, 20+i%100000/1000, i/100%10, i%10)
	}
	return []byte(b.String())
}

func TestAMillionRows(t *testing.T) {
	n := checks.Rounds(200_000, 1_000_000)
	log, findings := probe.Read("long.csv", longLog(n), probe.Options{})
	require.NotNil(t, log, say(t, findings))
	assert.Equal(t, n, log.Rows)
	assert.Equal(t, 1.0, log.Interval)
	for _, c := range log.Channels {
		assert.Len(t, c.Points, n)
		assert.Equal(t, float64(n-1), c.Points[n-1].Seconds)
	}
}

// Beyond the bounds a log is refused, and told so.
func TestTooMuchIsRefused(t *testing.T) {
	only := func(rule, says string, data []byte) {
		t.Helper()
		log, findings := probe.Read("long.csv", data, probe.Options{})
		assert.Nil(t, log)
		require.Len(t, findings, 1)
		assert.Equal(t, "probe."+rule, findings[0].Rule)
		assert.Contains(t, say(t, findings), says)
	}
	only("large", "larger than 128 MB", make([]byte, probe.MostBytes+1))
	rows := func(n, columns int) []byte {
		b := []byte("Time (s)" + strings.Repeat(",T (°C)", columns) + "\n")
		cells := strings.Repeat(",20", columns) + "\n"
		for i := range n {
			b = append(strconv.AppendInt(b, int64(i), 10), cells...)
		}
		return b
	}
	only("rows_many", "2000000 rows", rows(probe.MostRows+1, 1))
	only("rows_many", "8000000 readings", rows(probe.MostReadings/60+2, 60))
}

// Of one rule the first are told one by one, and the rest are counted.
func TestManyOfOneKindAreCounted(t *testing.T) {
	var b strings.Builder
	b.WriteString("Time (s),T (°C)\n")
	for i := range 100 {
		fmt.Fprintf(&b, "%d,20\n%d,oops\n", 2*i, 2*i+1)
	}
	log, findings := probe.Read("soak.csv", []byte(b.String()), probe.Options{})
	assert.Nil(t, log)
	require.Len(t, findings, probe.MostOfARule+1)
	assert.Contains(t, say(t, findings), "soak.csv:201:0: error: 90 more places like this, the last one here")
}

// Each rule in its own words, and no words without a rule.
func TestEveryMessageIsSaid(t *testing.T) {
	seen := map[string]bool{"probe.large": true, "probe.hint.large": true, "probe.rows_many": true, "probe.hint.rows_many": true, "probe.more": true}
	note := func(data string, o probe.Options) {
		_, findings := probe.Read("soak.csv", []byte(data), o)
		for _, f := range findings {
			seen[f.What.ID], seen[f.Hint.ID] = true, true
		}
	}
	for _, c := range readable {
		note(c.text, c.options)
	}
	for _, c := range refused {
		note(c.text, c.options)
	}
	for _, id := range words.IDs() {
		if strings.HasPrefix(id, "probe.") {
			assert.True(t, seen[id], "%s is never said", id)
		}
	}
}

// What counts as a gap and as a jump, from both sides of the bounds.
func TestRemarks(t *testing.T) {
	log := func(step float64, temperatures ...float64) string {
		text := "Time (s),T (°C)\n"
		for i, x := range temperatures {
			text += fmt.Sprintf("%g,%g\n", float64(i)*step, x)
		}
		return text
	}
	at := func(seconds ...int) string {
		text := "Time (s),T (°C)\n"
		for _, s := range seconds {
			text += fmt.Sprintf("%d,20\n", s)
		}
		return text
	}
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"three times the interval is no gap":     {at(0, 10, 20, 30, 60, 70), []string{}},
		"longer is one":                          {at(0, 10, 20, 30, 61, 71), []string{"warning gap 6:1"}},
		"20 K over a slow log are none":          {log(600, 20, 40, 60), []string{}},
		"21 K are a jump at any pace":            {log(600, 20, 41, 60), []string{"warning jump 3:5"}},
		"10 K in a minute are none":              {log(60, 20, 30, 40), []string{}},
		"11 K are one, down too":                 {log(60, 20, 31, 20), []string{"warning jump 3:4", "warning jump 4:5"}},
		"noise of a fast log is none":            {log(1, 20, 25, 20), []string{}},
		"6 K in a second are a jump":             {log(1, 20, 26, 26), []string{"warning jump 3:3"}},
		"over a gap nothing is a jump":           {at(0, 10, 20, 30) + "100,95\n", []string{"warning gap 6:1"}},
		"below what a sterilizer has":            {log(60, 20, -101, 20), []string{"warning no_temperature 3:4"}},
		"above it":                               {log(60, 20, 301, 20), []string{"warning no_temperature 3:4"}},
		"a jump is seen over one missing cell":   {log(60, 20) + "60,\n120,60\n", []string{"warning missing 3:4", "warning jump 4:5"}},
		"a run of missing cells is one remark":   {at(0, 10) + "20,\n30,\n40,\n50,20\n", []string{"warning missing 4:4"}},
		"lines at the end without a time":        {at(0, 10) + "end,\nof,log\n", []string{"note footer 4:0"}},
		"a unit above with other words about it": {"Temperature unit: degrees Celsius\nTime (s),T\n0,20\n1,20\n", []string{"note unit_above 1:0"}},
	} {
		l, findings := probe.Read("soak.csv", []byte(c.text), probe.Options{})
		assert.NotNil(t, l, name)
		assert.Equal(t, c.want, told(findings), "%s\n%s", name, say(t, findings))
	}
}

func BenchmarkMillionRows(b *testing.B) {
	data := longLog(1_000_000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		log, findings := probe.Read("long.csv", data, probe.Options{})
		if log == nil || protocol.Worst(findings) == protocol.Error {
			b.Fatal(findings)
		}
	}
}
