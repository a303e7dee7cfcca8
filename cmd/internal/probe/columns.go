package probe

import (
	"regexp"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// columns says what the columns of a table are.
type columns struct {
	time     int // column of the date, or of all of the time
	ofDay    int // column of the time of day where it is one of its own, else −1
	kind     cellKind
	unit     TimeUnit  // of a time without a date
	dates    DateOrder // of dates with slashes
	elapsed  bool      // the header says that it is no time of day
	channels []channel
}

type channel struct {
	column int // from 0
	name   string
	unit   Unit
}

// kindsOf is what most cells of each column look like.
func (s *shape) kindsOf() []cellKind {
	out := make([]cellKind, s.width)
	for i := range out {
		var counts [dateTime + 1]int
		for _, row := range s.sample {
			counts[kindOf(row[i])]++
		}
		counts[missing] = 0
		best := missing
		for k, n := range counts {
			if n > 0 && n >= counts[best] { // of as many words as numbers, numbers
				best = cellKind(k)
			}
		}
		out[i] = best
	}
	return out
}

// assign finds the time and the channels among the columns of a table.
func assign(s *shape, o Options, r *report) (*columns, bool) {
	if s.width > MostColumns {
		r.add(protocol.Error, "columns_many", s.first, args{"n": s.width, "most": MostColumns}, "columns_many", nil)
		return nil, false
	}
	kinds := s.kindsOf()
	c := &columns{time: -1, ofDay: -1}
	if !c.findTime(s, kinds, o, r) || !c.settleTime(s, o, r) {
		return nil, false
	}
	return c, c.findChannels(s, kinds, o, r)
}

func (c *columns) findTime(s *shape, kinds []cellKind, o Options, r *report) bool {
	is := func(k cellKind) int { return slices.Index(kinds, k) }
	switch {
	case o.TimeColumn != 0:
		c.time = o.TimeColumn - 1
		if c.time < 0 || c.time >= s.width || kinds[c.time] == words || kinds[c.time] == missing {
			r.add(protocol.Error, "time_column", s.first, args{"column": o.TimeColumn, "columns": s.width}, "time_column", nil)
			return false
		}
	case is(dateTime) >= 0:
		c.time = is(dateTime)
	case is(dateOnly) >= 0:
		c.time = is(dateOnly)
	case is(timeOnly) >= 0:
		c.time = is(timeOnly)
	default:
		c.time = slices.IndexFunc(s.names, func(n string) bool {
			return unitIn(n) == NoUnit && timeUnitIn(n) != NoTimeUnit
		})
		if c.time < 0 {
			c.time = slices.IndexFunc(s.names, func(n string) bool { return unitIn(n) == NoUnit && timeName.MatchString(n) })
		}
		if c.time < 0 || kinds[c.time] != numeric {
			r.add(protocol.Error, "time_none", s.first, nil, "time_none", nil)
			return false
		}
	}
	c.kind = kinds[c.time]
	if c.kind == dateOnly {
		if c.ofDay = is(timeOnly); c.ofDay < 0 {
			r.add(protocol.Error, "time_of_day_none", s.first, args{"found": short(s.sample[0][c.time])}, "time_none", nil)
			return false
		}
	}
	return true
}

var (
	timeName    = regexp.MustCompile(`(?i)\b(time|timestamp|elapsed|zeit|t)\b`)
	elapsedName = regexp.MustCompile(`(?i)\b(elapsed|relative|duration|since start)\b`)
	// Quantities that are no temperature of a probe.
	otherName = regexp.MustCompile(`(?i)%|\brh\b|humid|pressure|\bpsi|\bk?pa\b|\bm?bar\b|\bm?v\b|volt|batt|\bppm\b|co2|dew|\blux\b|rssi|signal`)
	indexName = regexp.MustCompile(`(?i)^(#|no\.?|nr\.?|n|num|number|index|id|sample|record|reading|row|line|count|scan)$`)
)

// timeUnitWord reads a text that is a unit of time and nothing else.
func timeUnitWord(s string) TimeUnit {
	switch strings.ToLower(strings.Trim(s, "()[]. ")) {
	case "s", "sec", "secs", "second", "seconds":
		return Seconds
	case "min", "mins", "minute", "minutes":
		return Minutes
	case "h", "hr", "hrs", "hour", "hours":
		return Hours
	case "mm:ss", "m:ss", "min:s", "min:sec":
		return MinutesSeconds
	case "h:mm", "hh:mm", "h:min":
		return HoursMinutes
	}
	return NoTimeUnit
}

var separators = regexp.MustCompile(`[\s()\[\],;/_]+`)

// timeUnitIn finds the unit of time that a text names; none where it names two.
func timeUnitIn(s string) TimeUnit {
	found := NoTimeUnit
	for _, w := range separators.Split(s, -1) {
		if u := timeUnitWord(w); u != NoTimeUnit {
			if found != NoTimeUnit && found != u {
				return NoTimeUnit
			}
			found = u
		}
	}
	return found
}

// settleTime finds what the times count in, and how their dates are read.
func (c *columns) settleTime(s *shape, o Options, r *report) bool {
	name := s.names[c.time]
	c.elapsed = elapsedName.MatchString(name)
	c.unit = o.Time
	if c.unit == NoTimeUnit {
		c.unit = timeUnitIn(name)
	}
	cell := s.sample[0][c.time]
	at := s.first.in(c.time)
	t, _ := parseStamp(cell, s.mark)
	switch c.kind {
	case numeric:
		if c.unit == NoTimeUnit || c.unit > Hours {
			r.add(protocol.Error, "time_unit", s.naming(c.time), args{"column": c.time + 1}, "time_unit", nil)
			return false
		}
	case timeOnly:
		if t.parts == 2 && t.half == 0 && c.unit != MinutesSeconds && c.unit != HoursMinutes {
			r.add(protocol.Error, "time_two", at, args{"found": short(cell)}, "time_two", nil)
			return false
		}
	default:
		if t.order == slashed {
			return c.settleDates(s, o, r)
		}
	}
	return true
}

func (c *columns) findChannels(s *shape, kinds []cellKind, o Options, r *report) bool {
	for _, n := range o.Channels {
		if n < 1 || n > s.width || kinds[n-1] != numeric || n-1 == c.time {
			r.add(protocol.Error, "channel", s.first, args{"column": n, "columns": s.width}, "channel", nil)
			return false
		}
	}
	for i, k := range kinds {
		name, u := s.names[i], s.unitOfName(i)
		if i == c.time || i == c.ofDay || len(o.Channels) > 0 && !slices.Contains(o.Channels, i+1) {
			continue
		}
		if k == words && u != NoUnit {
			r.add(protocol.Note, "left_out_words", s.naming(i), args{"column": i + 1}, "", nil)
		}
		// A probe may have been plugged in late, so its first cells empty.
		if k != numeric && (k != missing || u == NoUnit) {
			continue
		}
		if u == NoUnit {
			u = s.unitOfCells(i)
		}
		if len(o.Channels) == 0 && u == NoUnit && (otherName.MatchString(name) || indexName.MatchString(name) ||
			timeUnitIn(name) != NoTimeUnit || i < c.time && s.counts(i)) || len(o.Channels) == 0 && otherName.MatchString(name) {
			continue
		}
		c.channels = append(c.channels, channel{i, name, u})
	}
	if len(c.channels) == 0 {
		r.add(protocol.Error, "channel_none", s.first, nil, "channel_none", nil)
		return false
	}
	return c.settleUnits(s, o, r)
}

// naming is where the header names a column, or its first cell where there is
// no header.
func (s *shape) naming(column int) spot {
	if s.header.line != 0 {
		return s.header.in(column)
	}
	return s.first.in(column)
}

// unitOfCells is the unit that the readings of a column carry themselves.
func (s *shape) unitOfCells(column int) Unit {
	for _, row := range s.sample {
		if _, u, ok := number(row[column], s.mark); ok && u != NoUnit {
			return u
		}
	}
	return NoUnit
}

// counts tells whether a column numbers the rows.
func (s *shape) counts(column int) bool {
	for i, row := range s.sample {
		x, _, ok := number(row[column], s.mark)
		before, _, _ := number(s.sample[max(i-1, 0)][column], s.mark)
		if !ok || i > 0 && x != before+1 {
			return false
		}
	}
	return true
}

// settleUnits finds the unit of every channel: the option's, its own, or the
// one that the lines above the table name. A channel without one beside
// channels with one is left out, for it may be anything.
func (c *columns) settleUnits(s *shape, o Options, r *report) bool {
	above, where := s.unitAbove()
	known := slices.ContainsFunc(c.channels, func(ch channel) bool { return ch.unit != NoUnit })
	var kept []channel
	for _, ch := range c.channels {
		switch {
		case ch.unit == NoUnit && known && len(o.Channels) == 0:
			r.add(protocol.Note, "left_out", s.naming(ch.column), args{"column": ch.column + 1}, "left_out", nil)
			continue
		case o.Unit != NoUnit:
			if ch.unit != NoUnit && ch.unit != o.Unit {
				r.add(protocol.Warning, "unit_overruled", s.naming(ch.column), args{"file": ch.unit.String(), "option": o.Unit.String()}, "unit_overruled", nil)
			}
			ch.unit = o.Unit
		case ch.unit != NoUnit:
		case above != NoUnit:
			r.add(protocol.Note, "unit_above", where, args{"unit": above.String(), "column": ch.column + 1}, "", nil)
			ch.unit = above
		default:
			r.add(protocol.Error, "unit", s.naming(ch.column), args{"column": ch.column + 1, "highest": s.highest(ch.column)}, s.suggest(ch.column), nil)
			return false
		}
		kept = append(kept, ch)
	}
	c.channels = kept
	return true
}

// unitAbove is the unit that the lines above the header name, and the first
// line that does; none where they name two.
func (s *shape) unitAbove() (Unit, spot) {
	found, where := NoUnit, spot{}
	for i, line := range s.preamble {
		if len(line) > MostLine {
			continue
		}
		n := s.begin.number - len(s.preamble) + i + 1
		cells, _ := split(line, s.delim, nil)
		for _, cell := range append(cells, line) {
			u := unitIn(cell)
			if u == NoUnit || n == s.header.line {
				continue
			}
			if found != NoUnit && u != found {
				return NoUnit, spot{}
			}
			if found == NoUnit {
				found, where = u, spot{n, line, -1, s.delim}
			}
		}
	}
	return found, where
}
