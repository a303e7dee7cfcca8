package calendar_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/calendar"
)

// contentLines takes a calendar apart as RFC 5545 says, by a reading of its own: section 3.1
// for lines and how they are folded, 3.3.11 for texts.
func contentLines(t *testing.T, text string) (out [][2]string) {
	t.Helper()
	require.True(t, strings.HasSuffix(text, "\r\n"))
	physical := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
	var unfolded []string
	for _, line := range physical {
		require.LessOrEqual(t, len(line), 75, "%q", line)
		require.True(t, utf8.ValidString(line), "a character is cut in %q", line)
		require.NotContains(t, line, "\r")
		require.NotContains(t, line, "\n")
		if rest, folded := strings.CutPrefix(line, " "); folded {
			require.NotEmpty(t, unfolded)
			unfolded[len(unfolded)-1] += rest
			continue
		}
		unfolded = append(unfolded, line)
	}
	for _, line := range unfolded {
		name, value, ok := strings.Cut(line, ":")
		require.True(t, ok, "%q", line)
		out = append(out, [2]string{name, value})
	}
	return out
}

// unescaped is a value of the type TEXT, as it was before it was written.
func unescaped(t *testing.T, value string) string {
	t.Helper()
	var b strings.Builder
	escape := false
	for _, r := range value {
		switch {
		case escape && (r == 'n' || r == 'N'):
			b.WriteByte('\n')
		case escape:
			require.Contains(t, `\;,`, string(r), "nothing else is escaped: %q", value)
			b.WriteRune(r)
		case r == '\\':
			escape = true
			continue
		default:
			require.NotContains(t, ";,", string(r), "it would begin another value: %q", value)
			require.False(t, r < ' ' && r != '\t' || r == 0x7f, "%q", value)
			b.WriteRune(r)
		}
		escape = false
	}
	require.False(t, escape, "%q", value)
	return b.String()
}

// Whatever an event is called and whenever it is: an error and no text, or a text of which
// every line is what this package meant, in its order, and says what the event says. No
// text of an event's can begin a line of its own.
func FuzzText(f *testing.F) {
	f.Add("a", "Weigh: hull, bran; C:\\mix", "one\ntwo\n\n\"quoted\"", "substrate-maker", "Farm", 20000, 1, 0, 0, 0, 0, false, false)
	f.Add("b", strings.Repeat("Düngemittel 菌 🍄 ", 12), "\t \u2028", "", "F", 0, 0, 3, 1439, 1, 1200, true, true)
	f.Add("c\r\nBEGIN:VALARM", "x\r\nEND:VEVENT", "\x00", "a\x7f", "\xff", -1, -1, -1, -1, -1, -1, true, true)
	f.Add("d\n", "\\n\\\\n;", "\\", ",", "\\", 73000, 400, 9, 420, 4000, 20*60+1, true, false)
	f.Add("", "", "", "", "", 1<<40, 1<<40, 1<<40, 1<<40, 1<<40, 1<<40, false, false)
	f.Fuzz(func(t *testing.T, uid, summary, description, category, name string, from, long, sequence, begins, minutes, alarm int, timed, free bool) {
		e := calendar.Event{UID: uid, Sequence: sequence, Summary: summary, Description: description, Category: category,
			From: calendar.Date(from), To: calendar.Date(from + long), Timed: timed, Begins: begins, Minutes: minutes, Free: free, Alarm: alarm}
		feed := calendar.Feed{Product: "-//" + name, Name: name, Stamp: calendar.First, Events: []calendar.Event{e}}
		text, err := feed.Text()
		if err != nil {
			require.Empty(t, text)
			return
		}
		var got []string
		for _, line := range contentLines(t, text) {
			switch name, value := line[0], line[1]; name {
			case "PRODID", "NAME", "UID", "SUMMARY", "DESCRIPTION", "CATEGORIES":
				got = append(got, name+"="+unescaped(t, value))
			default:
				got = append(got, name+"="+value)
			}
		}
		want := []string{"BEGIN=VCALENDAR", "VERSION=2.0", "PRODID=" + feed.Product, "CALSCALE=GREGORIAN", "NAME=" + name,
			"BEGIN=VEVENT", "UID=" + uid, "DTSTAMP=19000101T000000Z", fmt.Sprintf("SEQUENCE=%d", sequence)}
		day := func(d calendar.Date) string { return strings.ReplaceAll(d.String(), "-", "") }
		if timed {
			end := begins + minutes
			want = append(want, fmt.Sprintf("DTSTART=%sT%02d%02d00", day(e.From), begins/60, begins%60),
				fmt.Sprintf("DTEND=%sT%02d%02d00", day(e.From+calendar.Date(end/1440)), end%1440/60, end%60))
		} else {
			want = append(want, "DTSTART;VALUE=DATE="+day(e.From), "DTEND;VALUE=DATE="+day(e.To+1))
		}
		want = append(want, "SUMMARY="+summary)
		if description != "" {
			want = append(want, "DESCRIPTION="+description)
		}
		if category != "" {
			want = append(want, "CATEGORIES="+category)
		}
		if free {
			want = append(want, "TRANSP=TRANSPARENT")
		}
		if alarm > 0 {
			want = append(want, "BEGIN=VALARM", "ACTION=DISPLAY", "DESCRIPTION="+summary, fmt.Sprintf("TRIGGER=-PT%dM", alarm), "END=VALARM")
		}
		require.Equal(t, append(want, "END=VEVENT", "END=VCALENDAR"), got)
		for _, d := range []string{"DTSTART", "DTEND"} { // eight digits of a date, whatever is counted on
			_, after, ok := strings.Cut(text, d)
			require.True(t, ok)
			_, value, _ := strings.Cut(after, ":")
			value, _, _ = strings.Cut(value, "\r\n")
			require.Equal(t, 8, len(strings.Split(value, "T")[0]), "%s of %q", d, text)
		}
	})
}
