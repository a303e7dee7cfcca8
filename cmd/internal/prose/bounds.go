package prose

import "bytes"

// Bounds of what is read as Markdown (design choices). Without them a text of some hundred
// kilobytes would keep the program busy for minutes, or fill its memory: the parser takes
// a time that grows with the square of how deep quotes and lists stand in one another, and
// of the signs that may begin a link or emphasis in one paragraph; and each row of a
// table has as many cells as its head. The longest guide that comes with the program
// has 18 kB, 230 lines, lists in quotes 2 deep, 60 signs in a paragraph, and 200 cells.
const (
	MostBytes   = 256 << 10 // of a guide
	MostLines   = 10_000
	MostNesting = 16     // quotes, lists and definitions that begin on one line
	MostMarks   = 2_000  // of the signs [ ] * _ ` < in lines without an empty one between
	MostCells   = 20_000 // of all tables of a text
)

// Excess is a bound that a text goes over.
type Excess struct {
	Of          string // "bytes", "lines", "nesting", "marks" or "cells"
	Line        int    // where, from 1; 0 for the text as a whole
	Found, Most int
}

// TooMuch finds the first bound that a text goes over. It reads each byte once, and errs to
// the side of refusing: what stands in a block of code counts too.
func TooMuch(markdown []byte) (Excess, bool) {
	if n := len(markdown); n > MostBytes {
		return Excess{"bytes", 0, n, MostBytes}, true
	}
	if n := bytes.Count(markdown, []byte("\n")) + 1; n > MostLines {
		return Excess{"lines", 0, n, MostLines}, true
	}
	marks, wide, rows, cells := 0, 0, 0, 0
	number := 0
	for line := range bytes.Lines(markdown) {
		number++
		if n := begun(line); n > MostNesting {
			return Excess{"nesting", number, n, MostNesting}, true
		}
		if len(bytes.TrimSpace(line)) == 0 {
			marks, wide, rows = 0, 0, 0
			continue
		}
		for _, c := range line {
			switch c {
			case '[', ']', '*', '_', '`', '<':
				marks++
			}
		}
		if marks > MostMarks {
			return Excess{"marks", number, marks, MostMarks}, true
		}
		// The widest line so far may be the head of a table, and all others its rows.
		before := wide * rows
		rows++
		if bars := bytes.Count(line, []byte("|")); bars > 0 {
			wide = max(wide, bars+1)
		}
		if cells += wide*rows - before; cells > MostCells {
			return Excess{"cells", number, cells, MostCells}, true
		}
	}
	return Excess{}, false
}

// begun is how many quotes, items and definitions begin on a line, at most.
func begun(line []byte) (n int) {
	if rule := bytes.Trim(line, " \t\r\n"); len(rule) > 0 && (rule[0] == '-' || rule[0] == '*') && len(bytes.Trim(rule, string(rule[0])+" \t")) == 0 {
		return 0 // a line across the page
	}
	blank := func() bool { return len(line) == 0 || bytes.IndexByte([]byte(" \t\r\n"), line[0]) >= 0 }
	for {
		line = bytes.TrimLeft(line, " \t")
		digits := 0
		for digits < len(line) && line[digits] >= '0' && line[digits] <= '9' {
			digits++
		}
		switch {
		case len(line) == 0:
			return n
		case line[0] == '>':
			line = line[1:]
			n++
			continue
		case line[0] == '-', line[0] == '+', line[0] == '*', line[0] == ':':
			line = line[1:]
		case digits > 0 && digits < len(line) && (line[digits] == '.' || line[digits] == ')'):
			line = line[digits+1:]
		default:
			return n
		}
		if !blank() {
			return n
		}
		n++
	}
}
