package probe_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/probe"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// celsius are readings of a channel as "seconds:°C".
func celsius(c probe.Channel) []string {
	var out []string
	for _, p := range c.Points {
		out = append(out, fmt.Sprintf("%g:%g", math.Round(p.Seconds*1000)/1000, math.Round((p.Kelvin-273.15)*1000)/1000))
	}
	return out
}

// told is a finding as "severity rule line:column".
func told(list []protocol.Finding) []string {
	out := []string{}
	for _, f := range list {
		out = append(out, fmt.Sprintf("%s %s %d:%d", f.Severity, strings.TrimPrefix(f.Rule, "probe."), f.Place.Line, f.Place.Column))
	}
	return out
}

func lines(l ...string) string { return strings.Join(l, "\n") + "\n" }

// Logs of our own invention, in the shapes that loggers write.
var readable = []struct {
	name     string
	text     string
	options  probe.Options
	channels map[string][]string
	told     []string
	start    string
}{
	{
		name: "settings above, semicolons, decimal commas, days first by the dots",
		text: lines("Serial number;004711", "Interval;00:01:00", "", "Date/time;Core (°C);Chamber (°C)",
			"4.3.2025 10:00:00;24,5;25,0", "4.3.2025 10:01:00;24,6;60,25", "4.3.2025 10:02:00;30;95,5"),
		channels: map[string][]string{"Core (°C)": {"0:24.5", "60:24.6", "120:30"}, "Chamber (°C)": {"0:25", "60:60.25", "120:95.5"}},
		told:     []string{"warning jump 6:24", "warning jump 7:22"},
		start:    "4.3.2025 10:00:00",
	},
	{
		name:     "commas, ISO dates, quotes, carriage returns and a byte order mark",
		text:     "\ufeff\"Time\",\"Probe, core °F\"\r\n\"2025-03-04T23:59:30Z\",\"212.0\"\r\n\"2025-03-05T00:00:00Z\",\"212.9\"\r\n",
		channels: map[string][]string{"Probe, core °F": {"0:100", "30:100.5"}},
		told:     []string{},
		start:    "2025-03-04T23:59:30Z",
	},
	{
		name: "tabs, twelve-hour clock, month first as a later row says",
		text: lines("#\tDate\tTime\tT1 [C]", "1\t3/4/2025\t11:59:00 PM\t20", "2\t3/5/2025\t12:00:00 AM\t21", "3\t3/5/2025\t12:01:00 a.m.\t22",
			"4\t3/13/2025\t12:01:00 PM\t22"),
		channels: map[string][]string{"T1 [C]": {"0:20", "60:21", "120:22", "734520:22"}},
		told:     []string{"warning gap 5:3"},
		start:    "3/4/2025 11:59:00 PM",
	},
	{
		name:     "two-digit years, day first as the option says",
		text:     lines("When,Temp C", "03/04/25 10:00,20", "04/04/25 10:00,21"),
		options:  probe.Options{Dates: probe.DayFirst},
		channels: map[string][]string{"Temp C": {"0:20", "86400:21"}},
		told:     []string{},
		start:    "03/04/25 10:00",
	},
	{
		name:     "on one day the order of the date is nobody's business",
		text:     lines("When,Temp C", "03/04/25 10:00,20", "03/04/25 10:05,21"),
		channels: map[string][]string{"Temp C": {"0:20", "300:21"}},
		told:     []string{},
		start:    "03/04/25 10:00",
	},
	{
		name:     "named months",
		text:     lines("When;Temperature, C", "04-Mar-2025 10:00:00;20", "04-Mar-2025 10:00:10;21"),
		channels: map[string][]string{"Temperature, C": {"0:20", "10:21"}},
		told:     []string{},
		start:    "04-Mar-2025 10:00:00",
	},
	{
		name:     "elapsed minutes with decimals, unit in a second line, a column of humidity",
		text:     lines("Elapsed;Core;Humidity", "min;°C;%", "0;20;50", "0.5;21;51", "1.0;22;52"),
		channels: map[string][]string{"Core °C": {"0:20", "30:21", "60:22"}},
		told:     []string{},
		start:    "0",
	},
	{
		name:     "elapsed hours, minutes and seconds, over a day",
		text:     lines("Elapsed time,Probe A (°C),Probe B (°C)", "23:59:59.5,20,30", "24:00:00.5,21,31"),
		channels: map[string][]string{"Probe A (°C)": {"0:20", "1:21"}, "Probe B (°C)": {"0:30", "1:31"}},
		told:     []string{},
		start:    "23:59:59.5",
	},
	{
		name:     "a clock without a date passes midnight",
		text:     lines("Clock,T (°C)", "23:59:00,20", "00:00:00,21", "00:01:00,22"),
		channels: map[string][]string{"T (°C)": {"0:20", "60:21", "120:22"}},
		told:     []string{"note midnight 3:1"},
		start:    "23:59:00",
	},
	{
		name:     "minutes and seconds",
		text:     lines("mm:ss,T (°C)", "0:30,20", "61:30,21"),
		channels: map[string][]string{"T (°C)": {"0:20", "3660:21"}},
		told:     []string{},
		start:    "0:30",
	},
	{
		name:     "no header at all: everything by options",
		text:     lines("0;212", "60;213,8"),
		options:  probe.Options{Unit: probe.Fahrenheit, Time: probe.Seconds, TimeColumn: 1},
		channels: map[string][]string{"": {"0:100", "60:101"}},
		told:     []string{},
		start:    "0",
	},
	{
		name:     "unit above the table, Latin-1 degree sign",
		text:     lines("Unit: \xb0F", "Time (s),Core", "0,32", "1,33.8"),
		channels: map[string][]string{"Core": {"0:0", "1:1"}},
		told:     []string{"note latin1 0:0", "note unit_above 1:0"},
		start:    "0",
	},
	{
		name:     "unit in the cells, columns left out, a line for spreadsheets",
		text:     lines("sep=;", "Nr;Time [s];A;B;Battery V", "1;0;20,5 °C;7;3,1", "2;1;21 °C;8;3,1"),
		channels: map[string][]string{"A": {"0:20.5", "1:21"}},
		told:     []string{"note left_out 2:15"},
		start:    "0",
	},
	{
		name:     "missing cells, codes of a broken probe, short rows, empty lines, a last line",
		text:     lines("Time (s),A (°C),B (°C)", "0,20,30", "1,,31", "", "2,--,-999.9", "3,21", "4,22,32", "log ended,,"),
		channels: map[string][]string{"A (°C)": {"0:20", "3:21", "4:22"}, "B (°C)": {"0:30", "1:31", "4:32"}},
		told:     []string{"warning missing 3:3", "warning no_temperature 5:6", "warning missing 6:5", "note footer 8:0"},
		start:    "0",
	},
	{
		name:     "the same time twice",
		text:     lines("Time,Temp C", "2025-03-04 10:00,20", "2025-03-04 10:00,21", "2025-03-04 10:01,22"),
		channels: map[string][]string{"Temp C": {"0:20", "60:22"}},
		told:     []string{"warning time_twice 3:1"},
		start:    "2025-03-04 10:00",
	},
	{
		name:     "the option overrules the header; only the channel asked for",
		text:     lines("Time (h),A (°C),B (°C)", "0,32,1", "1,50,2"),
		options:  probe.Options{Unit: probe.Fahrenheit, Channels: []int{2}},
		channels: map[string][]string{"A (°C)": {"0:0", "3600:10"}},
		told:     []string{"warning unit_overruled 1:10"},
		start:    "0",
	},
	{
		name:     "a probe that was plugged in late, the first row short, a column of words",
		text:     lines("Time (s),A (°C),B (°C),Alarm °C", "0,20,") + lines("1,21,,no", "2,22,30,no"),
		channels: map[string][]string{"A (°C)": {"0:20", "1:21", "2:22"}, "B (°C)": {"2:30"}},
		told:     []string{"note left_out_words 1:24", "warning missing 2:6"},
		start:    "0",
	},
	{
		name:     "the option leaves columns without a unit out where others have one",
		text:     lines("Time (s),A (°C),Flow", "0,32,1", "1,33,2"),
		options:  probe.Options{Unit: probe.Celsius},
		channels: map[string][]string{"A (°C)": {"0:32", "1:33"}},
		told:     []string{"note left_out 1:17"},
		start:    "0",
	},
	{
		name:     "years of two digits stand last where the last number stays",
		text:     lines("When,T (°C)", "30-03-25 23:59,20", "31-03-25 00:00,21"),
		channels: map[string][]string{"T (°C)": {"0:20", "60:21"}},
		told:     []string{},
		start:    "30-03-25 23:59",
	},
	{
		name:     "a channel that was never plugged in",
		text:     lines("Time (min),A (°C),B (°C)", "0,20,-9999", "1,21,-9999"),
		channels: map[string][]string{"A (°C)": {"0:20", "60:21"}},
		told:     []string{"warning channel_empty 2:6", "warning no_temperature 2:6"},
		start:    "0",
	},
	{
		name:     "old line ends, zones across a change of summer time, exponents, kelvin",
		text:     "time,T (K)\r2025-10-26 02:59:00+02:00,2.9315E+02\r2025-10-26 02:00:00+01:00,294.15\r",
		channels: map[string][]string{"T (K)": {"0:20", "60:21"}},
		told:     []string{},
		start:    "2025-10-26 02:59:00+02:00",
	},
}

func TestReadable(t *testing.T) {
	for _, c := range readable {
		t.Run(c.name, func(t *testing.T) {
			log, findings := probe.Read("soak.csv", []byte(c.text), c.options)
			assert.Equal(t, c.told, told(findings), say(t, findings))
			require.NotNil(t, log)
			got := map[string][]string{}
			for _, ch := range log.Channels {
				got[ch.Name] = celsius(ch)
			}
			assert.Equal(t, c.channels, got)
			assert.Equal(t, c.start, log.Start)
		})
	}
}

// say says findings as a person reads them; the voice panics where a message
// is not in the catalog or its arguments do not fit.
func say(t testing.TB, findings []protocol.Finding) string {
	t.Helper()
	var b strings.Builder
	v := words.English(unit.Metric)
	for _, f := range findings {
		assert.True(t, strings.HasPrefix(f.Rule, "probe."), f.Rule)
		fmt.Fprintf(&b, "%s:%d:%d: %s: %s\n  %s\n", f.Place.File, f.Place.Line, f.Place.Column, f.Severity, v.Say(f.What), v.Say(f.Hint))
	}
	return strings.ReplaceAll(b.String(), "\u00a0", " ")
}

var refused = []struct {
	name    string
	text    string
	options probe.Options
	told    []string
	says    string // a part of what is said
}{
	{name: "empty", text: " \n\n", told: []string{"error empty 0:0"}},
	{name: "UTF-16", text: "\xff\xfet\x00", told: []string{"error utf16 0:0"}},
	{name: "not text", text: "a,b\n0,1\x00", told: []string{"error byte 2:0"}, says: "byte 0x00"},
	{name: "neither UTF-8 nor Latin-1", text: "a\x85b\n", told: []string{"error byte 1:0"}, says: "0x85"},
	{name: "no table", text: lines("Dear grower,", "the log is attached."), told: []string{"error no_table 0:0"}},
	{name: "one row", text: lines("Time (s),T (°C)", "0,20"), told: []string{"error one_row 2:0"}},
	{name: "no unit, looks like °C", text: lines("Time (s),Core", "0,20", "1,121.3"), told: []string{"error unit 1:10"}, says: "the highest is 121.3\n  set --temperature-unit, or temperature_unit of the [[evidence]] in farm.toml, to C or F, as the logger was set; a run in a sterilizer would fit °C"},
	{name: "no unit, looks like °F", text: lines("Time (s),Core", "0,70", "1,250"), told: []string{"error unit 1:10"}, says: "would fit °F"},
	{name: "no unit, looks like nothing", text: lines("Time (s),Core", "0,20", "1,60"), told: []string{"error unit 1:10"}, says: "as the logger was set\n"},
	{name: "a letter is a name", text: lines("Time (s),Probe C", "0,20", "1,60"), told: []string{"error unit 1:10"}},
	{name: "a thermocouple is no unit", text: lines("Time (s),T/C", "0,20", "1,60"), told: []string{"error unit 1:10"}},
	{name: "letters in brackets are names", text: lines("Time (s),Probe (A),Probe (B),Probe (C)", "0,20,20,20", "1,60,20,20"), told: []string{"error unit 1:10"}},
	{name: "the year may come first", text: lines("When,T (°C)", "25-03-04 23:59,20", "25-03-05 00:00,21"), told: []string{"error dates_short 2:1"}},
	{name: "two parts where there were three", text: lines("Time,T (°C)", "0:10:30,20", "10:31,21", "0:10:32,22"), told: []string{"error time_text 3:1"}},
	{name: "two units above", text: lines("°C or °F", "Time (s),Core", "0,20", "1,60"), told: []string{"error unit 2:10"}},
	{name: "time without a unit", text: lines("Time,T (°C)", "0,20", "1,21"), told: []string{"error time_unit 1:1"}},
	{name: "no time", text: lines("A (°C),B (°C)", "20,20", "21,21"), told: []string{"error time_none 2:0"}},
	{name: "a date without a time", text: lines("Date,T (°C)", "2025-03-04,20", "2025-03-05,21"), told: []string{"error time_of_day_none 2:0"}},
	{name: "hours or minutes", text: lines("Time,T (°C)", "10:30,20", "10:31,21"), told: []string{"error time_two 2:1"}},
	{name: "month or day", text: lines("When,T (°C)", "03/04/2025 23:59,20", "03/05/2025 00:01,21"), told: []string{"error dates 2:1"}, says: "03/04/2025 23:59"},
	{name: "month and day", text: lines("When,T (°C)", "03/13/2025 23:59,20", "13/03/2025 00:01,21", "03/14/2025 00:01,21"), told: []string{"error time_impossible 3:1"}},
	{name: "no such day", text: lines("When,T (°C)", "2025-02-28 23:59,20", "2025-02-29 00:01,21", "2025-03-01 24:01,21"), told: []string{"error time_impossible 3:1", "error time_impossible 4:1"}},
	{name: "back in time", text: lines("Time (s),T (°C)", "0,20", "60,21", "30,22", "90,23"), told: []string{"error time_back 4:1"}, says: "the time goes back by 30 s to 30, after the row in line 3"},
	{name: "started anew", text: lines("Elapsed,T (°C)", "23:59:00,20", "00:00:00,21"), told: []string{"error time_back 3:1"}},
	{name: "a clock set back by six hours", text: lines("Clock,T (°C)", "23:00:00,20", "05:00:00,21"), told: []string{"error time_back 3:1"}},
	{name: "a header again", text: lines("Time (s),T (°C)", "0,20", "60,21", "Time (s),T (°C)", "120,21"), told: []string{"error time_text 4:1"}, says: `"Time (s)" is no time`},
	{name: "no time in a row", text: lines("Time (s),T (°C)", "0,20", "60,21", ",21", "120,21"), told: []string{"error time_missing 4:1"}, says: "1 line without a time stands between rows here"},
	{name: "text in a cell", text: lines("Time (s),A (°C),B (°C)", "0,20,20", "1,2l,x", "2,20,20,"), told: []string{"error cell_text 3:3", "error cell_text 3:6"}, says: "soak.csv:3:3: error: \"2l\" is no number"},
	{name: "another unit in a cell", text: lines("Time (s),A (°C)", "0,20", "1,68 °F", "2,20"), told: []string{"error cell_unit 3:3"}},
	{name: "decimal commas between commas", text: lines("Time (s),A (°C)", "0,20,5", "1,21,0"), told: []string{"error comma_twice 2:0"}},
	{name: "decimal commas between commas, no header", text: lines("0,20,5", "1,21,0"), told: []string{"error comma_twice 1:0"}},
	{name: "both decimal marks", text: lines("Time (s);A (°C)", "0;20,5", "1;21.0"), told: []string{"error decimal_mixed 2:0"}},
	{name: "a header that names too few", text: lines("Stamp;Core (°C)", "1;2025-03-04 10:00:00;24,0", "2;2025-03-04 10:01:00;24,5"), told: []string{"error header_narrow 1:0"}, says: "names 2 columns, and the rows have 3"},
	{name: "a setting right above the rows", text: lines("Serial;42", "0;24,0;25,0", "1;24,5;25,0"), options: probe.Options{Unit: probe.Celsius, Time: probe.Seconds, TimeColumn: 1}, told: []string{"error header_narrow 1:0"}},
	{name: "a cell too many", text: lines("Time (s),A (°C)", "0,20", "1,21", "2,20,5"), told: []string{"error row_wide 4:6"}},
	{name: "an open quote", text: lines("Time (s),A (°C)", "0,20", "1,21", "2,\"20"), told: []string{"error quote 4:0"}},
	{name: "too many columns", text: lines("0"+strings.Repeat(";1", 64), "1"+strings.Repeat(";1", 64)), told: []string{"error columns_many 1:0"}},
	{name: "a line without end", text: lines("Time (s),A (°C)", "0,20", "1,21", strings.Repeat("9", 5000)), told: []string{"error line_long 4:0"}},
	{name: "no temperature", text: lines("Time (s),Humidity", "0,20", "1,21"), told: []string{"error channel_none 2:0"}},
	{name: "broken probes only", text: lines("Time (s),T (°C)", "0,-9999", "1,-9999"), told: []string{"error channel_none 2:0", "warning channel_empty 2:3", "warning no_temperature 2:3"}},
	{name: "times that are none", text: lines("Time (s),T (°C)", "0 C,20", "1 C,20"), told: []string{"error no_row 2:0", "note footer 2:0"}},
	{name: "option of no meaning", text: lines("Time (s),T (°C)", "0,20", "1,20"), options: probe.Options{Delimiter: 'x'}, told: []string{"error option 0:0"}},
	{name: "option of no decimal", text: "x", options: probe.Options{Decimal: ' '}, told: []string{"error option 0:0"}, says: "0x20"},
	{name: "time column that is none", text: lines("Time (s),T (°C)", "0,20", "1,20"), options: probe.Options{TimeColumn: 3}, told: []string{"error time_column 2:0"}},
	{name: "channel that is none", text: lines("Time (s),T (°C)", "0,20", "1,20"), options: probe.Options{Channels: []int{1}}, told: []string{"error channel 2:0"}},
	{name: "hotter than anybody counts with", text: lines("Time (s),A (°C),B (°F)", "0,140,286", "1,300,286", "2,141,287", "3,150,302", "4,150,303"), options: probe.Options{Hottest: 423.15},
		told: []string{"error hot 3:3", "error hot 6:7", "warning jump 5:3", "warning jump 5:7"}, says: "soak.csv:3:3: error: the reading is 300 °C; above 150 °C no dose is counted"},
	{name: "every row impossible", text: lines("When,T (°C)", "2025-02-30 10:00,20", "2025-02-30 10:01,20"), told: []string{"error time_impossible 2:1", "error time_impossible 3:1"}},
}

// A channel that nobody counts with may be as hot as it is, such as one in the
// flue of a burner; a channel is counted by its name or by its column.
func TestHotWhereNobodyCounts(t *testing.T) {
	text := lines("Time (s),A (°C),Flue (°C)", "0,20,276", "1,21,280")
	for _, c := range []struct {
		counted []string
		told    []string
	}{
		{[]string{"a (°c)"}, []string{}}, {[]string{"2"}, []string{}},
		{[]string{"Flue (°C)"}, []string{"error hot 2:6", "error hot 3:6"}}, {[]string{"A (°C)", "3"}, []string{"error hot 2:6", "error hot 3:6"}},
		{nil, []string{"error hot 2:6", "error hot 3:6"}},
	} {
		log, findings := probe.Read("soak.csv", []byte(text), probe.Options{Hottest: 423.15, Counted: c.counted})
		assert.Equal(t, c.told, told(findings), "%v", c.counted)
		if len(c.told) == 0 {
			require.NotNil(t, log)
			assert.Equal(t, []string{"0:276", "1:280"}, celsius(*log.Channel("flue (°C)")))
			assert.Equal(t, "A (°C)", log.Channel("2").Name)
			assert.Nil(t, log.Channel("1"), "of the times")
			assert.Nil(t, log.Channel(""))
		}
	}
}

// What a hint says to write into the header does what it says.
func TestHintsOfTheHeaderHelp(t *testing.T) {
	for _, c := range []struct{ rule, asked, mended string }{
		{"time_unit", "Time,Core (°C)\n0,20\n1,21\n", "Time (min),Core (°C)\n0,20\n1,21\n"},
		{"time_two", "Time,Core (°C)\n0:10,20\n0:11,21\n", "Time (h:mm),Core (°C)\n0:10,20\n0:11,21\n"},
		{"time_two", "Time,Core (°C)\n0:10,20\n0:11,21\n", "Time (mm:ss),Core (°C)\n0:10,20\n0:11,21\n"},
		{"unit", "Time (s),Core\n0,20\n1,21\n", "Time (s),Core (°C)\n0,20\n1,21\n"},
		{"left_out", "Time (s),Room (°C),Core\n0,20,20\n1,21,21\n", "Time (s),Room (°C),Core (°C)\n0,20,20\n1,21,21\n"},
		{"comma_twice", "Time (s),Core (°C)\n0,20,20\n1,21,21\n", "Time (s),Core (°C),Room (°C)\n0,20,20\n1,21,21\n"},
	} {
		_, findings := probe.Read("soak.csv", []byte(c.asked), probe.Options{})
		require.Len(t, findings, 1, c.asked)
		assert.Equal(t, "probe."+c.rule, findings[0].Rule)
		log, findings := probe.Read("soak.csv", []byte(c.mended), probe.Options{})
		require.NotNil(t, log, say(t, findings))
		assert.Empty(t, findings, c.mended)
	}
}

func TestRefused(t *testing.T) {
	for _, c := range refused {
		t.Run(c.name, func(t *testing.T) {
			log, findings := probe.Read("soak.csv", []byte(c.text), c.options)
			said := say(t, findings)
			got := told(findings)
			slices.Sort(got)
			want := slices.Sorted(slices.Values(c.told))
			assert.Equal(t, want, got, said)
			assert.Nil(t, log)
			assert.Contains(t, said, c.says)
			for _, f := range findings {
				assert.Equal(t, "soak.csv", f.Place.File)
				if f.Severity == protocol.Error {
					assert.NotEmpty(t, f.Hint.ID, "%s says what to do next", f.Rule)
				}
			}
		})
	}
}
