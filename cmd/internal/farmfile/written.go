package farmfile

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// What Set writes, and how it makes sure that nothing else was.

// plainValue turns a value into what the decoder would give for it.
func plainValue(v reflect.Value) (any, error) {
	for v.IsValid() && v.Kind() == reflect.Interface {
		v = v.Elem()
	}
	if !v.IsValid() {
		return nil, errors.New("farmfile: TOML has no null")
	}
	switch v.Kind() {
	case reflect.String:
		if s := v.String(); utf8.ValidString(s) {
			return s, nil
		}
		return nil, errors.New("farmfile: a text to write is no UTF-8")
	case reflect.Bool:
		return v.Bool(), nil
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return v.Int(), nil
	case reflect.Slice:
		list := make([]any, v.Len())
		for i := range list {
			x, err := plainValue(v.Index(i))
			if err != nil {
				return nil, err
			}
			list[i] = x
		}
		return list, nil
	}
	return nil, fmt.Errorf("farmfile: a %s cannot be written: a quantity is a text with its unit", v.Type())
}

// encode writes a plain value as TOML.
func encode(v any) string {
	switch v := v.(type) {
	case string:
		return basicString(v)
	case []any:
		items := make([]string, len(v))
		for i := range v {
			items[i] = encode(v[i])
		}
		return "[" + strings.Join(items, ", ") + "]"
	default:
		return fmt.Sprint(v)
	}
}

func basicString(s string) string {
	var out strings.Builder
	out.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			out.WriteByte('\\')
			out.WriteRune(r)
		case r == '\n':
			out.WriteString(`\n`)
		case r == '\t':
			out.WriteString(`\t`)
		case r < ' ' || r == 0x7F:
			fmt.Fprintf(&out, `\u%04X`, r)
		default:
			out.WriteRune(r)
		}
	}
	out.WriteByte('"')
	return out.String()
}

// put writes a value into a tree, in place.
func put(tree map[string]any, steps []step, v any) (map[string]any, bool) {
	var at any = tree
	for i, s := range steps {
		last := i == len(steps)-1
		switch t := at.(type) {
		case map[string]any:
			if s.item >= 0 {
				return nil, false
			}
			if last {
				t[s.name] = v
				return tree, true
			}
			if t[s.name] == nil {
				t[s.name] = map[string]any{}
			}
			if grown, ok := grow(t[s.name], steps[i+1], v, i+2 == len(steps)); ok {
				t[s.name] = grown
			}
			at = t[s.name]
		case []any:
			if s.item < 0 || s.item >= len(t) {
				return nil, false
			}
			if last {
				t[s.item] = v
				return tree, true
			}
			if grown, ok := grow(t[s.item], steps[i+1], v, i+2 == len(steps)); ok {
				t[s.item] = grown
			}
			at = t[s.item]
		case []map[string]any:
			if s.item < 0 || s.item >= len(t) {
				return nil, false
			}
			at = t[s.item]
		default:
			return nil, false
		}
	}
	return nil, false
}

// grow makes room for the item behind the last of a list.
func grow(list any, s step, v any, last bool) (any, bool) {
	switch t := list.(type) {
	case []any:
		if last && s.item == len(t) {
			return append(t, v), true
		}
	case []map[string]any:
		if !last && s.item == len(t) {
			return append(t, map[string]any{}), true
		}
	}
	return nil, false
}

// same compares two trees. Not a number is the same as not a number, and dates
// are compared by what they say.
func same(a, b any) bool {
	switch a := a.(type) {
	case map[string]any:
		b, ok := b.(map[string]any)
		if !ok || len(a) != len(b) {
			return false
		}
		for k, x := range a {
			if y, there := b[k]; !there || !same(x, y) {
				return false
			}
		}
		return true
	case []any, []map[string]any:
		x, _ := listOf(a)
		y, ok := listOf(b)
		return ok && slices.EqualFunc(x, y, same)
	case float64:
		y, ok := b.(float64)
		return ok && strconv.FormatFloat(a, 'g', -1, 64) == strconv.FormatFloat(y, 'g', -1, 64)
	case time.Time:
		y, ok := b.(time.Time)
		return ok && a.String() == y.String()
	}
	return a == b
}
