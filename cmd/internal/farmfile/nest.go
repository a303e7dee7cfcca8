package farmfile

import (
	"bytes"

	"bottlecrop/cmd/internal/protocol"
)

// The half of the scanner that builds the tree of keys: lists, inline tables,
// headers, and keys with their values.

// scanList reads [ … ].
func (s *scanner) scanList(n *node, depth int, path string) {
	n.kind = list
	from := s.pos
	s.pos++
	for !s.stopped {
		s.skipSpace(true)
		if s.closed(n, from, ']') {
			return
		}
		c := newNode(leaf, "", span{s.pos, s.pos})
		s.scanValue(c, depth, protocol.Item(path, len(n.items)))
		c.key = c.value
		n.add(c)
		if s.stopped {
			return
		}
		s.comma(from, ']')
	}
}

// scanBraces reads { … }.
func (s *scanner) scanBraces(n *node, depth int, path string) {
	n.kind, n.braces, n.opened = table, true, true
	from := s.pos
	s.pos++
	for !s.stopped {
		s.skipSpace(true)
		if s.closed(n, from, '}') {
			return
		}
		s.scanPair(n, depth, path)
		if s.stopped {
			return
		}
		s.comma(from, '}')
	}
}

// closed is true behind the closing bracket, and where there is none.
func (s *scanner) closed(n *node, from int, bracket byte) bool {
	switch {
	case s.pos >= len(s.src):
		s.stop("toml.bracket", span{from, from + 1}, args{"found": string(s.src[from])}, "bracket",
			args{"bracket": string(bracket)})
		return true
	case s.peek() == bracket:
		s.pos++
		return true
	case s.peek() == ',':
		s.stop("toml.comma_twice", span{s.pos, s.pos + 1}, args{}, "comma_twice", nil)
		return true
	}
	return false
}

// comma passes over the comma between two items; the last needs none.
func (s *scanner) comma(from int, bracket byte) {
	s.skipSpace(true)
	switch {
	case s.peek() == ',':
		s.pos++
	case s.peek() == bracket || s.pos >= len(s.src):
	default:
		rest := s.restOfLine(s.pos)
		s.stop("toml.comma", span{s.pos, s.pos + 1}, args{"found": s.text(rest)}, "comma",
			args{"bracket": string(bracket)})
	}
}

// scanPair reads key = value into a table.
func (s *scanner) scanPair(in *node, depth int, path string) {
	from := s.pos
	parts := s.scanKey(depth)
	if s.stopped {
		return
	}
	if s.peek() != '=' {
		at := span{from, parts[len(parts)-1].end}
		if s.pos == at.end && !bytes.ContainsRune([]byte("\r\n\x00"), rune(s.peek())) {
			rest, _, _ := bytes.Cut(s.restText(from), []byte("="))
			at.end = from + len(bytes.TrimRight(rest, " \t"))
			s.stop("toml.key", at, args{"found": s.text(at)}, "key", nil)
			return
		}
		s.stop("toml.equals", at, args{"key": s.text(at)}, "equals",
			args{"example": s.text(at) + ` = "…"`})
		return
	}
	s.pos++
	s.skipSpace(false)
	outer, last := parts[:len(parts)-1], parts[len(parts)-1]
	chain := []*node{in}
	for i, p := range outer {
		path = under(path, p.name)
		s.name(path, p)
		next := chain[i].child(p.name)
		switch {
		case next == nil:
			next = chain[i].add(newNode(table, p.name, p.span))
			next.opened, next.section = true, in
			next.dotted = append(append([]string{}, chain[i].dottedFrom(in)...), p.name)
		case next.kind != table || next.braces:
			s.twice(next, p, path)
			next = newNode(table, p.name, p.span) // read on, to find more
		}
		chain = append(chain, next)
	}
	value := newNode(leaf, last.name, last.span)
	path = under(path, last.name)
	s.name(path, last)
	s.scanValue(value, depth+len(parts), path)
	if s.stopped {
		return
	}
	owner := chain[len(chain)-1]
	if before := owner.child(last.name); before != nil {
		s.twice(before, last, path)
		return
	}
	owner.add(value)
	for _, n := range chain {
		n.lastKey, n.last = from, s.pos
	}
}

func (n *node) dottedFrom(section *node) []string {
	if n.section == section {
		return n.dotted
	}
	return nil
}

// twice reports a key that is there already.
func (s *scanner) twice(before *node, p part, path string) {
	if len(s.slips) == mostTold {
		s.stop("file.more", p.span, args{"most": mostTold}, "", nil)
	}
	if s.stopped {
		return
	}
	s.slips = append(s.slips, slip{
		span: p.span, rule: "key.twice", origin: path,
		args: args{"key": plain(path), "line": s.line(before.key.start) + 1},
		hint: "key_twice",
	})
}

// scanHeader reads [a.b] or [[a.b]].
func (s *scanner) scanHeader() {
	from := s.pos
	double := s.starts3("[[")
	open := 1
	if double {
		open = 2
	}
	s.pos += open
	parts := s.scanKey(0)
	if s.stopped {
		return
	}
	for range open {
		if s.peek() != ']' {
			at := span{from, s.lineSpan(s.line(from)).end}
			s.stop("toml.header", at, args{"found": s.text(at)}, "header", nil)
			return
		}
		s.pos++
	}
	at := span{from, s.pos}
	n, path := s.root, ""
	for _, p := range parts[:len(parts)-1] {
		path = under(path, p.name)
		s.name(path, p)
		next := n.child(p.name)
		switch {
		case next == nil:
			next = n.add(newNode(table, p.name, p.span))
		case next.kind == tables:
			path = protocol.Item(path, len(next.items)-1)
			next = next.items[len(next.items)-1]
		case next.kind != table || next.braces:
			s.twice(next, p, path)
			next = newNode(table, p.name, p.span)
		}
		n = next
	}
	last := parts[len(parts)-1]
	path = under(path, last.name)
	s.name(path, last)
	s.section, s.path = s.open(n, last, double, at, path)
	s.depth = len(parts)
}

// open finds or makes the table that a header names.
func (s *scanner) open(in *node, p part, double bool, at span, path string) (*node, string) {
	before := in.child(p.name)
	fresh := newNode(table, p.name, p.span)
	fresh.opened, fresh.header, fresh.value, fresh.last = true, true, at, at.end
	switch {
	case double && before == nil:
		before = in.add(newNode(tables, p.name, p.span))
		before.value = at
		fallthrough
	case double && before.kind == tables:
		before.add(fresh)
		return fresh, protocol.Item(path, len(before.items)-1)
	case before == nil:
		in.add(fresh)
		return fresh, path
	case !double && before.kind == table && !before.opened:
		before.opened, before.header, before.key, before.value, before.last = true, true, p.span, at, at.end
		return before, path
	}
	s.twice(before, p, path)
	return fresh, path
}
