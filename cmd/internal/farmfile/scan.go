package farmfile

import (
	"bytes"
	"regexp"
	"strings"

	"github.com/BurntSushi/toml"
)

// mostDepth is how deep tables and lists may stand in one another. The
// deepest value that a farm can write is at depth 3.
const mostDepth = 16

// slip is a place where a file stops being TOML.
type slip struct {
	span
	rule   string // of the finding: "toml.quote", "file.deep"
	args   args
	hint   string
	with   args
	origin string // path of the key, where one is known
}

// scanner finds the place of every key. It reads the same language as the
// decoder, which a fuzz test holds it to, but leaves to the decoder to say
// whether a number or an escape is well formed. The decoder gets to see only
// what was scanned to its end, so no text can send it deeper than mostDepth.
type scanner struct {
	*index
	pos     int
	section *node
	depth   int    // of section
	path    string // of section
	inside  int    // brackets and braces open
	slips   []slip
	stopped bool
	// named, where it is set, gets each name of each key and header with its path. The
	// index keeps the first place of a table's name alone.
	named func(path string, p part)
}

// scan indexes a file. Keys written twice are all reported; any other slip
// ends the scan.
func scan(src []byte) (*index, []slip) { return scanNaming(src, nil) }

// scanNaming is scan that calls named besides.
func scanNaming(src []byte, named func(path string, p part)) (*index, []slip) {
	s := &scanner{index: newIndex(src), named: named}
	s.section = s.root
	for !s.stopped {
		s.skipSpace(true)
		if s.pos >= len(s.src) {
			break
		}
		if s.src[s.pos] == '[' {
			s.scanHeader()
		} else {
			s.scanPair(s.section, s.depth, s.path)
		}
		s.endLine()
	}
	return s.index, s.slips
}

func (s *scanner) stop(rule string, at span, a args, hint string, with args) {
	if s.stopped {
		return
	}
	s.stopped = true
	s.slips = append(s.slips, slip{span: at, rule: rule, args: a, hint: hint, with: with})
}

func (s *scanner) peek() byte {
	if s.pos < len(s.src) {
		return s.src[s.pos]
	}
	return 0
}

func (s *scanner) starts3(q string) bool { return bytes.HasPrefix(s.src[s.pos:], []byte(q)) }

// skipSpace skips blanks, and where lines may end also comments and line ends.
func (s *scanner) skipSpace(lines bool) {
	for s.pos < len(s.src) {
		switch c := s.src[s.pos]; {
		case c == ' ' || c == '\t':
			s.pos++
		case lines && (c == '\n' || c == '\r'):
			s.pos++
		case lines && c == '#':
			s.skipComment()
		default:
			return
		}
	}
}

func (s *scanner) skipComment() {
	if end := bytes.IndexByte(s.src[s.pos:], '\n'); end >= 0 {
		s.pos += end
		return
	}
	s.pos = len(s.src)
}

// endLine wants nothing but a comment behind a value or a header.
func (s *scanner) endLine() {
	if s.stopped {
		return
	}
	s.skipSpace(false)
	switch s.peek() {
	case '#':
		s.skipComment()
	case '\n', '\r':
	default:
		if s.pos < len(s.src) {
			rest := s.restOfLine(s.pos)
			s.stop("toml.after", rest, args{"found": s.text(rest)}, "line", nil)
		}
	}
}

// restOfLine runs from an offset to a comment or the line's end, trimmed; in
// brackets it ends at a comma or a bracket as well.
func (s *scanner) restOfLine(from int) span {
	stops := "#"
	if s.inside > 0 {
		stops = "#,]}"
	}
	text := s.restText(from)
	if i := bytes.IndexAny(text, stops); i > 0 {
		text = text[:i]
	}
	return span{from, from + len(bytes.TrimRight(text, " \t"))}
}

func (s *scanner) text(at span) string { return clip(string(s.src[at.start:at.end])) }

// part is one name of a dotted key.
type part struct {
	name string
	span
}

func (s *scanner) name(path string, p part) {
	if s.named != nil {
		s.named(path, p)
	}
}

// scanKey reads a dotted key.
func (s *scanner) scanKey(depth int) []part {
	var out []part
	for {
		s.skipSpace(false)
		from := s.pos
		var name string
		switch c := s.peek(); {
		case c == '"' || c == '\'':
			if !s.scanLine(c) {
				return nil
			}
			name = unquoteKey(string(s.src[from:s.pos]))
		default:
			for s.pos < len(s.src) && isBare(s.src[s.pos]) {
				s.pos++
			}
			if s.pos == from {
				rest := s.restOfLine(from)
				s.stop("toml.key", rest, args{"found": s.text(rest)}, "key", nil)
				return nil
			}
			name = string(s.src[from:s.pos])
		}
		out = append(out, part{name, span{from, s.pos}})
		if depth+len(out) > mostDepth {
			s.tooDeep(from)
			return nil
		}
		s.skipSpace(false)
		if s.peek() != '.' {
			return out
		}
		s.pos++
	}
}

func (s *scanner) tooDeep(at int) {
	s.stop("file.deep", span{at, at + 1}, args{"most": mostDepth}, "deep", nil)
}

// unquoteKey lets the decoder read a quoted key that has escapes in it; where
// it is no good, the decoder will say so again when it reads the file.
func unquoteKey(quoted string) string {
	body := quoted[1 : len(quoted)-1]
	if quoted[0] == '\'' || !strings.Contains(body, `\`) {
		return body
	}
	var v struct{ K string }
	if _, err := toml.Decode("K = "+quoted, &v); err != nil {
		return body
	}
	return v.K
}

// scanLine passes over a text on one line; false when it is not closed there.
func (s *scanner) scanLine(quote byte) bool {
	from := s.pos
	for s.pos++; s.pos < len(s.src); s.pos++ {
		switch c := s.src[s.pos]; {
		case c == quote:
			s.pos++
			return true
		case c == '\\' && quote == '"' && s.pos+1 < len(s.src) && s.src[s.pos+1] != '\n':
			s.pos++
		}
		if s.pos < len(s.src) && s.src[s.pos] == '\n' {
			break
		}
	}
	rest := span{from, s.lineSpan(s.line(from)).end}
	s.stop("toml.quote", rest, args{"found": s.text(rest)}, "quote", args{"quote": string(quote)})
	return false
}

// scanLines passes over a text in three quotes; up to two more quotes may
// stand before the closing three.
func (s *scanner) scanLines(quote byte) {
	from := s.pos
	for s.pos += 3; s.pos < len(s.src); {
		switch c := s.src[s.pos]; {
		case c == '\\' && quote == '"':
			s.pos += 2
		case c == quote:
			run := 1
			for run < 5 && s.pos+run < len(s.src) && s.src[s.pos+run] == quote {
				run++
			}
			s.pos += run
			if run >= 3 {
				return
			}
		default:
			s.pos++
		}
	}
	s.pos = len(s.src)
	three := strings.Repeat(string(quote), 3)
	s.stop("toml.quote", span{from, from + 3}, args{"found": three}, "quote_lines", args{"quote": three})
}

// scanValue reads what stands behind an equals sign or in a list.
func (s *scanner) scanValue(n *node, depth int, path string) {
	from := s.pos
	n.kind = leaf
	switch c := s.peek(); {
	case s.starts3(`"""`) || s.starts3("'''"):
		s.scanLines(c)
	case c == '"' || c == '\'':
		s.scanLine(c)
	case c == '[' || c == '{':
		if depth >= mostDepth {
			s.tooDeep(from)
			return
		}
		s.inside++
		if c == '[' {
			s.scanList(n, depth+1, path)
		} else {
			s.scanBraces(n, depth+1, path)
		}
		s.inside--
	default:
		s.scanBare(n)
	}
	n.value = span{from, s.pos}
}

var (
	dateAlone = regexp.MustCompile(`^\d{4}-\d\d-\d\d$`)
	timeFirst = regexp.MustCompile(`^ \d\d:\d\d[^,\]}#\s]*`)
	bareValue = regexp.MustCompile(`^(?:true|false|[+-]?(?:inf|nan)|[+-]?[0-9][0-9A-Fa-f_.:+\-xoTtZz]*)$`)
)

// scanBare reads a number, a date, true or false.
func (s *scanner) scanBare(n *node) {
	from := s.pos
	for s.pos < len(s.src) && !bytes.ContainsRune([]byte(",]}# \t\r\n"), rune(s.src[s.pos])) {
		s.pos++
	}
	word := s.src[from:s.pos]
	if dateAlone.Match(word) {
		s.pos += len(timeFirst.Find(s.src[s.pos:]))
	}
	if bareValue.Match(word) {
		s.quantityWithoutQuotes(n, from)
		return
	}
	s.notAValue(n, from)
}

var unitBehind = regexp.MustCompile(`^[ \t]+[%°A-Za-zµ][^,#\]}"'=]*`)

// quantityWithoutQuotes catches the likeliest slip of all: hold = 90 min.
func (s *scanner) quantityWithoutQuotes(n *node, from int) {
	rest := s.restText(s.pos)
	behind := unitBehind.Find(rest)
	if behind == nil || bytes.HasPrefix(rest[len(behind):], []byte("=")) {
		return
	}
	at := span{from, s.pos + len(bytes.TrimRight(behind, " \t"))}
	s.stop("toml.bare", at, args{"key": n.name, "found": s.text(at)}, "bare",
		args{"example": s.example(n, `"`+s.text(at)+`"`)})
}

func (s *scanner) restText(from int) []byte {
	return s.src[from:max(from, s.lineSpan(s.line(from)).end)]
}

func (s *scanner) example(n *node, value string) string {
	if n.name == "" {
		return value
	}
	return keyName(n.name) + " = " + value
}

// notAValue says what is wrong with a value that no quote, bracket or digit begins.
func (s *scanner) notAValue(n *node, from int) {
	rest := s.restOfLine(min(from, len(s.src)))
	found := s.text(rest)
	switch {
	case rest.start == rest.end || s.pos == from:
		s.stop("toml.value", rest, args{"key": n.name}, "value", args{"example": s.example(n, `"…"`)})
	case strings.ContainsAny(found, "“”„«»‘’"):
		inside := strings.Trim(found, "“”„«»‘’\"' ")
		s.stop("toml.curly", rest, args{"key": n.name, "found": found}, "curly",
			args{"example": s.example(n, `"`+inside+`"`)})
	case strings.EqualFold(found, "true") || strings.EqualFold(found, "false"):
		s.stop("toml.bare", rest, args{"key": n.name, "found": found}, "bare",
			args{"example": s.example(n, strings.ToLower(found))})
	default:
		found = strings.Trim(found, "\"' ")
		s.stop("toml.bare", rest, args{"key": n.name, "found": found}, "bare",
			args{"example": s.example(n, `"`+found+`"`)})
	}
}
