package probe

import "bottlecrop/cmd/internal/protocol"

// settleDates decides whether the month or the day comes first in dates with
// slashes or hyphens: by the option, or by the first date that has a number
// above 12. While all dates are the same one it does not matter. Where the year
// has two digits and the last number changes, that may be the day: 25-03-04.
func (c *columns) settleDates(s *shape, o Options, r *report) bool {
	c.dates = o.Dates
	if c.dates != AnyOrder {
		return true
	}
	var first stamp
	differ, turn := false, false
	s.each(c.time, func(cell string) {
		t, ok := parseStamp(cell, s.mark)
		if !ok || t.order != slashed {
			return
		}
		if first.order == noDate {
			first = t
		}
		differ = differ || t.a != first.a || t.b != first.b || t.c != first.c
		turn = turn || (t.short || first.short) && t.c != first.c
		switch {
		case c.dates != AnyOrder:
		case t.a > 12 && t.a <= 31:
			c.dates = DayFirst
		case t.b > 12 && t.b <= 31:
			c.dates = MonthFirst
		}
	})
	at := s.first.in(c.time)
	found := args{"found": short(s.sample[0][c.time])}
	switch {
	case turn:
		r.add(protocol.Error, "dates_short", at, found, "dates_short", nil)
		return false
	case c.dates == AnyOrder && differ:
		r.add(protocol.Error, "dates", at, found, "dates", nil)
		return false
	case c.dates == AnyOrder:
		c.dates = MonthFirst // as good as the other
	}
	return true
}

// each visits the cells in a column of the whole table.
func (s *shape) each(column int, visit func(cell string)) {
	l := s.begin
	var buffer []string
	for {
		line, ok := l.next()
		if !ok {
			return
		}
		cells, closed := buffer[:0], false
		if len(line) <= MostLine {
			cells, closed = split(line, s.delim, cells)
			buffer = cells
		}
		if closed && column < len(cells) {
			visit(cells[column])
		}
	}
}
