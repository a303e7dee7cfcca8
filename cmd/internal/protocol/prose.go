package protocol

import (
	"reflect"
	"slices"
	"strings"
	"sync"
)

// Texts is protocols/languages/TAG.toml: what authors wrote, in another language. The
// original stands as the key, so that a text whose original has changed is never shown
// for it.
type Texts struct {
	Format int               `toml:"format" validate:"required,eq=1"`
	Texts  map[string]string `toml:"texts"`
}

// LanguagesFolder is where the texts of other languages are, in the folder of protocols
// and in that of the library.
const LanguagesFolder = "languages"

// TextsDocument is the farm's file of a language.
func TextsDocument(language string) string {
	return Folder + "/" + LanguagesFolder + "/" + language + ".toml"
}

// Prose calls visit for each text of a value that an author wrote for people, with the
// path of its key: the fields that are tagged prose. Empty texts are left out. A name
// may be that of a person, which is the same in every language, or of a role, which is
// not: there may be a text of it, and none is missed.
func Prose(v any, visit func(key, text string, name bool)) {
	retell(reflect.ValueOf(v), "", "", func(key, text, kind string) string {
		visit(key, text, kind == proseName)
		return text
	})
}

// Cautions calls visit for those of the texts that keep people from harm: the fields
// that are tagged caution. A translation of them is for a native reader to look over.
func Cautions(v any, visit func(key, text string)) {
	retell(reflect.ValueOf(v), "", "", func(key, text, kind string) string {
		if kind == proseCaution {
			visit(key, text)
		}
		return text
	})
}

// Retold is a copy of a value with other words in place of its prose. The value itself
// stays as it is; what has no prose in it, the copy shares with it.
func Retold[T any](v T, say func(text string, name bool) string) T {
	return retell(reflect.ValueOf(v), "", "", func(_, text, kind string) string { return say(text, kind == proseName) }).Interface().(T)
}

// proseName tags what may be a name, proseCaution what keeps people from harm; all other
// prose is tagged "true".
const (
	proseName    = "name"
	proseCaution = "caution"
)

// told is a field of a struct that has prose in it.
type told struct {
	index int
	name  string // of its key; "" for a struct that is embedded, whose keys stand beside
	prose string // its tag
}

// tellers remembers the fields that have prose by type: a farm and its library have
// thousands of values, and reading tags takes longer than all else.
var tellers sync.Map // of reflect.Type to []told

// fieldsTold are the fields of a struct that have prose in them.
func fieldsTold(t reflect.Type) []told {
	if known, ok := tellers.Load(t); ok {
		return known.([]told)
	}
	var out []told
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		x := told{index: i, prose: f.Tag.Get("prose")}
		if !f.Anonymous {
			x.name, _, _ = strings.Cut(f.Tag.Get("toml"), ",")
		}
		if x.prose != "" || tells(f.Type) {
			out = append(out, x)
		}
	}
	tellers.Store(t, out)
	return out
}

// tells reports whether values of a type have prose in them, whatever they stand in.
func tells(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Map:
		return tells(t.Elem())
	case reflect.Struct:
		return len(fieldsTold(t)) > 0
	}
	return false
}

// retell copies a value, with what say makes of its prose. Maps are walked in the order of their keys.
func retell(v reflect.Value, key, prose string, say func(key, text, kind string) string) reflect.Value {
	if prose == "" && !tells(v.Type()) {
		return v
	}
	switch v.Kind() {
	case reflect.String:
		if prose != "" && v.String() != "" {
			return reflect.ValueOf(say(key, v.String(), prose)).Convert(v.Type())
		}
	case reflect.Pointer:
		if !v.IsNil() {
			out := reflect.New(v.Type().Elem())
			out.Elem().Set(retell(v.Elem(), key, prose, say))
			return out
		}
	case reflect.Slice:
		if v.IsNil() {
			return v
		}
		out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			out.Index(i).Set(retell(v.Index(i), Item(key, i), prose, say))
		}
		return out
	case reflect.Map:
		if v.IsNil() || v.Type().Key().Kind() != reflect.String {
			return v
		}
		out := reflect.MakeMapWithSize(v.Type(), v.Len())
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
		for _, k := range keys {
			out.SetMapIndex(k, retell(v.MapIndex(k), beneath(key, k.String()), prose, say))
		}
		return out
	case reflect.Struct:
		out := reflect.New(v.Type()).Elem()
		out.Set(v)
		for _, f := range fieldsTold(v.Type()) {
			at := key
			if f.name != "" {
				at = beneath(key, f.name)
			}
			out.Field(f.index).Set(retell(v.Field(f.index), at, f.prose, say))
		}
		return out
	}
	return v
}

func beneath(key, name string) string {
	if key == "" {
		return name
	}
	return key + "." + name
}
