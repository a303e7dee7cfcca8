package probe

import (
	"strings"

	"bottlecrop/cmd/internal/protocol"
)

// shape is where the table of a file lies and how it is written.
type shape struct {
	text     string
	delim    byte
	mark     byte // decimal
	names    []string
	header   spot // line of the header; line 0 where there is none
	preamble []string
	begin    lines // at the first row
	width    int   // cells of the first row
	sample   [][]string
	first    spot // first row
}

// sampleRows is how many rows are looked at before the table is read.
const sampleRows = 200

// cellKind is what a cell looks like before anything is known of its column.
type cellKind uint8

const (
	words cellKind = iota
	missing
	numeric
	dateOnly
	timeOnly
	dateTime
)

func kindOf(cell string) cellKind {
	if isMissing(cell) {
		return missing
	}
	if _, _, ok := number(cell, '.'); ok {
		return numeric
	}
	if _, _, ok := number(cell, ','); ok {
		return numeric
	}
	t, ok := parseStamp(cell, ',')
	switch {
	case !ok:
		return words
	case t.order == noDate:
		return timeOnly
	case t.parts == 0:
		return dateOnly
	}
	return dateTime
}

// isRow tells whether cells look like a row of readings: it begins with a
// number or a time, and has a number further on.
func isRow(cells []string) bool {
	first := -1
	for i, c := range cells {
		if c == "" {
			continue
		}
		k := kindOf(c)
		switch {
		case first < 0 && (k == words || k == missing):
			return false
		case first < 0:
			first = i
		case k == numeric:
			return true
		}
	}
	return false
}

// findShape finds the delimiter under which the longest table begins.
func findShape(text string, o Options, r *report) (*shape, bool) {
	l := lines{text: text}
	delims := []byte{'\t', ';', ','}
	// A first line "sep=;" is for spreadsheets.
	if line, _ := l.next(); len(line) == 5 && strings.EqualFold(line[:4], "sep=") {
		delims = []byte{line[4]}
	} else {
		l = lines{text: text}
	}
	if o.Delimiter != 0 {
		delims = []byte{o.Delimiter}
	}
	var best *shape
	for _, d := range delims {
		if s := tableUnder(l, d); s != nil && (best == nil || len(s.sample) > len(best.sample)) {
			best = s
		}
	}
	if best == nil {
		r.whole(protocol.Error, "no_table", args{"most": MostPreamble}, "table")
		return nil, false
	}
	return best, best.findMark(o, r) && best.holdHeader(r)
}

// tableUnder finds the first row that another row of the same width follows,
// or that ends the file; nil where there is none.
func tableUnder(l lines, delim byte) *shape {
	var lone *shape // a row with no other behind it
	var above []string
	for {
		before := l
		line, ok := l.next()
		if !ok || l.number > MostPreamble {
			return lone
		}
		cells, closed := splitShort(line, delim)
		if closed && isRow(cells) {
			s := &shape{text: l.text, delim: delim, width: len(cells), begin: before, preamble: above,
				first: spot{l.number, line, -1, delim}, sample: [][]string{cells}}
			s.findHeader()
			s.lookAhead(l)
			if len(s.sample) > 1 {
				return s
			}
			if lone == nil {
				lone = s
			}
		}
		above = append(above, line)
	}
}

// lookAhead samples the rows behind the first, as long as they are no wider.
func (s *shape) lookAhead(l lines) {
	for len(s.sample) < sampleRows {
		line, ok := l.next()
		if !ok || len(line) > MostLine {
			return
		}
		if trim(line) == "" {
			continue
		}
		cells, closed := split(line, s.delim, nil)
		if !closed || len(cells) < 2 || len(cells) > s.width && !blank(cells[s.width:]) || !isRow(cells) && kindOf(cells[0]) == words {
			return
		}
		for len(cells) < s.width {
			cells = append(cells, "")
		}
		s.sample = append(s.sample, cells[:s.width])
	}
}

// findHeader takes the last line above the table that has more than one cell as
// the names of its columns, and where that holds units only, the one above it too.
func (s *shape) findHeader() {
	s.names = make([]string, s.width)
	for i := len(s.preamble) - 1; i >= 0; i-- {
		if trim(s.preamble[i]) == "" {
			continue
		}
		cells, _ := splitShort(s.preamble[i], s.delim)
		if len(cells) < 2 {
			return
		}
		unitsOnly := true
		for _, c := range cells {
			unitsOnly = unitsOnly && (c == "" || unitWord(c) != NoUnit || timeUnitWord(c) != NoTimeUnit || otherName.MatchString(c))
		}
		if s.header.line == 0 {
			s.widen(len(cells))
			s.header = spot{s.begin.number - len(s.preamble) + i + 1, s.preamble[i], -1, s.delim}
		}
		for j := range min(len(cells), len(s.names)) {
			s.names[j] = trim(cells[j] + " " + s.names[j])
		}
		if !unitsOnly {
			return
		}
	}
}

// widen makes the table as wide as its header: the first row may lack cells.
func (s *shape) widen(width int) {
	for ; s.width < width; s.width++ {
		s.names, s.sample[0] = append(s.names, ""), append(s.sample[0], "")
	}
}

// holdHeader refuses a header that names fewer columns than rows have: nobody
// knows which.
func (s *shape) holdHeader(r *report) bool {
	if s.header.line == 0 {
		return true
	}
	used := func(cells []string) int {
		for len(cells) > 0 && cells[len(cells)-1] == "" {
			cells = cells[:len(cells)-1]
		}
		return len(cells)
	}
	width := 0
	for _, row := range s.sample {
		width = max(width, used(row))
	}
	if named := used(s.names); named < width {
		r.add(protocol.Error, "header_narrow", s.header, args{"named": named, "width": width}, "header_narrow", nil)
		return false
	}
	return true
}

// findMark finds the decimal mark. Commas cannot be told apart where they both
// separate cells and decimals.
func (s *shape) findMark(o Options, r *report) bool {
	dots, commas := 0, 0
	var odd string
	for _, row := range s.sample {
		for _, c := range row {
			if kindOf(c) != numeric {
				continue
			}
			dot, comma := strings.Contains(c, "."), strings.Contains(c, ",")
			if dot {
				dots++
			}
			if comma {
				commas++
				odd = c
			}
		}
	}
	s.mark = '.'
	if commas > 0 && dots == 0 {
		s.mark = ','
	}
	if o.Decimal != 0 {
		s.mark = o.Decimal
	}
	if o.Decimal == 0 && dots > 0 && commas > 0 {
		r.add(protocol.Error, "decimal_mixed", s.first, args{"found": short(odd)}, "decimal", nil)
		return false
	}
	if s.delim == ',' && o.Decimal == 0 && o.Delimiter == 0 && dots == 0 && commas == 0 && s.splitsDecimals() {
		r.add(protocol.Error, "comma_twice", s.first, nil, "comma_twice", nil)
		return false
	}
	return true
}

// splitsDecimals tells whether a table between commas may have decimal commas
// too: whole numbers only, and more of them than the header names, or no header
// and an even number of them behind the time.
func (s *shape) splitsDecimals() bool {
	if s.header.line != 0 {
		cells, _ := split(s.header.text, s.delim, nil)
		return len(cells) < s.width
	}
	return s.width >= 3 && s.width%2 == 1
}
