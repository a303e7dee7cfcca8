package farmfile

import (
	"sort"
	"strconv"
	"strings"
)

// span is a piece of a file, in bytes, the end not included.
type span struct{ start, end int }

// nodeKind is what stands under a key.
type nodeKind uint8

const (
	leaf   nodeKind = iota + 1 // a text, a number, true or false, a date
	list                       // [ … ] behind an equals sign
	table                      // [header], dotted.key or { … }
	tables                     // [[header]], one item a header
)

// node is one key of a file with the places where it and its value stand.
type node struct {
	kind   nodeKind
	name   string
	key    span // the key, or this part of a dotted key or of a header
	value  span // what stands behind the equals sign; for a table its header or key
	header bool // a [header] of its own
	braces bool // { … }
	opened bool // may not be opened again by a header

	section *node    // for a table of dotted keys: the table in which they are written
	dotted  []string // and its name from there
	lastKey int      // where the line of the last key of this table begins, -1 for none
	last    int      // where the last value of this table ends, else its header

	items  []*node // in the order of the file
	byName map[string]*node
}

func newNode(kind nodeKind, name string, key span) *node {
	return &node{kind: kind, name: name, key: key, value: key, lastKey: -1, last: key.end}
}

func (n *node) child(name string) *node { return n.byName[name] }

func (n *node) add(c *node) *node {
	n.items = append(n.items, c)
	if n.kind == table {
		if n.byName == nil {
			n.byName = map[string]*node{}
		}
		n.byName[c.name] = c
	}
	return c
}

// step is one part of a path: a name, or the number of an item counted from 0.
type step struct {
	name string
	item int // -1 for a name
}

// parsePath reads "substrate.ingredient[1].share_dm". A name that is no bare
// key stands in double quotes. The second result is false for anything else.
func parsePath(path string) ([]step, bool) {
	var out []step
	for i := 0; i < len(path); {
		switch c := path[i]; {
		case c == '[':
			end := strings.IndexByte(path[i:], ']')
			if end < 0 || len(out) == 0 {
				return nil, false
			}
			n, err := strconv.Atoi(path[i+1 : i+end])
			if err != nil || n < 0 {
				return nil, false
			}
			out = append(out, step{item: n})
			i += end + 1
			if i < len(path) && path[i] != '.' && path[i] != '[' {
				return nil, false
			}
			continue
		case c == '.':
			if i == 0 || i == len(path)-1 || path[i+1] == '.' || path[i+1] == '[' {
				return nil, false
			}
			i++
		case len(out) > 0 && path[i-1] != '.':
			return nil, false
		}
		if path[i] == '"' {
			quoted, err := strconv.QuotedPrefix(path[i:])
			if err != nil {
				return nil, false
			}
			name, err := strconv.Unquote(quoted)
			if err != nil {
				return nil, false
			}
			out = append(out, step{name: name, item: -1})
			i += len(quoted)
			continue
		}
		end := i
		for end < len(path) && isBare(path[end]) {
			end++
		}
		if end == i {
			return nil, false
		}
		out = append(out, step{name: path[i:end], item: -1})
		i = end
	}
	return out, len(out) > 0
}

// under is the path of a key of a table.
func under(path, name string) string {
	if path == "" {
		return pathName(name)
	}
	return path + "." + pathName(name)
}

func pathName(name string) string {
	if isBareName(name) {
		return name
	}
	return strconv.Quote(name)
}

func isBareName(name string) bool {
	for i := 0; i < len(name); i++ {
		if !isBare(name[i]) {
			return false
		}
	}
	return name != ""
}

func isBare(c byte) bool {
	return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '_' || c == '-'
}

// plain is a path without the numbers of items, for a message that gives the
// line anyway.
func plain(path string) string {
	steps, ok := parsePath(path)
	if !ok {
		return path
	}
	out := ""
	for _, s := range steps {
		if s.item < 0 {
			out = under(out, s.name)
		}
	}
	return out
}

// index knows where each key of a file stands.
type index struct {
	src    []byte
	root   *node
	starts []int // of lines
	runes  []int // characters before each block of runeBlock bytes
}

const runeBlock = 1024

func newIndex(src []byte) *index {
	x := &index{src: src, root: newNode(table, "", span{}), starts: []int{0}}
	x.root.opened = true
	count := 0
	for i, c := range src {
		if i%runeBlock == 0 {
			x.runes = append(x.runes, count)
		}
		if c&0xC0 != 0x80 {
			count++
		}
		if c == '\n' {
			x.starts = append(x.starts, i+1)
		}
	}
	x.runes = append(x.runes, count)
	return x
}

// characters counts those before an offset. It reads at most one block, so a
// file of one long line costs no more than one of many.
func (x *index) characters(at int) int {
	block := min(at/runeBlock, len(x.runes)-1)
	n := x.runes[block]
	for _, c := range x.src[min(block*runeBlock, at):at] {
		if c&0xC0 != 0x80 {
			n++
		}
	}
	return n
}

// line is the number of the line that an offset is on, from 0.
func (x *index) line(at int) int {
	return sort.Search(len(x.starts), func(i int) bool { return x.starts[i] > at }) - 1
}

// lineSpan is a line without its line end.
func (x *index) lineSpan(line int) span {
	s := span{x.starts[line], len(x.src)}
	if line+1 < len(x.starts) {
		s.end = x.starts[line+1] - 1
		if s.end > s.start && x.src[s.end-1] == '\r' {
			s.end--
		}
	}
	return s
}

func (n *node) at(s step) *node {
	switch {
	case s.item < 0:
		return n.child(s.name)
	case (n.kind == list || n.kind == tables) && s.item < len(n.items):
		return n.items[s.item]
	}
	return nil
}
