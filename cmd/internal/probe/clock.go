package probe

import (
	"regexp"
	"strings"

	"bottlecrop/cmd/internal/unit"
)

// order is how the three numbers of a date are written.
type order uint8

const (
	noDate    order = iota
	yearFirst       // 2025-03-04
	dotted          // 4.3.2025: day, month, year; also 4-Mar-2025
	slashed         // 3/4/2025: as an option or later rows say
)

// stamp is a time as written: a date, a time of day, or both.
type stamp struct {
	order   order
	a, b, c int     // of the date, as written; a year of two digits with its century
	short   bool    // the year has two digits
	parts   int     // of the time of day: 0, 2 (10:30) or 3 (10:30:00)
	x, y    int     // its first two
	z       float64 // its seconds
	half    byte    // 'A' or 'P' on a twelve-hour clock, else 0
	zone    float64 // s east of Greenwich
}

var months = [...]string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// parseStamp reads a date, a time, or a date with a time.
func parseStamp(s string, mark byte) (t stamp, ok bool) {
	rest, ok := t.date(s)
	if !ok {
		rest = s
	}
	if t.order != noDate {
		if rest == "" {
			return t, true
		}
		if rest[0] != ' ' && rest[0] != 'T' && rest[0] != ',' {
			return t, false
		}
		rest = strings.TrimLeft(rest[1:], " ")
	}
	rest, ok = t.timeOfDay(rest, mark)
	if !ok {
		return t, false
	}
	return t, t.suffix(rest)
}

// digits reads a whole number of at most most digits.
func digits(s string, most int) (n int, rest string, ok bool) {
	i := 0
	for i < len(s) && i < most && s[i] >= '0' && s[i] <= '9' {
		n = n*10 + int(s[i]-'0')
		i++
	}
	return n, s[i:], i > 0
}

func (t *stamp) date(s string) (rest string, ok bool) {
	a, rest, ok := digits(s, 4)
	if !ok || rest == "" {
		return s, false
	}
	wide := len(s)-len(rest) == 4
	sep := rest[0]
	if sep != '-' && sep != '/' && sep != '.' {
		return s, false
	}
	rest = rest[1:]
	named := false
	b, after, ok := digits(rest, 2)
	if !ok && len(rest) > 3 {
		for i, m := range months {
			if strings.EqualFold(rest[:3], m) {
				b, after, ok, named = i+1, rest[3:], true, true
			}
		}
	}
	if !ok || after == "" || after[0] != sep {
		return s, false
	}
	c, end, ok := digits(after[1:], 4)
	if !ok {
		return s, false
	}
	long := len(after)-1-len(end) == 4
	switch {
	case wide && !long:
		t.order = yearFirst
	case wide:
		return s, false
	case named || sep == '.':
		t.order = dotted
	default:
		t.order = slashed
	}
	if t.order != yearFirst && !long {
		c, t.short = c+2000, true // a logger of this century
	}
	t.a, t.b, t.c = a, b, c
	return end, true
}

func (t *stamp) timeOfDay(s string, mark byte) (rest string, ok bool) {
	if t.x, rest, ok = digits(s, 5); !ok || rest == "" || rest[0] != ':' {
		return s, false
	}
	second := rest[1:]
	if t.y, rest, ok = digits(second, 2); !ok || len(second)-len(rest) != 2 || t.y > 59 {
		return s, false
	}
	t.parts = 2
	if rest == "" || rest[0] != ':' {
		return rest, true
	}
	third := rest[1:]
	whole, rest, ok := digits(third, 2)
	if !ok || len(third)-len(rest) != 2 || whole > 59 {
		return s, false
	}
	t.parts, t.z = 3, float64(whole)
	if len(rest) > 1 && (rest[0] == '.' || rest[0] == mark) {
		n, after, ok := digits(rest[1:], 9)
		if !ok {
			return s, false
		}
		t.z += float64(n) / powers[len(rest)-1-len(after)]
		rest = after
	}
	return rest, true
}

var zonePattern = regexp.MustCompile(`^([+-])(\d\d):?(\d\d)$`)

// suffix reads AM or PM, or a zone.
func (t *stamp) suffix(s string) bool {
	s = trim(s)
	if s == "" || s == "Z" {
		return true
	}
	switch strings.ToUpper(strings.ReplaceAll(s, ".", "")) {
	case "AM", "A":
		t.half = 'A'
	case "PM", "P":
		t.half = 'P'
	}
	if t.half != 0 {
		return t.x >= 1 && t.x <= 12
	}
	m := zonePattern.FindStringSubmatch(s)
	if m == nil {
		return false
	}
	h, _, _ := digits(m[2], 2)
	min, _, _ := digits(m[3], 2)
	t.zone = float64(h)*unit.Hour + float64(min)*unit.Minute
	if m[1] == "-" {
		t.zone = -t.zone
	}
	return h <= 14 && min <= 59
}

// days is the date as days since 1970-01-01; ok is false for a day that is in
// no calendar.
func (t stamp) days(slash DateOrder) (float64, bool) {
	y, m, d := t.a, t.b, t.c
	switch {
	case t.order == dotted || t.order == slashed && slash == DayFirst:
		d, m, y = t.a, t.b, t.c
	case t.order == slashed:
		m, d, y = t.a, t.b, t.c
	}
	if m < 1 || m > 12 || d < 1 || d > daysIn(y, m) || y < 1970 || y > 2199 {
		return 0, false
	}
	return float64(civil(y, m, d)), true
}

func daysIn(y, m int) int {
	switch m {
	case 2:
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// civil counts days of the Gregorian calendar since 1970-01-01, with years that
// begin in March (E. G. Richards in the Explanatory Supplement to the
// Astronomical Almanac, 3rd ed., 2013, ch. 15).
func civil(y, m, d int) int {
	if m <= 2 {
		y--
		m += 12
	}
	return 365*y + y/4 - y/100 + y/400 + (153*(m-3)+2)/5 + d - 1 - 719468
}

// ofDay is the time of day in s; ok is false for an hour that a day has not.
func (t stamp) ofDay() (float64, bool) {
	h := t.x
	if t.half != 0 {
		h %= 12
		if t.half == 'P' {
			h += 12
		}
	}
	return float64(h)*unit.Hour + float64(t.y)*unit.Minute + t.z - t.zone, h < 24
}

// elapsed is a time without a date as a duration in s.
func (t stamp) elapsed(u TimeUnit) float64 {
	if t.parts == 2 && u == MinutesSeconds {
		return float64(t.x)*unit.Minute + float64(t.y)
	}
	return float64(t.x)*unit.Hour + float64(t.y)*unit.Minute + t.z
}
