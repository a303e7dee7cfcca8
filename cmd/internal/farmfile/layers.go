package farmfile

import (
	"maps"
	"reflect"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/working"
)

// layers are the documents in which the values of one protocol may stand: its
// own first, then its parent's, and so on. Any other file has one layer.
type layers []*document

// A protocol never inherits these.
var ownKeys = map[string]bool{"format": true, "title": true, "summary": true, "not_in_force": true, "based_on": true, "acknowledge": true, "document": true, "approval": true}

// find walks a path through the layers as the values were merged: a table is
// looked for in all layers, anything else in the first that has it. Where the
// key does not exist, the nearest table around it does, and whole is false.
func (l layers) find(path string) (d *document, n *node, whole bool) {
	steps, ok := parsePath(path)
	type layer struct {
		d *document
		n *node
	}
	var at []layer
	for _, d := range l {
		if d.index != nil {
			at = append(at, layer{d, d.index.root})
		}
	}
	if len(at) == 0 {
		return l[0], nil, false
	}
	if !ok {
		return at[0].d, at[0].n, false
	}
	for i, s := range steps {
		var next []layer
		for j, x := range at {
			if i == 0 && j > 0 && ownKeys[s.name] {
				break
			}
			c := x.n.at(s)
			if c == nil {
				continue
			}
			next = append(next, layer{x.d, c})
			if c.kind != table {
				break
			}
		}
		if len(next) == 0 {
			return at[0].d, at[0].n, false
		}
		at = next
	}
	return at[0].d, at[0].n, true
}

// place is the place of a value, or of its key, and what is written there.
// Where there is none, it is that of the table around it, or the file.
func (l layers) place(path string, onKey bool) (o working.Origin, at protocol.Place, found string) {
	o = working.Origin{Document: l[0].name, Key: path}
	d, n, whole := l.find(path)
	if n == nil || n == d.index.root {
		return o, protocol.Place{File: d.name}, ""
	}
	where := n.value
	if onKey && whole {
		where = n.key
	}
	if whole {
		found = clip(string(d.index.src[n.value.start:n.value.end]))
	}
	return o, d.place(where), found
}

// tree merges the trees of the layers.
func (l layers) tree() map[string]any {
	t := reflect.TypeFor[protocol.Protocol]()
	out := l[len(l)-1].tree
	for i := len(l) - 2; i >= 0; i-- {
		parent := maps.Clone(out)
		for key := range ownKeys {
			delete(parent, key)
		}
		out = overlay(parent, l[i].tree, t)
	}
	return out
}

// overlay puts a child's keys over its parent's: tables are merged key by key,
// lists and single values are replaced as a whole. Of two keys that exclude
// each other, the child's wins: who writes a fill mass does not want the
// parent's density as well. Neither tree is changed.
func overlay(parent, child map[string]any, t reflect.Type) map[string]any {
	out := maps.Clone(parent)
	var fields []field
	if t != nil {
		fields = fieldsOf(t)
	}
	for _, pair := range alternatives(fields) {
		for i, key := range pair {
			_, mine := child[key]
			if _, both := child[pair[1-i]]; mine && !both {
				delete(out, pair[1-i])
			}
		}
	}
	for key, v := range child {
		below, ok := v.(map[string]any)
		above, isTable := out[key].(map[string]any)
		if ok && isTable {
			v = overlay(above, below, tableType(fields, key))
		}
		out[key] = v
	}
	return out
}

// alternatives lists the pairs of keys of which only one may be written.
func alternatives(fields []field) [][2]string {
	var out [][2]string
	for _, f := range fields {
		for _, c := range f.presence {
			if c.tag != "excluded_with" {
				continue
			}
			for _, other := range fields {
				if other.name == c.name {
					out = append(out, [2]string{f.key, other.key})
				}
			}
		}
	}
	return out
}

func tableType(fields []field, key string) reflect.Type {
	for _, f := range fields {
		if f.key != key {
			continue
		}
		t := f.kind
		for t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		if isTable(t) {
			return t
		}
	}
	return nil
}
