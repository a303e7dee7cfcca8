package change

import (
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/working"
)

// Change is one value that the two sides have written differently.
type Change struct {
	Before, After Written
	// Method tells whether the value is part of the method: a fingerprint moves with it.
	Method bool
	// Text tells whether the value is what an author wrote for people.
	Text bool

	path   string // in both sides
	bundle string // of values that mean something together only; "" where it stands alone
}

// Written is a value with the place that it has in a file.
type Written struct {
	Origin working.Origin
	// Value is a quantity of package unit, a text, a whole number, true or false, or a
	// list of them; Whole for a table or a measured log; nil where nothing is written.
	Value any
}

// Whole is a table, an item of a list of tables, or a log, that is there as a whole.
type Whole struct{}

// Order is the order of a list of tables, where that is what changed.
type Order struct{}

// spot is where the walk through two values stands.
type spot struct {
	path          string
	before, after func(key string) working.Origin // places of what is below it
	method, text  bool
}

func below(f func(string) working.Origin, name string) func(string) working.Origin {
	return func(key string) working.Origin { return f(dotted(name, key)) }
}

// dotted joins two parts of a path; an index follows without a dot.
func dotted(a, b string) string {
	if a == "" || b == "" || strings.HasPrefix(b, "[") {
		return a + b
	}
	return a + "." + b
}

func (s spot) into(name string) spot {
	s.path += "." + name
	s.before, s.after = below(s.before, name), below(s.after, name)
	return s
}

// item is an item of a list of tables, known by its name and not by its place.
func (s spot) item(name string, before, after int) spot {
	s.path += "{" + name + "}"
	at := func(f func(string) working.Origin, i int) func(string) working.Origin {
		if i < 0 {
			return f
		}
		return below(f, protocol.Item("", i))
	}
	s.before, s.after = at(s.before, before), at(s.after, after)
	return s
}

// walk merges two values into one. Decide is asked at each value that differs whether
// the other's is taken.
type walk struct{ decide func(*Change) bool }

// choose asks about one value that differs.
func (w walk) choose(b, a reflect.Value, at spot, bundle string) reflect.Value {
	c := &Change{Method: at.method, Text: at.text, path: at.path, bundle: bundle,
		Before: Written{at.before(""), plain(b)}, After: Written{at.after(""), plain(a)}}
	if w.decide(c) {
		return a
	}
	return b
}

// plain is a value for who reads it; nil for one that is left out.
func plain(v reflect.Value) any {
	for v.IsValid() && v.Kind() == reflect.Pointer {
		v = v.Elem() // of nil it is no value
	}
	switch {
	case !v.IsValid():
		return nil
	case v.Kind() == reflect.Slice && v.Len() == 0:
		return nil
	case isTable(v.Type()), v.Kind() == reflect.Slice && isTable(v.Type().Elem()):
		return Whole{}
	}
	return v.Interface()
}

// isTable reports whether a type is a table of a file, and no quantity.
func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && !isRange(t) && !strings.HasSuffix(t.PkgPath(), "/unit")
}

// isRange reports whether a type is a protocol.Range of some quantity.
func isRange(t reflect.Type) bool {
	_, span := reflect.PointerTo(t).MethodByName("Span")
	return span
}

func (w walk) merge(b, a reflect.Value, at spot, rules string, bundle string) reflect.Value {
	t := b.Type()
	switch {
	case t.Kind() == reflect.Pointer && isTable(t.Elem()):
		if b.IsNil() && a.IsNil() {
			return b
		}
		if b.IsNil() || a.IsNil() {
			return w.choose(b, a, at, bundle)
		}
		out := reflect.New(t.Elem())
		out.Elem().Set(w.merge(b.Elem(), a.Elem(), at, "", ""))
		return out
	case isTable(t):
		return w.table(b, a, at)
	case t.Kind() == reflect.Map:
		return w.entries(b, a, at)
	case t.Kind() == reflect.Slice && isTable(t.Elem()):
		if name := known(rules); name != "" {
			return w.list(b, a, at, name)
		}
	}
	switch {
	case alike(b, a):
		return b
	case t.Kind() == reflect.Slice && isTable(t.Elem()) && sameItems(b, a):
		if w.decide(reordered(at)) {
			return a
		}
		return b
	}
	return w.choose(b, a, at, bundle)
}

// reordered is the change of the order of a list of tables, which a fingerprint leaves out.
func reordered(at spot) *Change {
	return &Change{path: at.path + "#order", Before: Written{at.before(""), Order{}}, After: Written{at.after(""), Order{}}}
}

// sameItems reports whether two lists of tables without names have the same items, in
// whatever order.
func sameItems(b, a reflect.Value) bool {
	if b.Len() != a.Len() {
		return false
	}
	taken := make([]bool, a.Len())
	for i := range b.Len() {
		found := false
		for j := range a.Len() {
			if !taken[j] && alike(b.Index(i), a.Index(j)) {
				taken[j], found = true, true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// known is the field by which the items of a list of tables are known, as the rules of
// its shape have it; "" where they have no name.
func known(rules string) string {
	for r := range strings.SplitSeq(rules, ",") {
		if name, ok := strings.CutPrefix(r, "unique="); ok {
			return name
		}
	}
	return ""
}

func (w walk) table(b, a reflect.Value, at spot) reflect.Value {
	t := b.Type()
	out := reflect.New(t).Elem()
	out.Set(b)
	together := linked(t)
	for i := range t.NumField() {
		f := t.Field(i)
		key := f.Tag.Get("toml")
		switch {
		case f.Anonymous:
			out.Field(i).Set(w.table(b.Field(i), a.Field(i), at))
			continue
		case key == "" || key == "-" || aside[f.Type]:
			continue
		}
		next := at.into(key)
		next.method = at.method && f.Tag.Get("method") != "-"
		next.text = f.Tag.Get("prose") == "true"
		bundle := ""
		if root, ok := together[f.Name]; ok {
			bundle = at.path + ":" + root
		}
		out.Field(i).Set(w.merge(b.Field(i), a.Field(i), next, f.Tag.Get("validate"), bundle))
	}
	return out
}

// aside are the tables of a protocol as a document: who approved it moves nothing.
var aside = map[reflect.Type]bool{
	reflect.TypeFor[*protocol.Control]():  true,
	reflect.TypeFor[*protocol.Approval](): true,
}

// linked are the fields of a table of which one asks for another or forbids it: taken
// alone, one of them makes a table that no file may have. Each has the name of the
// first of those that it belongs to.
func linked(t reflect.Type) map[string]string {
	out := map[string]string{}
	for i := range t.NumField() {
		f := t.Field(i)
		for r := range strings.SplitSeq(f.Tag.Get("validate"), ",") {
			rule, rest, _ := strings.Cut(r, "=")
			switch rule {
			case "required_unless", "required_with", "required_without", "excluded_with":
				other, _, _ := strings.Cut(rest, " ")
				root := other
				if r, ok := out[other]; ok {
					root = r
				}
				out[f.Name], out[other] = root, root
			}
		}
	}
	return out
}

// entries merges two maps, entry by entry in the order of their names.
func (w walk) entries(b, a reflect.Value, at spot) reflect.Value {
	names := map[string]bool{}
	for _, m := range []reflect.Value{b, a} {
		for _, k := range m.MapKeys() {
			names[k.String()] = true
		}
	}
	out := reflect.MakeMap(b.Type())
	for _, name := range slices.Sorted(maps.Keys(names)) {
		k := reflect.ValueOf(name)
		x, y, next := b.MapIndex(k), a.MapIndex(k), at.into(name)
		var got reflect.Value
		if x.IsValid() && y.IsValid() {
			got = w.merge(x, y, next, "", "")
		} else {
			got = w.choose(x, y, next, "")
		}
		if got.IsValid() {
			out.SetMapIndex(k, got)
		}
	}
	if out.Len() == 0 && (b.IsNil() || a.IsNil()) {
		return reflect.Zero(b.Type())
	}
	return out
}

// list merges two lists of tables by the names of their items. Their order is a value
// of its own: as a rule it says nothing, and then it moves nothing.
func (w walk) list(b, a reflect.Value, at spot, field string) reflect.Value {
	name := func(v reflect.Value) string { return v.FieldByName(field).String() }
	names := func(v reflect.Value) (out []string) {
		for i := range v.Len() {
			out = append(out, name(v.Index(i)))
		}
		return out
	}
	first, second := names(b), names(a)
	in := func(list []string) func(string) bool {
		return func(s string) bool { return !slices.Contains(list, s) }
	}
	order := second
	if x, y := slices.DeleteFunc(slices.Clone(first), in(second)), slices.DeleteFunc(slices.Clone(second), in(first)); !slices.Equal(x, y) {
		if !w.decide(reordered(at)) {
			order = first
		}
	}
	// Those that the other list lacks stand behind the one that they followed.
	all := slices.Clone(order)
	rest := first
	if len(order) > 0 && len(first) > 0 && &order[0] == &first[0] {
		rest = second
	}
	for i, x := range rest {
		if slices.Contains(all, x) {
			continue
		}
		place := 0
		if i > 0 {
			place = slices.Index(all, rest[i-1]) + 1
		}
		all = slices.Insert(all, place, x)
	}
	out := reflect.Zero(b.Type())
	if !b.IsNil() || !a.IsNil() {
		out = reflect.MakeSlice(b.Type(), 0, len(all))
	}
	for _, x := range all {
		i, j := slices.Index(first, x), slices.Index(second, x)
		next := at.item(x, i, j)
		var got reflect.Value
		switch {
		case i >= 0 && j >= 0:
			got = w.merge(b.Index(i), a.Index(j), next, "", "")
		case i >= 0:
			got = w.choose(b.Index(i), reflect.Value{}, next, "")
		default:
			got = w.choose(reflect.Value{}, a.Index(j), next, "")
		}
		if got.IsValid() {
			out = reflect.Append(out, got)
		}
	}
	return out
}

// closely is by what part of itself a number may differ and be the same: the last bits
// of one that was written in another unit. It is less than any scale or gauge reads,
// and less than the 12 digits of a fingerprint.
const closely = 1e-12

func alike(b, a reflect.Value) bool {
	switch b.Kind() {
	case reflect.Float64:
		return near(b.Float(), a.Float(), closely)
	case reflect.Pointer:
		if b.IsNil() || a.IsNil() {
			return b.IsNil() == a.IsNil()
		}
		return alike(b.Elem(), a.Elem())
	case reflect.Slice:
		if b.Len() != a.Len() {
			return false
		}
		for i := range b.Len() {
			if !alike(b.Index(i), a.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Struct:
		if b.Type() == reflect.TypeFor[unit.Step]() && b.Field(1).String() != a.Field(1).String() {
			// The unit of a dial is the one that steps name.
			return false
		}
		for i := range b.NumField() {
			if !alike(b.Field(i), a.Field(i)) {
				return false
			}
		}
		return true
	}
	return reflect.DeepEqual(b.Interface(), a.Interface())
}

func near(a, b, by float64) bool {
	return a == b || math.Abs(a-b) <= by*math.Max(math.Abs(a), math.Abs(b)) || math.IsNaN(a) && math.IsNaN(b)
}
