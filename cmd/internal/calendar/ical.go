package calendar

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Event is one entry of a calendar (RFC 5545, section 3.6.1). It is of whole days,
// or of a time of the day that floats: 07:00 is 07:00 wherever and whenever the
// calendar is read, also on a day on which clocks are changed.
type Event struct {
	UID         string // the same for the same event, whenever it is written
	Sequence    int    // raised by who changes the event
	Summary     string
	Description string
	Category    string
	From, To    Date // the first and the last day
	Timed       bool // from Begins on, for Minutes; From is its day
	Begins      int  // min after midnight
	Minutes     int
	Free        bool // nobody is taken up by it
	Alarm       int  // min before it; before midnight where it is of whole days. 0 for none
}

// Feed is a calendar as text.
type Feed struct {
	Product string // what has written it
	Name    string
	Stamp   Date // the day that counts as today; a clock is never asked
	Events  []Event
}

// The longest alarm before an event of whole days, 20 h before its midnight: clocks
// are changed in the small hours, and an alarm between 4 in the morning and midnight
// before is never an hour off.
const (
	mostAlarm = 20 * 60
	aDay      = 24 * 60
)

// Text is the calendar in the form of RFC 5545: lines that end with CR LF, and of
// 75 octets at most. The error is for an event that has no such form.
func (f Feed) Text() (string, error) {
	if err := errors.Join(printable("product", f.Product), printable("name of the calendar", f.Name)); err != nil {
		return "", err
	}
	if len(f.Events) == 0 {
		return "", errors.New("calendar: no event; a calendar has one at least")
	}
	var b lines
	seen := map[string]bool{}
	b.put("BEGIN", "VCALENDAR")
	b.put("VERSION", "2.0")
	b.text("PRODID", f.Product)
	b.put("CALSCALE", "GREGORIAN")
	b.text("NAME", f.Name) // RFC 7986
	for _, e := range f.Events {
		if err := e.check(); err != nil {
			return "", err
		}
		if seen[e.UID] {
			return "", fmt.Errorf("calendar: two events have the UID %q", e.UID)
		}
		seen[e.UID] = true
		b.event(e, f.Stamp)
	}
	b.put("END", "VCALENDAR")
	return b.String(), nil
}

func (e Event) check() error {
	for _, t := range []struct {
		what, text string
		empty      bool
	}{{"UID", e.UID, false}, {"summary", e.Summary, false}, {"description", e.Description, true}, {"category", e.Category, true}} {
		if t.text == "" && t.empty {
			continue
		}
		if err := printable(t.what, t.text); err != nil {
			return fmt.Errorf("event %q: %w", e.UID, err)
		}
	}
	switch {
	case strings.Contains(e.UID, "\n"):
		return fmt.Errorf("calendar: event %q: its UID has more than one line", e.UID)
	case e.Sequence < 0:
		return fmt.Errorf("calendar: event %q: a sequence of %d; it begins with 0 and rises", e.UID, e.Sequence)
	case e.From < First || e.To > Last:
		return fmt.Errorf("calendar: event %q: %v to %v; %v to %v are possible", e.UID, e.From, e.To, First, Last)
	case e.To < e.From:
		return fmt.Errorf("calendar: event %q ends on %v, before it begins on %v", e.UID, e.To, e.From)
	case e.Timed && (e.To != e.From || e.Begins < 0 || e.Begins >= aDay || e.Minutes < 1):
		return fmt.Errorf("calendar: event %q begins %d min after midnight and lasts %d min; it begins on one day, from 0 to %d, and lasts 1 at least", e.UID, e.Begins, e.Minutes, aDay-1)
	case e.Alarm < 0 || e.Alarm > mostAlarm:
		return fmt.Errorf("calendar: event %q: an alarm %d min before; 1 to %d are possible, 0 is none", e.UID, e.Alarm, mostAlarm)
	}
	return nil
}

// printable refuses what no text of a calendar may hold: control characters but
// for the end of a line and the tab, and bytes that are no UTF-8.
func printable(what, text string) error {
	if text == "" {
		return fmt.Errorf("calendar: no %s", what)
	}
	if !utf8.ValidString(text) {
		return fmt.Errorf("calendar: the %s %q is no UTF-8", what, text)
	}
	for _, r := range text {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return fmt.Errorf("calendar: the %s %q has the control character %q", what, text, r)
		}
	}
	return nil
}

// lines are content lines.
type lines struct{ strings.Builder }

func (b *lines) event(e Event, stamp Date) {
	b.put("BEGIN", "VEVENT")
	b.text("UID", e.UID)
	b.put("DTSTAMP", basic(stamp)+"T000000Z")
	b.put("SEQUENCE", fmt.Sprint(e.Sequence))
	if e.Timed {
		end := e.Begins + e.Minutes
		b.put("DTSTART", basic(e.From)+clock(e.Begins))
		b.put("DTEND", basic(e.From+Date(end/aDay))+clock(end%aDay))
	} else {
		b.put("DTSTART;VALUE=DATE", basic(e.From))
		b.put("DTEND;VALUE=DATE", basic(e.To+1)) // the first day that is not of it
	}
	b.text("SUMMARY", e.Summary)
	if e.Description != "" {
		b.text("DESCRIPTION", e.Description)
	}
	if e.Category != "" {
		b.text("CATEGORIES", e.Category)
	}
	if e.Free {
		b.put("TRANSP", "TRANSPARENT")
	}
	if e.Alarm > 0 {
		b.put("BEGIN", "VALARM")
		b.put("ACTION", "DISPLAY")
		b.text("DESCRIPTION", e.Summary)
		b.put("TRIGGER", fmt.Sprintf("-PT%dM", e.Alarm))
		b.put("END", "VALARM")
	}
	b.put("END", "VEVENT")
}

// basic is a date as "20261225".
func basic(d Date) string {
	y, m, day := d.Civil()
	return fmt.Sprintf("%04d%02d%02d", y, m, day)
}

// clock is a time of a day as "T070000", without a time zone.
func clock(minutes int) string { return fmt.Sprintf("T%02d%02d00", minutes/60, minutes%60) }

var escape = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

// text puts a value of the type TEXT (section 3.3.11).
func (b *lines) text(name, value string) { b.put(name, escape.Replace(value)) }

// mostOctets is how long a line may be without its end (section 3.1).
const mostOctets = 75

// put puts a line, folded where it is too long: between two characters, never
// inside one. The space that begins a further line counts.
func (b *lines) put(name, value string) {
	room := mostOctets
	for _, r := range name + ":" + value {
		if n := utf8.RuneLen(r); n > room {
			b.WriteString("\r\n ")
			room = mostOctets - 1 - n
		} else {
			room -= n
		}
		b.WriteRune(r)
	}
	b.WriteString("\r\n")
}
