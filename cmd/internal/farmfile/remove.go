package farmfile

import (
	"errors"
	"fmt"
	"slices"
)

// remove takes one table out of a list of tables that each have a [[header]],
// and leaves every other byte as it is but for one blank line beside it. Remarks
// on lines of their own stay, also between the keys of the table: they may be
// about the whole list. The result is read again: if anything but that table
// were to change, remove returns an error instead.
func remove(src []byte, key string) ([]byte, error) {
	steps, ok := parsePath(key)
	if !ok || len(steps) < 2 || steps[len(steps)-1].item < 0 {
		return nil, fmt.Errorf("farmfile: %q is no path of a table in a list", key)
	}
	before, x, err := readable(src)
	if err != nil {
		return nil, fmt.Errorf("farmfile: the file to write into: %w", err)
	}
	n, list := x.root, (*node)(nil)
	for _, s := range steps {
		if list, n = n, n.at(s); n == nil {
			return nil, fmt.Errorf("farmfile: %s: there is no such table", key)
		}
	}
	switch {
	case list.kind != tables:
		return nil, fmt.Errorf("farmfile: %s: is no table with a header of its own", key)
	case len(list.items) == 1:
		return nil, fmt.Errorf("farmfile: %s: is the only one of its list", key)
	case slices.ContainsFunc(n.items, func(c *node) bool { return c.kind == tables || c.header }):
		return nil, fmt.Errorf("farmfile: %s: has tables of its own", key)
	}
	gone := map[int]bool{}
	x.linesOf(n, gone)
	x.blankBeside(gone)
	var out []byte
	for line := range x.starts {
		end := len(src)
		if line+1 < len(x.starts) {
			end = x.starts[line+1]
		}
		if !gone[line] {
			out = append(out, src[x.starts[line]:end]...)
		}
	}
	after, _, err := readable(out)
	if err != nil {
		return nil, fmt.Errorf("farmfile: %s: the file would not be readable: %w", key, err)
	}
	if !takeOut(before, steps) || !same(before, after) {
		return nil, fmt.Errorf("farmfile: %s: more than that would change", key)
	}
	return out, nil
}

// linesOf marks the lines of a table: its header, and each key with its value.
func (x *index) linesOf(n *node, lines map[int]bool) {
	mark := func(from, to int) {
		for line := x.line(from); line <= x.line(max(from, to-1)); line++ {
			lines[line] = true
		}
	}
	if n.kind != table || n.header || n.braces {
		mark(min(n.key.start, n.value.start), n.value.end)
	}
	if n.kind == table && !n.braces {
		for _, c := range n.items {
			x.linesOf(c, lines)
		}
	}
}

// blankBeside marks one blank line with the lines that go, where there is one
// on both sides of them, or one before them at the end of the file.
func (x *index) blankBeside(gone map[int]bool) {
	first, last := len(x.starts), -1
	for line := range gone {
		first, last = min(first, line), max(last, line)
	}
	blank := func(line int) bool {
		if line < 0 || line >= len(x.starts) {
			return true
		}
		s := x.lineSpan(line)
		for _, c := range x.src[s.start:s.end] {
			if c != ' ' && c != '\t' {
				return false
			}
		}
		return true
	}
	if last-first+1 != len(gone) {
		return // a remark stays between them; it keeps its distance to what follows
	}
	atEnd := last+1 >= len(x.starts) || x.starts[last+1] == len(x.src)
	switch {
	case atEnd && first > 0 && blank(first-1):
		gone[first-1] = true
	case !atEnd && blank(first-1) && blank(last+1):
		gone[last+1] = true
	}
}

// takeOut removes an item of a list of tables from a tree, in place.
func takeOut(tree map[string]any, steps []step) bool {
	var at any = tree
	for i, s := range steps[:len(steps)-1] {
		if s.item >= 0 {
			list, ok := listOf(at)
			if !ok || s.item >= len(list) {
				return false
			}
			at = list[s.item]
			continue
		}
		t, ok := at.(map[string]any)
		if !ok {
			return false
		}
		if i == len(steps)-2 {
			list, ok := t[s.name].([]map[string]any)
			k := steps[len(steps)-1].item
			if !ok || k >= len(list) {
				return false
			}
			t[s.name] = slices.Delete(slices.Clone(list), k, k+1)
			return true
		}
		at = t[s.name]
	}
	return false
}

// ErrNoFormula is the error of writing a formula into a file that has none: the
// protocol has it from the one that it is based on.
var ErrNoFormula = errors.New("farmfile: the file has no ingredients of its own")
