package probe

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// table reads rows.
type table struct {
	*shape
	*columns
	r *report

	times    []float64 // of the rows kept, s since the first
	offsets  []int     // of their lines in the text
	numbers  []int32   // of their lines
	points   [][]Point // by channel
	lacking  []lack    // by channel
	readings int
	hottest  []float64 // that a reading may be, K, by channel
	tooHot   []bool    // whether one was hotter, by channel

	start    string  // the first time as written
	origin   float64 // the first time, s
	midnight float64 // s added to times of day for days that have passed
	unread   spot    // first of the lines whose time was not read
	unreads  int
}

// lack is a run of rows in which a channel has no reading.
type lack struct {
	first, last spot
	n           int
	rule        string // "missing", or "no_temperature" for a number that is none
	found       string
}

func newTable(s *shape, c *columns, r *report) *table {
	t := &table{shape: s, columns: c, r: r}
	rows := min(strings.Count(s.text[s.begin.at:], "\n")+1, MostRows)
	// A file of empty lines asks for no more memory than rows of its bytes could.
	rows = min(rows, len(s.text)/3+1)
	t.times, t.offsets, t.numbers = make([]float64, 0, rows), make([]int, 0, rows), make([]int32, 0, rows)
	t.points, t.lacking = make([][]Point, len(c.channels)), make([]lack, len(c.channels))
	for i := range t.points {
		t.points[i] = make([]Point, 0, min(rows, MostReadings/len(c.channels)))
	}
	return t
}

// bound says how hot a reading of each channel may be.
func (t *table) bound(o Options) {
	t.hottest, t.tooHot = make([]float64, len(t.channels)), make([]bool, len(t.channels))
	for i, ch := range t.channels {
		t.hottest[i] = math.Inf(1)
		counted := len(o.Counted) == 0 || slices.ContainsFunc(o.Counted, func(want string) bool {
			return named(ch.name, want) || strconv.Itoa(ch.column+1) == want
		})
		if o.Hottest > 0 && counted {
			t.hottest[i] = o.Hottest
		}
	}
}

// read reads all rows; false where the rest of the file cannot be read.
func (t *table) read() bool {
	l := t.begin
	buffer := make([]string, 0, t.width)
	for {
		offset := l.at
		line, ok := l.next()
		if !ok {
			break
		}
		at := spot{l.number, line, -1, t.delim}
		if len(line) > MostLine {
			t.r.add(protocol.Error, "line_long", at, args{"n": len(line), "most": MostLine}, "line_long", nil)
			return false
		}
		cells, closed := split(line, t.delim, buffer[:0])
		buffer = cells
		if !closed {
			t.r.add(protocol.Error, "quote", at, nil, "quote", nil)
			continue
		}
		if blank(cells) {
			continue
		}
		if len(t.times) >= MostRows || t.readings > MostReadings {
			t.r.add(protocol.Error, "rows_many", at, args{"rows": MostRows, "readings": MostReadings}, "rows_many", nil)
			return false
		}
		t.row(cells, at, offset)
	}
	t.finish()
	return true
}

func blank(cells []string) bool {
	for _, c := range cells {
		if c != "" {
			return false
		}
	}
	return true
}

func (s spot) in(cell int) spot { s.cell = cell; return s }

func (t *table) row(cells []string, at spot, offset int) {
	if len(cells) > t.width && !blank(cells[t.width:]) {
		t.r.add(protocol.Error, "row_wide", at.in(t.width), args{"n": len(cells), "width": t.width}, "row_wide", nil)
		return
	}
	seconds, ok, impossible := t.when(cells)
	if impossible {
		t.r.add(protocol.Error, "time_impossible", at.in(t.time), args{"found": short(cells[t.time])}, "time_impossible", nil)
		return
	}
	if !ok {
		// An error only if rows follow; else it is what a logger writes last.
		if t.unreads == 0 {
			t.unread = at.in(t.time)
		}
		t.unreads++
		return
	}
	if t.unreads > 0 {
		t.tellUnread()
	}
	if !t.advance(seconds, cells, at, offset) {
		return
	}
	now := t.times[len(t.times)-1]
	for i, ch := range t.channels {
		cell := ""
		if ch.column < len(cells) {
			cell = cells[ch.column]
		}
		t.reading(i, now, cell, at.in(ch.column))
	}
}

// tellUnread tells of lines without a time that stand between rows.
func (t *table) tellUnread() {
	rule, a := "time_missing", args{"n": t.unreads}
	if cells, _ := split(t.unread.text, t.delim, nil); t.time < len(cells) && cells[t.time] != "" {
		rule, a["found"] = "time_text", short(cells[t.time])
	}
	t.r.add(protocol.Error, rule, t.unread, a, "time_text", nil)
	t.unreads = 0
}

// when is the time of a row in s of the file's own clock. Not ok is a cell that
// is no time; impossible is a time that no calendar or clock has.
func (t *table) when(cells []string) (seconds float64, ok, impossible bool) {
	if t.time >= len(cells) || t.ofDay >= len(cells) {
		return 0, false, false
	}
	cell := cells[t.time]
	if t.kind == numeric {
		x, u, ok := number(cell, t.mark)
		size := [...]float64{Seconds: 1, Minutes: unit.Minute, Hours: unit.Hour}[t.columns.unit]
		// Beyond a thousand years a second is lost in the rounding.
		return x * size, ok && u == NoUnit, ok && !(x*size < 1e11 && x*size > -1e11)
	}
	stamp, ok := parseStamp(cell, t.mark)
	if !ok {
		return 0, false, false
	}
	days := 0.0
	if t.kind == timeOnly {
		if stamp.order != noDate || stamp.parts == 0 {
			return 0, false, false
		}
		two := t.columns.unit == MinutesSeconds || t.columns.unit == HoursMinutes
		if stamp.half == 0 {
			return stamp.elapsed(t.columns.unit), stamp.parts == 3 || two, false
		}
	} else {
		if stamp.order == noDate {
			return 0, false, false
		}
		if days, ok = stamp.days(t.dates); !ok {
			return 0, false, true
		}
		if t.ofDay >= 0 {
			if stamp.parts != 0 {
				return 0, false, false
			}
			if stamp, ok = parseStamp(cells[t.ofDay], t.mark); !ok || stamp.order != noDate {
				return 0, false, false
			}
		} else if stamp.parts == 0 {
			return 0, false, false
		}
	}
	seconds, ok = stamp.ofDay()
	return days*unit.Day + seconds, true, !ok
}

// advance takes the time of the next row; false where the row cannot be kept.
func (t *table) advance(seconds float64, cells []string, at spot, offset int) bool {
	n := len(t.times)
	if n == 0 {
		t.origin = seconds
		t.start = short(cells[t.time])
		if t.ofDay >= 0 {
			t.start += " " + short(cells[t.ofDay])
		}
	}
	now := seconds + t.midnight - t.origin
	if n > 0 {
		before := t.times[n-1]
		// A clock without a date starts anew at midnight, and goes on at once; a
		// logger that was started anew does not.
		if t.kind == timeOnly && !t.elapsed && now < before && now+unit.Day-before <= unit.Hour {
			t.midnight += unit.Day
			now += unit.Day
			t.r.add(protocol.Note, "midnight", at.in(t.time), args{"found": short(cells[t.time])}, "", nil)
		}
		switch {
		case now == before:
			t.r.add(protocol.Warning, "time_twice", at.in(t.time), args{"found": short(cells[t.time])}, "time_twice", nil)
			return false
		case now < before:
			t.r.add(protocol.Error, "time_back", at.in(t.time), args{"found": short(cells[t.time]), "by": clock(before - now), "line": int(t.numbers[n-1])}, "time_back", nil)
			return false
		}
	}
	t.times, t.offsets, t.numbers = append(t.times, now), append(t.offsets, offset), append(t.numbers, int32(at.line))
	return true
}

func (t *table) reading(i int, now float64, cell string, at spot) {
	ch := t.channels[i]
	if isMissing(cell) {
		t.lack(i, "missing", cell, at)
		return
	}
	x, u, ok := number(cell, t.mark)
	if !ok {
		t.r.add(protocol.Error, "cell_text", at, args{"found": short(cell)}, "cell_text", nil)
		return
	}
	if u != NoUnit && u != ch.unit {
		t.r.add(protocol.Error, "cell_unit", at, args{"found": short(cell), "unit": ch.unit.String()}, "cell_unit", nil)
		return
	}
	k := ch.unit.kelvin(x)
	if !(k >= Least && k <= Most) {
		t.lack(i, "no_temperature", cell, at)
		return
	}
	t.flush(i)
	if k > t.hottest[i] {
		t.tooHot[i] = true
		t.r.add(protocol.Error, "hot", at, args{"found": degrees(k, ch.unit), "most": degrees(t.hottest[i], ch.unit)}, "hot", nil)
		return
	}
	t.points[i] = append(t.points[i], Point{now, k})
	t.readings++
}

// lack notes that a channel has no reading in a row.
func (t *table) lack(i int, rule, found string, at spot) {
	if t.lacking[i].rule != rule {
		t.flush(i)
	}
	l := &t.lacking[i]
	if l.n == 0 {
		*l = lack{first: at, rule: rule, found: found}
	}
	l.last = at
	l.n++
}

// flush tells of the rows in which a channel had no reading.
func (t *table) flush(i int) {
	l := t.lacking[i]
	if l.n == 0 {
		return
	}
	a := args{"n": l.n, "last": l.last.line, "column": t.channels[i].column + 1}
	if l.rule == "no_temperature" {
		a["found"] = short(l.found)
	}
	t.r.add(protocol.Warning, l.rule, l.first, a, l.rule, nil)
	t.lacking[i] = lack{}
}

func (t *table) finish() {
	if t.unreads > 0 {
		t.r.add(protocol.Note, "footer", t.unread.in(-1), args{"n": t.unreads}, "", nil)
	}
	for i := range t.channels {
		t.flush(i)
	}
}
