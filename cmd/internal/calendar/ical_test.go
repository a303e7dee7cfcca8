package calendar_test

import (
	"encoding/csv"
	"flag"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bottlecrop/cmd/internal/calendar"
	"bottlecrop/cmd/internal/checks"
)

var update = flag.Bool("update", false, "write testdata/feed.ics anew; then read it back again as testdata/read_back.py says")

func text(t require.TestingT, events ...calendar.Event) string {
	out, err := calendar.Feed{Product: "-//bottlecrop//test//EN", Name: "Willow Fork", Stamp: date(t, "2026-11-25"), Events: events}.Text()
	require.NoError(t, err)
	return out
}

func allDay(t require.TestingT, uid, from, to string) calendar.Event {
	return calendar.Event{UID: uid, Summary: uid, From: date(t, from), To: date(t, to)}
}

func TestPublishedForm(t *testing.T) {
	table := checks.Open(t, "climate-schedule")
	got := text(t, allDay(t, "one", "2026-06-05", "2026-06-05"))
	var dates []string
	for _, line := range strings.Split(got, "\r\n") {
		if strings.HasPrefix(line, "DTSTART") || strings.HasPrefix(line, "DTEND") {
			dates = append(dates, line)
		}
	}
	assert.Equal(t, table.Row(t, "C111").Expected, strings.Join(dates, " "))

	long := allDay(t, "long", "2026-06-05", "2026-06-05")
	long.Description = strings.Repeat("x", 400)
	most := 0
	for _, line := range strings.Split(text(t, long), "\r\n") {
		most = max(most, len(line))
	}
	table.Row(t, "C112").Meet(t, float64(most))
}

// feed has what is awkward: dates at the ends of years and Februaries, days on
// which clocks are changed, letters of several bytes where a line is folded, and
// every character that is escaped. A backslash before an n is not in it: that
// version of python3-icalendar takes it for the end of a line.
func feed(t require.TestingT) calendar.Feed {
	events := []calendar.Event{
		allDay(t, "leap", "2028-02-28", "2028-02-29"),
		allDay(t, "year-end", "2026-12-31", "2026-12-31"),
		allDay(t, "clocks-forward-us", "2026-03-08", "2026-03-08"),
		allDay(t, "clocks-back-eu", "2026-10-25", "2026-10-25"),
		{UID: "timed", Summary: "Steam on", From: date(t, "2026-03-08"), To: date(t, "2026-03-08"), Timed: true, Begins: 7*60 + 5, Minutes: 150, Sequence: 3},
		{UID: "past-midnight", Summary: "Cool", From: date(t, "2028-02-29"), To: date(t, "2028-02-29"), Timed: true, Begins: 23 * 60, Minutes: 90},
		{UID: "escaped", Summary: `Weigh: hull, bran; C:\mix`, Description: "one\ntwo, three; four\n\n\"quoted\"", Category: "substrate-maker",
			From: date(t, "2026-12-01"), To: date(t, "2026-12-01"), Alarm: 360},
		{UID: "folded", Summary: strings.Repeat("Düngemittel 菌 🍄 ", 12), Description: strings.Repeat("ä", 200) + strings.Repeat("🍄", 60),
			From: date(t, "2026-12-02"), To: date(t, "2027-01-15"), Free: true},
		calendar.Identity{Farm: "Willow Fork", Protocol: "enoki-850", Batch: "market 2027-02-05", Revision: 2, Alarm: 360}.Once(
			"delivery", date(t, "2027-02-05"), calendar.Words{Summary: "Deliver 10 kg: Market, by the mill", Description: "2 days late", Category: "Delivery"}),
	}
	for i := range 7 { // a fold at each place in a character
		e := allDay(t, "shift-"+strconv.Itoa(i), "2026-12-02", "2026-12-02")
		e.Summary = strings.Repeat("x", 60+i) + "🍄é菌"
		events = append(events, e)
	}
	return calendar.Feed{Product: "-//bottlecrop//test//EN", Name: "Willow Fork, Ä", Stamp: date(t, "2026-11-25"), Events: events}
}

// The feed as a file, and what Debian's python3-icalendar reads in it: see
// testdata/read_back.py.
func TestReadBackByPython(t *testing.T) {
	want, err := feed(t).Text()
	require.NoError(t, err)
	checks.Golden(t, "testdata/feed.ics", want, *update) // and then testdata/read_back.py

	f, err := os.Open("testdata/feed.read-back.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"uid", "stamp", "start", "end", "sequence", "summary", "description", "category", "transparent", "alarm_min"}, rows[0])
	events := feed(t).Events
	require.Len(t, rows, len(events)+1)
	for i, e := range events {
		start, end := e.From.String(), (e.To + 1).String()
		if e.Timed {
			day, err := time.Parse("2006-01-02", e.From.String())
			require.NoError(t, err)
			from := day.Add(time.Duration(e.Begins) * time.Minute)
			start, end = from.Format("2006-01-02T15:04:05"), from.Add(time.Duration(e.Minutes)*time.Minute).Format("2006-01-02T15:04:05")
		}
		alarm := ""
		if e.Alarm > 0 {
			alarm = strconv.Itoa(-e.Alarm)
		}
		assert.Equal(t, []string{e.UID, "2026-11-25T00:00:00+00:00", start, end, strconv.Itoa(e.Sequence), e.Summary, e.Description,
			e.Category, strconv.FormatBool(e.Free), alarm}, rows[i+1])
	}
}

// read is a value as golang-ical reads it.
func read(t require.TestingT, e *ics.VEvent, name ics.ComponentProperty) string {
	p := e.GetProperty(name)
	if p == nil {
		return ""
	}
	return p.Value // its escapes are resolved
}

func TestReadBackByGo(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		word := rapid.StringOfN(rapid.RuneFrom([]rune("ab ,;:\\\"\nnN\tä菌🍄=^'")), 1, 120, -1)
		var events []calendar.Event
		for i := range rapid.IntRange(1, 4).Draw(rt, "events") {
			from := begin(rt)
			e := calendar.Event{UID: "e" + strconv.Itoa(i), Sequence: rapid.IntRange(0, 9).Draw(rt, "sequence"),
				Summary: "s" + word.Draw(rt, "summary") + "s", Description: "d" + word.Draw(rt, "description") + "d",
				From: from, To: from + calendar.Date(rapid.IntRange(0, 400).Draw(rt, "long")), Free: rapid.Bool().Draw(rt, "free"),
				Alarm: rapid.IntRange(0, 1200).Draw(rt, "alarm")}
			if rapid.Bool().Draw(rt, "timed") {
				e.Timed, e.To = true, e.From
				e.Begins, e.Minutes = rapid.IntRange(0, 1439).Draw(rt, "begins"), rapid.IntRange(1, 3000).Draw(rt, "minutes")
			}
			events = append(events, e)
		}
		got := text(rt, events...)
		for _, line := range strings.Split(strings.TrimSuffix(got, "\r\n"), "\r\n") {
			assert.LessOrEqual(rt, len(line), 75)
			assert.True(rt, utf8.ValidString(line), "a character is cut in %q", line)
			assert.NotContains(rt, line, "\n")
		}
		parsed, err := ics.ParseCalendar(strings.NewReader(got))
		require.NoError(rt, err)
		require.Len(rt, parsed.Events(), len(events))
		for i, e := range parsed.Events() {
			want := events[i]
			assert.Equal(rt, want.UID, e.Id())
			assert.Equal(rt, strconv.Itoa(want.Sequence), read(rt, e, ics.ComponentPropertySequence))
			assert.Equal(rt, want.Summary, read(rt, e, ics.ComponentPropertySummary))
			assert.Equal(rt, want.Description, read(rt, e, ics.ComponentPropertyDescription))
			assert.Equal(rt, want.Free, read(rt, e, ics.ComponentPropertyTransp) == "TRANSPARENT")
			assert.Len(rt, e.Alarms(), min(1, want.Alarm))
			if want.Timed {
				// Read where clocks are changed: the hour on the wall is the one written.
				start := e.GetProperty(ics.ComponentPropertyDtStart).Value
				assert.Len(rt, start, len("20261201T070000"), "no zone, no Z")
				at, err := time.Parse("20060102T150405", start)
				require.NoError(rt, err)
				assert.Equal(rt, want.Begins, at.Hour()*60+at.Minute())
				end, err := time.Parse("20060102T150405", e.GetProperty(ics.ComponentPropertyDtEnd).Value)
				require.NoError(rt, err)
				assert.Equal(rt, float64(want.Minutes), end.Sub(at).Minutes())
				continue
			}
			start, err := e.GetAllDayStartAt()
			require.NoError(rt, err)
			end, err := e.GetAllDayEndAt()
			require.NoError(rt, err)
			assert.Equal(rt, want.From.String(), start.Format("2006-01-02"))
			assert.Equal(rt, (want.To + 1).String(), end.Format("2006-01-02"))
		}
	})
}

// A plan as a calendar: an entry for each task and stage, under the same UIDs
// whenever the batch begins, and under others for another batch, farm or protocol.
func TestEventsOfAPlan(t *testing.T) {
	b := compute(t, input(t, "enoki-850"), 400)
	say := func(task calendar.Task) calendar.Words { return calendar.Words{Summary: string(task.Step)} }
	grow := func(s calendar.Stretch) calendar.Words { return calendar.Words{Summary: s.Stage} }
	id := calendar.Identity{Farm: "Weidengabel & Söhne", Protocol: "enoki-850", Batch: "2026-12-A", Alarm: 360}
	uids := func(id calendar.Identity, start string) []string {
		p, err := calendar.Forwards(b, weekdays(t), date(t, start))
		require.NoError(t, err)
		events := p.Events(id, say, grow)
		require.Len(t, events, len(p.Tasks)+len(p.Stages))
		got := text(t, events...)
		parsed, err := ics.ParseCalendar(strings.NewReader(got))
		require.NoError(t, err)
		var out []string
		for _, e := range parsed.Events() {
			out = append(out, e.Id())
			assert.Equal(t, strconv.Itoa(id.Revision), read(t, e, ics.ComponentPropertySequence))
		}
		return out
	}
	first := uids(id, "2026-12-01")
	assert.Contains(t, first[0], "@weidengabel-s-hne.bottlecrop")
	id.Revision = 1
	assert.ElementsMatch(t, first, uids(id, "2026-12-08"))
	for what, other := range map[string]calendar.Identity{
		"batch": {Farm: id.Farm, Protocol: id.Protocol, Batch: "2026-12-B"}, "protocol": {Farm: id.Farm, Protocol: "enoki-quart", Batch: id.Batch},
		"farm": {Farm: "Weidengabel + Söhne", Protocol: id.Protocol, Batch: id.Batch}, "nobody": {},
	} {
		for _, uid := range uids(other, "2026-12-01") {
			assert.NotContains(t, first, uid, what)
		}
	}
}

func TestNoCalendar(t *testing.T) {
	good := allDay(t, "a", "2026-12-01", "2026-12-02")
	for want, change := range map[string]func(e *calendar.Event){
		"no UID":                                func(e *calendar.Event) { e.UID = "" },
		"its UID has more than one line":        func(e *calendar.Event) { e.UID = "a\nb" },
		"no summary":                            func(e *calendar.Event) { e.Summary = "" },
		`has the control character '\r'`:        func(e *calendar.Event) { e.Description = "a\r\nb" },
		`has the control character '\x7f'`:      func(e *calendar.Event) { e.Category = "a\x7f" },
		"is no UTF-8":                           func(e *calendar.Event) { e.Summary = "a\xff" },
		"before it begins on 2026-12-01":        func(e *calendar.Event) { e.To = e.From - 1 },
		"a sequence of -1":                      func(e *calendar.Event) { e.Sequence = -1 },
		"an alarm 1201 min":                     func(e *calendar.Event) { e.Alarm = 1201 },
		"1900-01-01 to 2199-12-31 are possible": func(e *calendar.Event) { e.To = calendar.Last + 1 },
		"begins 1440 min after midnight":        func(e *calendar.Event) { e.Timed, e.To, e.Begins, e.Minutes = true, e.From, 1440, 10 },
		"lasts 0 min":                           func(e *calendar.Event) { e.Timed, e.To = true, e.From },
	} {
		e := good
		change(&e)
		_, err := calendar.Feed{Product: "p", Name: "n", Events: []calendar.Event{e}}.Text()
		assert.ErrorContains(t, err, want)
	}
	for want, f := range map[string]calendar.Feed{
		"two events have the UID": {Product: "p", Name: "n", Events: []calendar.Event{good, good}},
		"no event":                {Product: "p", Name: "n"},
		"no product":              {Name: "n", Events: []calendar.Event{good}},
		"no name of the calendar": {Product: "p", Events: []calendar.Event{good}},
	} {
		_, err := f.Text()
		assert.ErrorContains(t, err, want)
	}
}
