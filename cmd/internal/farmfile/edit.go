package farmfile

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// Set writes one value into a file and leaves every other byte as it is. The
// key is a path as described at the package; the value is a text, a whole
// number, true or false, or a list of them. A key that is there gets the new
// value in place of the old. One that is not is added behind the last key of
// its table; a table that is not there, at the end of the file; and the item
// behind the last of a list is added to the list. The result is read again:
// if anything but that value were to change, Set returns an error instead.
func Set(src []byte, key string, value any) ([]byte, error) {
	steps, ok := parsePath(key)
	if !ok {
		return nil, fmt.Errorf("farmfile: %q is no path of a key", key)
	}
	v, err := plainValue(reflect.ValueOf(value))
	if err != nil {
		return nil, err
	}
	before, x, err := readable(src)
	if err != nil {
		return nil, fmt.Errorf("farmfile: the file to write into: %w", err)
	}
	e := edit{index: x, value: v}
	at, with, err := e.plan(steps)
	if err != nil {
		return nil, fmt.Errorf("farmfile: %s: %w", key, err)
	}
	out := slices.Concat(src[:at.start], []byte(with), src[at.end:])
	after, _, err := readable(out)
	if err != nil {
		return nil, fmt.Errorf("farmfile: %s: the file would not be readable: %w", key, err)
	}
	if want, ok := put(before, steps, v); !ok || !same(want, after) {
		return nil, fmt.Errorf("farmfile: %s: more than that would change", key)
	}
	return out, nil
}

// readable decodes a file that must be free of faults.
func readable(src []byte) (map[string]any, *index, error) {
	if len(src) > mostBytes {
		return nil, nil, errTooLarge
	}
	if rule, _ := foreign(src); rule != "" {
		return nil, nil, errors.New(rule)
	}
	if at, bad := badByte(src); bad {
		return nil, nil, fmt.Errorf("byte %d is 0x%02X", at, src[at])
	}
	x, slips := scan(src)
	if len(slips) > 0 {
		return nil, nil, fmt.Errorf("line %d: %s", x.line(slips[0].start)+1, slips[0].rule)
	}
	tree, err := decode(src)
	return tree, x, err
}

// edit is one change to a file: bytes to take out, and text to put there.
type edit struct {
	*index
	value any
}

// text is the new value; a text keeps the single quotes that the old one had.
func (e edit) text(old span) string {
	s, isText := e.value.(string)
	was := e.src[old.start:old.end]
	if isText && bytes.HasPrefix(was, []byte("'")) && !bytes.HasPrefix(was, []byte("'''")) &&
		!strings.ContainsFunc(s, func(r rune) bool { return r == '\'' || r < ' ' || r == 0x7F }) {
		return "'" + s + "'"
	}
	return encode(e.value)
}

func (e edit) plan(steps []step) (span, string, error) {
	n := e.root
	for i, s := range steps {
		next := n.at(s)
		if next == nil {
			return e.add(n, steps, i)
		}
		n = next
	}
	if n.kind == tables || n.kind == table {
		return span{}, "", errors.New("is a table: name the key in it")
	}
	return n.value, e.text(n.value), nil
}

// add plans a key that is not there: steps[:i] lead to n, the rest is new.
func (e edit) add(n *node, steps []step, i int) (span, string, error) {
	rest := steps[i:]
	if rest[0].item >= 0 {
		return e.addItem(n, steps, i)
	}
	names := make([]string, len(rest))
	for j, s := range rest {
		if s.item >= 0 {
			return span{}, "", errors.New("a list cannot be begun in the middle")
		}
		names[j] = keyName(s.name)
	}
	pair := strings.Join(names, ".") + " = " + encode(e.value)
	switch {
	case n.kind != table:
		return span{}, "", errors.New("there is a value where a table would have to be")
	case n.braces || n.section != nil && n.section.braces:
		return e.addInBraces(n, pair)
	case n.section != nil:
		for j := len(n.dotted) - 1; j >= 0; j-- {
			pair = keyName(n.dotted[j]) + "." + pair
		}
		return e.behind(n, pair)
	case len(rest) == 1 && n == e.root:
		return e.addTop(pair)
	case len(rest) == 1 && n.header, slices.ContainsFunc(steps, func(s step) bool { return s.item >= 0 }):
		// In an item of a list a table is written as dotted keys: a header
		// would belong to the last item.
		return e.behind(n, pair)
	}
	var header []string
	for _, s := range steps[:len(steps)-1] {
		header = append(header, keyName(s.name))
	}
	return e.atEnd("["+strings.Join(header, ".")+"]", keyName(steps[len(steps)-1].name)+" = "+encode(e.value))
}

// eol is the line end that the file has around an offset.
func (e edit) eol(at int) string {
	if i := bytes.IndexByte(e.src[at:], '\n'); i >= 0 {
		if at+i > 0 && e.src[at+i-1] == '\r' {
			return "\r\n"
		}
		return "\n"
	}
	if bytes.Contains(e.src, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

// behind puts a line behind the last line of a table, before blank lines and
// comments that lead to what follows, with the indent of its last key.
func (e edit) behind(n *node, pair string) (span, string, error) {
	indent := ""
	from := n.lastKey
	if from < 0 {
		from = n.value.start
	}
	line := e.src[e.starts[e.line(from)]:from]
	if len(bytes.Trim(line, " \t")) == 0 {
		indent = string(line)
	}
	end := e.lineSpan(e.line(n.last)).end
	return span{end, end}, e.eol(end) + indent + pair, nil
}

// addTop puts a key at the top of a file, where it belongs to no table.
func (e edit) addTop(pair string) (span, string, error) {
	if e.root.lastKey >= 0 {
		return e.behind(e.root, pair)
	}
	if len(e.root.items) == 0 { // nothing but comments
		return e.atEnd(pair)
	}
	// Before the comment that leads to the first header, unless that comment
	// begins the file: then it is about the file.
	first := e.line(e.root.items[0].first())
	at := first
	for at > 0 && bytes.HasPrefix(bytes.TrimLeft(e.src[e.starts[at-1]:], " \t"), []byte("#")) {
		at--
	}
	if at == 0 {
		at = first
	}
	eol := e.eol(e.starts[at])
	return span{e.starts[at], e.starts[at]}, pair + eol + eol, nil
}

// first is where the first header of a table stands.
func (n *node) first() int {
	at := n.value.start
	for _, c := range n.items {
		if c.kind == table || c.kind == tables {
			at = min(at, c.first())
		}
	}
	return at
}

// atEnd puts lines at the end of the file, a blank line before them.
func (e edit) atEnd(lines ...string) (span, string, error) {
	eol := e.eol(0)
	text := strings.Join(lines, eol) + eol
	end := len(e.src)
	if end > 0 {
		text = eol + text
		if e.src[end-1] != '\n' {
			text = eol + text
		}
	}
	return span{end, end}, text, nil
}

// addInBraces adds a key to { … }.
func (e edit) addInBraces(n *node, pair string) (span, string, error) {
	if !n.braces {
		for j := len(n.dotted) - 1; j >= 0; j-- {
			pair = keyName(n.dotted[j]) + "." + pair
		}
	}
	if len(n.items) > 0 {
		return span{n.last, n.last}, ", " + pair, nil
	}
	at := n.value.start + 1
	if e.src[at] == '}' {
		pair += " "
	}
	return span{at, at}, " " + pair, nil
}

// addItem adds the item behind the last of a list.
func (e edit) addItem(n *node, steps []step, i int) (span, string, error) {
	if n.kind != list && n.kind != tables || steps[i].item != len(n.items) {
		return span{}, "", fmt.Errorf("there is no item %d to write to", steps[i].item)
	}
	if n.kind == list {
		if i != len(steps)-1 {
			return span{}, "", errors.New("a table in a list of values cannot be begun here")
		}
		if len(n.items) == 0 {
			return span{n.value.start + 1, n.value.start + 1}, encode(e.value), nil
		}
		end := n.items[len(n.items)-1].value.end
		return span{end, end}, ", " + encode(e.value), nil
	}
	if i != len(steps)-2 || steps[i+1].item >= 0 {
		return span{}, "", errors.New("name one key of the new table")
	}
	var header []string
	for _, s := range steps[:i] {
		if s.item < 0 {
			header = append(header, keyName(s.name))
		}
	}
	end := e.lineSpan(e.line(n.end())).end
	eol := e.eol(end)
	return span{end, end}, eol + eol + "[[" + strings.Join(header, ".") + "]]" + eol +
		keyName(steps[i+1].name) + " = " + encode(e.value), nil
}

// end is behind the last value in a table and all under it.
func (n *node) end() int {
	at := n.last
	for _, c := range n.items {
		if c.kind == table || c.kind == tables {
			at = max(at, c.end())
		}
	}
	return at
}
