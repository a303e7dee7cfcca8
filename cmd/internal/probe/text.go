package probe

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"bottlecrop/cmd/internal/protocol"
)

// decode turns a file into text: UTF-8 with or without a byte order mark, or
// Latin-1, in which the degree sign is one byte. Lines end in LF, CRLF or CR.
func decode(data []byte, r *report) (string, bool) {
	if len(data) > MostBytes {
		r.whole(protocol.Error, "large", args{"most": MostBytes >> 20}, "large")
		return "", false
	}
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	if len(bytes.TrimSpace(data)) == 0 {
		r.whole(protocol.Error, "empty", nil, "table")
		return "", false
	}
	if bytes.HasPrefix(data, []byte("\xFF\xFE")) || bytes.HasPrefix(data, []byte("\xFE\xFF")) {
		r.whole(protocol.Error, "utf16", nil, "utf8")
		return "", false
	}
	if bytes.IndexByte(data, '\n') < 0 {
		data = bytes.ReplaceAll(data, []byte{'\r'}, []byte{'\n'})
	}
	utf := utf8.Valid(data)
	for i, b := range data {
		ok := b >= ' ' && b != 0x7f || b == '\n' || b == '\t' || b == '\r' && i+1 < len(data) && data[i+1] == '\n'
		if !utf && b >= 0x80 && b < 0xa0 {
			ok = false // Latin-1 has control characters there
		}
		if b == '\r' && i+1 == len(data) {
			ok = true
		}
		if !ok {
			line := bytes.Count(data[:i], []byte{'\n'}) + 1
			r.add(protocol.Error, "byte", spot{line: line, cell: -1}, args{"byte": printable(b)}, "utf8", nil)
			return "", false
		}
	}
	if utf {
		return string(data), true
	}
	var out strings.Builder
	out.Grow(len(data) + len(data)/8)
	for _, b := range data {
		out.WriteRune(rune(b))
	}
	r.whole(protocol.Note, "latin1", nil, "")
	return out.String(), true
}

// lines walks the lines of a text.
type lines struct {
	text   string
	at     int // offset of the next line
	number int // of the line that next returned, from 1
}

func (l *lines) next() (string, bool) {
	if l.at >= len(l.text) {
		return "", false
	}
	l.number++
	line := lineAt(l.text, l.at)
	l.at += len(line)
	if l.at < len(l.text) && l.text[l.at] == '\r' {
		l.at++
	}
	l.at++ // the line feed, or past the end
	return line, true
}

// lineAt is the line that begins at an offset, without its end.
func lineAt(text string, at int) string {
	line := text[at:]
	if i := strings.IndexByte(line, '\n'); i >= 0 {
		line = line[:i]
	}
	return strings.TrimSuffix(line, "\r")
}

// split cuts a line into cells, trimmed and without their quotes; it reports
// false where a quote is not closed on the line.
func split(line string, delim byte, cells []string) ([]string, bool) {
	if strings.IndexByte(line, '"') < 0 {
		for {
			i := strings.IndexByte(line, delim)
			if i < 0 {
				return append(cells, trim(line)), true
			}
			cells = append(cells, trim(line[:i]))
			line = line[i+1:]
		}
	}
	for at := 0; ; {
		end, closed := cellEnd(line, delim, at)
		if !closed {
			return cells, false
		}
		cell := trim(line[at:end])
		if len(cell) >= 2 && cell[0] == '"' && cell[len(cell)-1] == '"' {
			cell = trim(strings.ReplaceAll(cell[1:len(cell)-1], `""`, `"`))
		}
		cells = append(cells, cell)
		if end == len(line) {
			return cells, true
		}
		at = end + 1
	}
}

// splitShort is split for a line that may be of any length: no row is longer
// than MostLine.
func splitShort(line string, delim byte) ([]string, bool) {
	if len(line) > MostLine {
		return nil, false
	}
	return split(line, delim, nil)
}

// cellEnd is where the cell that begins at an offset ends: a delimiter or the
// end of the line, outside quotes. A quote opens at the begin of a cell only.
func cellEnd(line string, delim byte, at int) (end int, closed bool) {
	begin := at
	for begin < len(line) && line[begin] == ' ' {
		begin++
	}
	quoted := false
	if begin < len(line) && line[begin] == '"' {
		quoted = true
		begin++
	}
	for i := begin; i < len(line); i++ {
		switch {
		case quoted && line[i] == '"' && i+1 < len(line) && line[i+1] == '"':
			i++
		case quoted && line[i] == '"':
			quoted = false
		case !quoted && line[i] == delim:
			return i, true
		}
	}
	return len(line), !quoted
}

// cellAt is where a cell lies in its line, in bytes; the end of the line for a
// cell that is not there.
func cellAt(line string, delim byte, cell int) (from, to int) {
	for i := 0; ; i++ {
		end, _ := cellEnd(line, delim, from)
		if i == cell {
			return from, end
		}
		if end >= len(line) {
			return len(line), len(line)
		}
		from = end + 1
	}
}

// trim takes spaces off, those that do not break included.
func trim(s string) string {
	if s == "" || s[0] > ' ' && s[0] < 0x80 && s[len(s)-1] > ' ' && s[len(s)-1] < 0x80 {
		return s
	}
	return strings.Trim(s, " \t\u00a0\u202f")
}
