package farmfile

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"github.com/go-playground/validator/v10"

	"bottlecrop/cmd/internal/protocol"
)

// MostName is how long the name of a protocol, a page or an entry may be: it becomes the
// name of a file and an address, and stands on labels (design choice).
const MostName = 80

// IsName reports whether a name may become that of a file. Small letters alone: to some
// disks two names that differ in their letters' size are one.
func IsName(name string) bool { return idPattern.MatchString(name) }

// IsDevice reports whether Windows keeps a name for a device, with any ending: no file or
// folder there can have it (Naming Files, Paths, and Namespaces, in the documentation of
// Win32, from memory).
func IsDevice(name string) bool { return devices.MatchString(name) }

var devices = regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

var idPattern = regexp.MustCompile(fmt.Sprintf(`^[a-z][a-z0-9-]{0,%d}$`, MostName-1))

// checker is the one validator. It sees single values, each with the rules of
// its field but for those on presence (splitTag), so that one fault never
// keeps another from being found.
var checker = sync.OnceValue(func() *validator.Validate {
	v := validator.New(validator.WithRequiredStructEnabled())
	v.RegisterTagNameFunc(func(f reflect.StructField) string { return f.Tag.Get("toml") })
	err := errors.Join(
		v.RegisterValidation("id", func(l validator.FieldLevel) bool { return idPattern.MatchString(l.Field().String()) }),
		v.RegisterValidation("days", func(l validator.FieldLevel) bool { return areDays(l.Field().String()) }))
	if err != nil {
		panic(err)
	}
	return v
})

func isDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}

// areDays reports whether a text is a day, or a first and a last day, that a calendar
// can have as holidays.
func areDays(text string) bool {
	from, to := protocol.HolidayEnds(text)
	first, err := time.Parse(time.DateOnly, from)
	last, err2 := time.Parse(time.DateOnly, to)
	if err != nil || err2 != nil || first.Year() < FirstYear || last.Year() > LastYear {
		return false
	}
	days := daysFrom(from, to)
	return days >= 0 && days < protocol.HolidaysMost
}

// shape checks a bound table against the rules of its type.
func (b *binder) shape(path string, tree map[string]any, v reflect.Value) {
	fields := fieldsOf(v.Type())
	for _, f := range fields {
		at := under(path, f.key)
		raw, there := tree[f.key]
		if !there {
			b.absent(path, f, fields, tree, v)
			continue
		}
		if b.refused[at] || b.excluded(path, f, fields, tree) {
			continue
		}
		b.value(at, f, raw, v.FieldByIndex(f.index))
	}
}

// value checks one value that is there.
func (b *binder) value(at string, f field, raw any, v reflect.Value) {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return
		}
		v = v.Elem()
	}
	if v.Kind() == reflect.String && len(f.presence) > 0 && strings.TrimSpace(v.String()) == "" {
		b.refuse(at, "text.empty", nil, "text_empty", nil)
		return
	}
	if v.Kind() == reflect.String && f.oneLine() && strings.ContainsAny(v.String(), "\r\n") {
		b.refuse(at, "text.lines", nil, "text_lines", nil)
		return
	}
	b.check(at, f, f.check, v)
	switch {
	case isTable(v.Type()):
		if tree, ok := raw.(map[string]any); ok {
			b.shape(at, tree, v)
		}
	case v.Kind() == reflect.Slice:
		items, _ := listOf(raw)
		for i := range min(v.Len(), len(items)) {
			x := protocol.Item(at, i)
			if b.refused[x] {
				continue
			}
			b.check(x, f, f.each, v.Index(i))
			if tree, ok := items[i].(map[string]any); ok && isTable(v.Type().Elem()) {
				b.shape(x, tree, v.Index(i))
			}
		}
	}
}

// there finds out whether another key of the table was written, and whether it
// was refused.
func (b *binder) there(path, name string, fields []field, tree map[string]any) (other field, there, refused bool) {
	for _, f := range fields {
		if f.name == name {
			_, there = tree[f.key]
			return f, there, b.refused[under(path, f.key)]
		}
	}
	panic("farmfile: a rule names the field " + name + ", which is not there")
}

// absent reports a key that is not there, if it must be.
func (b *binder) absent(path string, f field, fields []field, tree map[string]any, v reflect.Value) {
	if b.partial {
		return
	}
	at := under(path, f.key)
	if b.meant[at] {
		return // it is there, under another name or in another table
	}
	need := func(rule string, a args) {
		b.refused[at] = true
		hint, with := b.writeIt(f)
		b.report(at, false, rule, a, hint, with)
	}
	for _, c := range f.presence {
		if c.tag == "required" {
			need("key.missing", nil)
			continue
		}
		if c.tag == "excluded_with" {
			continue
		}
		other, there, refused := b.there(path, c.name, fields, tree)
		switch {
		case refused:
		case c.tag == "required_unless" && there && v.FieldByIndex(other.index).String() != c.value:
			need("key.missing_unless", args{"other": other.key, "value": c.value})
		case c.tag == "required_with" && there:
			need("key.missing_with", args{"other": other.key})
		case c.tag == "required_without" && !there:
			need("key.missing_without", args{"other": other.key})
		}
	}
}

// excluded reports a key that another one forbids.
func (b *binder) excluded(path string, f field, fields []field, tree map[string]any) bool {
	for _, c := range f.presence {
		if c.tag != "excluded_with" {
			continue
		}
		if other, there, _ := b.there(path, c.name, fields, tree); there {
			at := under(path, f.key)
			b.refused[at] = true
			b.report(at, true, "key.excluded", args{"other": other.key}, "key_excluded", args{"name": f.key, "other": other.key})
			return true
		}
	}
	return false
}

// writeIt shows how a missing key is written.
func (b *binder) writeIt(f field) (string, args) {
	t := f.kind
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case isTable(t):
		return "write_table", args{"name": f.key}
	case t.Kind() == reflect.Slice && isTable(t.Elem()):
		return "write_tables", args{"name": f.key}
	}
	return "write_key", args{"example": example(f.key, exampleOf(f, t))}
}

// check asks the validator, and puts its answer into words of our own.
func (b *binder) check(at string, f field, rules string, v reflect.Value) {
	if rules == "" {
		return
	}
	err := checker().Var(v.Interface(), rules)
	var faults validator.ValidationErrors
	if err == nil || !errors.As(err, &faults) {
		return
	}
	b.refused[at] = true
	tag, param := faults[0].Tag(), faults[0].Param()
	most, _ := strconv.Atoi(param)
	switch {
	case tag == "eq" && f.key == "format":
		b.refuse(at, "format.version", args{"wanted": param}, "format", args{"example": example(f.key, param)})
	case tag == "oneof":
		choices := strings.Fields(param)
		if near := protocol.Nearest(strings.ToLower(v.String()), choices); near != "" {
			b.refuse(at, "choice.unknown", nil, "choice_near", args{"near": near})
			return
		}
		b.refuse(at, "choice.unknown", nil, "choice_list", args{"list": strings.Join(choices, ", ")})
	case tag == "id":
		b.refuse(at, "id.shape", args{"most": MostName}, "id_shape", args{"example": quoted(slug(v.String()))})
	case f.key == "currency":
		b.refuse(at, "currency.shape", nil, "currency_shape", nil)
	case tag == "unique":
		b.repeated(at, param, v)
	case tag == "max" && v.Kind() == reflect.String:
		b.refuse(at, "text.long", args{"length": utf8.RuneCountInString(v.String()), "most": most}, "text_long", nil)
	case tag == "min" && v.Kind() == reflect.String:
		b.refuse(at, "text.short", args{"length": utf8.RuneCountInString(v.String()), "least": most}, "text_short", nil)
	case tag == "bcp47_language_tag":
		b.refuse(at, "language.tag", nil, "language_tag", nil)
	case tag == "datetime":
		b.refuse(at, "date.shape", nil, "date_shape", nil)
	case tag == "days" && strings.Contains(v.String(), ".."):
		b.refuse(at, "date.days", args{"first": strconv.Itoa(FirstYear), "last": strconv.Itoa(LastYear), "most": protocol.HolidaysMost}, "date_days", nil)
	case tag == "days" && isDay(v.String()):
		b.beyond(at, v.String())
	case tag == "days":
		b.refuse(at, "date.shape", nil, "date_shape", nil)
	case tag == "max" && v.Kind() == reflect.Slice:
		b.refuse(at, "list.long", args{"length": v.Len(), "most": most}, "", nil)
	case tag == "min" && v.Kind() == reflect.Slice:
		b.refuse(at, "list.short", args{"length": v.Len(), "least": most}, "list_short", nil)
	case tag == "max" && v.Kind() == reflect.Int:
		b.refuse(at, "number.large", args{"most": most}, "", nil)
	case tag == "min" && v.Kind() == reflect.Int:
		b.refuse(at, "number.small", args{"least": most}, "", nil)
	default:
		b.refuse(at, "value.refused", args{"rule": faults[0].ActualTag()}, "", nil)
	}
}

// repeated finds the second of two items that are alike, in a list of values
// or of tables with a field that tells them apart.
func (b *binder) repeated(at, name string, v reflect.Value) {
	seen := map[string]int{}
	for i := range v.Len() {
		x, path := v.Index(i), protocol.Item(at, i)
		if name != "" {
			for _, f := range fieldsOf(x.Type()) {
				if f.name == name {
					x, path = x.FieldByIndex(f.index), under(path, f.key)
					break
				}
			}
		}
		if b.refused[protocol.Item(at, i)] || b.refused[path] {
			continue
		}
		value := fmt.Sprint(x.Interface())
		first, twice := seen[value]
		if value == "" || !twice {
			seen[value] = i
			continue
		}
		_, place, _ := b.layers.place(protocol.Item(at, first), false)
		b.refuse(path, "list.repeated", args{"value": value, "line": place.Line}, "list_repeated", nil)
	}
}

// slug makes an id of a name, for a hint.
func slug(name string) string {
	var out strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9' && out.Len() > 0:
			out.WriteRune(r)
		case out.Len() > 0 && !strings.HasSuffix(out.String(), "-"):
			out.WriteByte('-')
		}
	}
	if s := strings.Trim(out.String()[:min(out.Len(), MostName)], "-"); s != "" {
		return s
	}
	return "enoki-quart"
}

// exampleOf is a value of the right kind for a key.
func exampleOf(f field, t reflect.Type) string {
	for r := range strings.SplitSeq(f.check, ",") {
		if choices, ok := strings.CutPrefix(r, "oneof="); ok {
			return quoted(strings.Fields(choices)[0])
		}
		if strings.HasPrefix(r, "datetime=") {
			return quoted("2026-03-14")
		}
	}
	if k, ok := stepKinds[f.key]; ok {
		return blank(f.key, k)
	}
	switch v := reflect.New(t).Elem(); {
	case isRange(t):
		ends := v.Addr().MethodByName("Span").Call(nil)
		x := blank(f.key, kindOf(ends[0].Elem()))
		return "[" + x + ", " + x + "]"
	case t.Implements(kindedType):
		return blank(f.key, kindOf(v))
	case f.key == "format":
		return "1"
	case f.key == "batch_sizes":
		return "[12, 48]"
	case t.Kind() == reflect.Int:
		return "2"
	case t.Kind() == reflect.Bool:
		return "true"
	case f.key == "currency":
		return quoted("USD")
	}
	return quoted("…")
}

// knownList sorts the ids of a table for a hint, and shortens a long list.
func knownList[T any](entries map[string]T) string {
	ids := make([]string, 0, len(entries))
	for id := range entries {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	const most = 24
	if len(ids) > most {
		ids = append(ids[:most], "…")
	}
	return strings.Join(ids, ", ")
}
