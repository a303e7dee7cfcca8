package farmfile

import (
	"reflect"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// field is one key that a table may have, as its Go type declares it.
type field struct {
	key      string // as in TOML
	name     string // of the Go field: other fields' rules use it
	index    []int
	kind     reflect.Type
	presence []condition
	check    string // what the validator is to look at, on the value as a whole
	each     string // and on each item of a list
	method   bool   // can move a step, an amount or a critical limit
}

// mostLine is the longest text that is printed on one line: a name, a code.
const mostLine = 120

var longest = regexp.MustCompile(`(?:^|,)max=([0-9]+)`)

// oneLine reports whether a text is too short for more than a line of print. A line
// break in it would tear a table of the terminal, and a row of a card.
func (f field) oneLine() bool {
	m := longest.FindStringSubmatch(f.check)
	if m == nil {
		return false
	}
	most, _ := strconv.Atoi(m[1]) // digits alone
	return most <= mostLine
}

// condition is one rule on whether a key must or may be there.
type condition struct {
	tag   string // "required", "required_unless", …
	name  string // of the other Go field, where there is one
	value string // of that field
}

var fieldCache sync.Map // reflect.Type to []field

// fieldsOf lists the keys of a struct type; embedded structs lend theirs.
func fieldsOf(t reflect.Type) []field {
	if cached, ok := fieldCache.Load(t); ok {
		return cached.([]field)
	}
	var out []field
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			for _, inner := range fieldsOf(f.Type) {
				inner.index = append([]int{i}, inner.index...)
				out = append(out, inner)
			}
			continue
		}
		key := f.Tag.Get("toml")
		if key == "" || key == "-" {
			continue
		}
		x := field{key: key, name: f.Name, index: []int{i}, kind: f.Type,
			method: f.Tag.Get("method") != "-"}
		x.presence, x.check, x.each = splitTag(f.Tag.Get("validate"))
		out = append(out, x)
	}
	fieldCache.Store(t, out)
	return out
}

// splitTag takes apart what the validator would decide from a zero value.
// Whether a key is there is seen in the file: "0 %" is there.
func splitTag(tag string) (presence []condition, check, each string) {
	var checks []string
	for t := range strings.SplitSeq(tag, ",") {
		name, param, _ := strings.Cut(t, "=")
		switch name {
		case "required", "required_unless", "required_with", "required_without", "excluded_with":
			other, value, _ := strings.Cut(param, " ")
			presence = append(presence, condition{name, other, value})
		case "dive":
			check, checks = strings.Join(checks, ","), nil
			each = "-"
		case "":
		default:
			checks = append(checks, t)
		}
	}
	if each == "-" {
		return presence, check, strings.Join(checks, ",")
	}
	return presence, strings.Join(checks, ","), ""
}

// keysOf lists the keys of a table, sorted.
func keysOf(t reflect.Type) []string {
	var out []string
	for _, f := range fieldsOf(t) {
		out = append(out, f.key)
	}
	sort.Strings(out)
	return out
}

// homes finds the tables of a file in which a key of that name is known.
func homes(root reflect.Type, key string) []string {
	var out []string
	var walk func(t reflect.Type, path string)
	walk = func(t reflect.Type, path string) {
		for _, f := range fieldsOf(t) {
			if f.key == key {
				out = append(out, path)
			}
			inner := f.kind
			for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice {
				inner = inner.Elem()
			}
			if isTable(inner) {
				walk(inner, under(path, f.key))
			}
		}
	}
	walk(root, "")
	return slices.Compact(out)
}
