package farmfile

import (
	"fmt"
	"math"
	"reflect"
	"sort"
	"strings"
	"time"
	"unicode"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// binder fills a Go value from the tree of a file. It goes on after each
// fault, so that one run shows all.
type binder struct {
	layers  layers
	root    reflect.Type
	subject string
	out     *findings
	refused map[string]bool // paths that a finding stands for
	meant   map[string]bool // paths that an unknown key probably means
	quiet   map[string]bool // paths whose faults are told where the value stands
	told    int
	partial bool // a parent is missing: do not ask for keys that it may have
}

// mostTold is how many faults of one file are told. A file with more of them is
// something else than it was taken for.
const mostTold = 1000

// refuse reports the value at a path.
func (b *binder) refuse(path, rule string, a args, hint string, with args) {
	b.refused[path] = true
	b.report(path, false, rule, a, hint, with)
}

// report adds key and found to the arguments, and the place: that of the
// value, or of the key.
func (b *binder) report(path string, onKey bool, rule string, a args, hint string, with args) {
	for at := range b.quiet {
		if rest, below := strings.CutPrefix(path, at); below && (rest == "" || rest[0] == '[') {
			return
		}
	}
	b.told++
	if b.told > mostTold {
		if b.told == mostTold+1 {
			b.out.file("file.more", b.layers[0].name, b.subject, args{"most": mostTold}, "", nil)
		}
		return
	}
	o, at, found := b.layers.place(path, onKey)
	if a == nil {
		a = args{}
	}
	a["key"] = plain(path)
	if _, given := a["found"]; !given && usesFound[rule] {
		a["found"] = found
	}
	b.out.add(rule, o, at, b.subject, a, hint, with)
}

// usesFound lists the rules whose sentence repeats what was written.
var usesFound = map[string]bool{
	"unit.missing": true, "unit.unknown": true, "unit.other_kind": true, "unit.not_a_number": true,
	"unit.not_finite": true, "value.type": true, "value.negative": true, "value.zero": true,
	"value.share": true, "value.loss": true, "value.temperature": true, "range.order": true, "range.two": true,
	"batch_size.whole": true, "batch_size.range": true, "number.large": true, "number.small": true,
	"choice.unknown": true, "id.shape": true, "currency.shape": true, "format.version": true,
	"reference.unknown": true, "price.currency": true, "value.refused": true,
	"based_on.unknown": true, "text.control": true,
	"date.shape": true, "language.tag": true, "date.days": true, "evidence.path": true, "evidence.missing": true, "evidence.leads_out": true,
	"evidence.unreadable": true, "evidence.large": true, "evidence.within": true,
	"stock.all_water": true, "room.shelves": true, "labels.small": true, "labels.pitch": true, "labels.paper": true, "labels.first": true,
}

var (
	kindedType = reflect.TypeFor[unit.Kinded]()
	stepType   = reflect.TypeFor[unit.Step]()
	moneyTypes = map[reflect.Type]unit.Kind{
		reflect.TypeFor[unit.Money]():       unit.MoneyOf,
		reflect.TypeFor[unit.MassPrice]():   unit.PriceOfMass,
		reflect.TypeFor[unit.TimePrice]():   unit.PriceOfTime,
		reflect.TypeFor[unit.EnergyPrice](): unit.PriceOfEnergy,
		reflect.TypeFor[unit.VolumePrice](): unit.PriceOfVolume,
	}
)

// isRange is true for protocol.Range of any quantity.
func isRange(t reflect.Type) bool {
	_, ok := reflect.PointerTo(t).MethodByName("Span")
	return t.Kind() == reflect.Struct && ok
}

func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && t != stepType && moneyTypes[t] == unit.None && !isRange(t)
}

// stepKinds says what an instrument's smallest step measures.
var stepKinds = map[string]unit.Kind{"reads": unit.MassOf, "gauge_reads": unit.GaugePressureOf, "jug_reads": unit.VolumeOf}

// table binds the keys of a table to a struct.
func (b *binder) table(path string, tree map[string]any, out reflect.Value) {
	known := map[string]bool{}
	for _, f := range fieldsOf(out.Type()) {
		known[f.key] = true
		if v, there := tree[f.key]; there {
			b.bind(under(path, f.key), f.key, v, out.FieldByIndex(f.index))
		}
	}
	for _, key := range sortedKeys(tree) {
		if !known[key] {
			b.unknown(path, key, out.Type())
		}
	}
}

func sortedKeys(tree map[string]any) []string {
	keys := make([]string, 0, len(tree))
	for k := range tree {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// unknown reports a key that the table does not have, with the likeliest cure:
// a key of another table got under the wrong header, or a slip of the pen.
func (b *binder) unknown(path, key string, t reflect.Type) {
	at := under(path, key)
	b.refused[at] = true
	if b.told > mostTold {
		return
	}
	keys := keysOf(t)
	near := protocol.Nearest(key, keys)
	where := homes(b.root, key)
	// The key that was meant is not missing as well.
	if len(where) == 1 {
		b.meant[under(where[0], key)] = true
	}
	switch {
	case len(where) == 1 && where[0] == "":
		b.report(at, true, "key.unknown", nil, "key_top", args{"name": key})
	case len(where) == 1:
		b.report(at, true, "key.unknown", nil, "key_elsewhere", args{"name": key, "table": where[0]})
	case near != "":
		b.meant[under(path, near)] = true
		b.report(at, true, "key.unknown", nil, "key_near", args{"near": near})
	default:
		b.report(at, true, "key.unknown", nil, "key_list", args{"list": strings.Join(keys, ", ")})
	}
}

// bind fills one value. Key is the name under which the value, or the list
// that it is in, stands.
func (b *binder) bind(path, key string, v any, out reflect.Value) {
	t := out.Type()
	switch {
	case t.Kind() == reflect.Pointer:
		inner := reflect.New(t.Elem())
		b.bind(path, key, v, inner.Elem())
		if !b.refused[path] {
			out.Set(inner)
		}
	case t == stepType:
		b.step(path, key, v, out)
	case moneyTypes[t] != unit.None:
		b.price(path, key, v, out)
	case isRange(t):
		b.span(path, key, v, out)
	case t.Implements(kindedType):
		if x, ok := b.quantity(path, key, v, kindOf(out)); ok {
			out.SetFloat(x)
		}
	case t.Kind() == reflect.Struct:
		if tree, ok := v.(map[string]any); ok {
			b.table(path, tree, out)
		} else {
			b.wrongType(path, v, "table", "type_table", args{"name": key})
		}
	case t.Kind() == reflect.Slice:
		b.slice(path, key, v, out)
	case t.Kind() == reflect.Map:
		b.entries(path, key, v, out)
	default:
		b.plain(path, key, v, out)
	}
}

// plain binds texts, whole numbers, true and false.
func (b *binder) plain(path, key string, v any, out reflect.Value) {
	switch out.Kind() {
	case reflect.String:
		if s, ok := v.(string); ok {
			if strings.ContainsFunc(s, unprintable) {
				b.refuse(path, "text.control", nil, "text_control", nil)
				return
			}
			out.SetString(s)
			return
		}
		_, _, found := b.layers.place(path, false)
		b.wrongType(path, v, "text", "type_text", args{"example": example(key, `"`+strings.Trim(found, `"[]{}`)+`"`)})
	case reflect.Bool:
		if x, ok := v.(bool); ok {
			out.SetBool(x)
			return
		}
		b.wrongType(path, v, "truth", "type_truth", nil)
	case reflect.Int:
		b.whole(path, key, v, out)
	default:
		panic("farmfile: no reader for a " + out.Type().String())
	}
}

// unprintable is true for control characters, which TOML allows in a text when
// they are written as escapes, but which no page can show; and for those that turn
// the direction of what follows (Unicode Standard Annex 9, explicit embeddings,
// overrides and isolates), with which a line reads other than it is.
func unprintable(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\r' && r != '\t' || '\u202A' <= r && r <= '\u202E' || '\u2066' <= r && r <= '\u2069'
}

func example(key, value string) string { return keyName(key) + " = " + value }

// whole binds a whole number.
func (b *binder) whole(path, key string, v any, out reflect.Value) {
	n, ok := v.(int64)
	sizes := key == "batch_sizes"
	switch {
	case !ok && sizes:
		b.refuse(path, "batch_size.whole", nil, "batch_size", args{"most": protocol.MostVessels})
	case sizes && (n < 1 || n > protocol.MostVessels):
		b.refuse(path, "batch_size.range", args{"most": protocol.MostVessels}, "batch_size", args{"most": protocol.MostVessels})
	case !ok && key == "format":
		b.wrongType(path, v, "whole", "type_whole", args{"example": example(key, "1")})
	case !ok:
		b.wrongType(path, v, "whole", "type_whole", args{"example": example(key, "2")})
	case out.OverflowInt(n):
		b.refuse(path, "number.large", args{"most": math.MaxInt32}, "", nil)
	default:
		out.SetInt(n)
	}
}

// slice binds a list, of tables or of single values.
func (b *binder) slice(path, key string, v any, out reflect.Value) {
	items, ok := listOf(v)
	if !ok {
		if isTable(out.Type().Elem()) {
			b.wrongType(path, v, "tables", "type_tables", args{"name": plain(path)})
		} else {
			_, _, found := b.layers.place(path, false)
			b.wrongType(path, v, "list", "type_list", args{"example": example(key, "["+found+"]")})
		}
		return
	}
	list := reflect.MakeSlice(out.Type(), len(items), len(items))
	for i, x := range items {
		b.bind(protocol.Item(path, i), key, x, list.Index(i))
	}
	out.Set(list)
}

// listOf gives the items of a list; the decoder has a type of its own for [[…]].
func listOf(v any) ([]any, bool) {
	switch v := v.(type) {
	case []any:
		return v, true
	case []map[string]any:
		out := make([]any, len(v))
		for i := range v {
			out[i] = v[i]
		}
		return out, true
	}
	return nil, false
}

// entries binds a table whose keys are ids: a moisture or a price by ingredient.
func (b *binder) entries(path, key string, v any, out reflect.Value) {
	tree, ok := v.(map[string]any)
	if !ok {
		b.wrongType(path, v, "table", "type_table", args{"name": key})
		return
	}
	out.Set(reflect.MakeMap(out.Type()))
	for _, id := range sortedKeys(tree) {
		x := reflect.New(out.Type().Elem()).Elem()
		at := under(path, id)
		b.bind(at, key, tree[id], x)
		if !b.refused[at] {
			out.SetMapIndex(reflect.ValueOf(id), x)
		}
	}
}

func (b *binder) wrongType(path string, v any, needed, hint string, with args) {
	b.refuse(path, "value.type", args{"is": typeWord(typeOf(v)), "needed": typeWord(needed)}, hint, with)
}

// typeOf names the type of a decoded value.
func typeOf(v any) string {
	switch v := v.(type) {
	case string:
		return "text"
	case bool:
		return "truth"
	case int64:
		return "whole"
	case float64:
		return "number"
	case time.Time:
		return "date"
	case map[string]any:
		return "table"
	case []map[string]any:
		return "tables"
	case []any:
		return "list"
	default:
		panic(fmt.Sprintf("farmfile: the decoder gave a %T", v))
	}
}
