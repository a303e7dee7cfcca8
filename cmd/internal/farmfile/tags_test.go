package farmfile

import (
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// everyField walks all types that are read.
func everyField(visit func(t reflect.Type, f field)) {
	seen := map[reflect.Type]bool{}
	var walk func(t reflect.Type)
	walk = func(t reflect.Type) {
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Map {
			t = t.Elem()
		}
		if !isTable(t) || seen[t] {
			return
		}
		seen[t] = true
		for _, f := range fieldsOf(t) {
			visit(t, f)
			walk(f.kind)
		}
	}
	walk(reflect.TypeFor[protocol.Farm]())
	walk(reflect.TypeFor[protocol.Protocol]())
	walk(reflect.TypeFor[protocol.Stock]())
	walk(reflect.TypeFor[protocol.Orders]())
	walk(reflect.TypeFor[protocol.Results]())
	for _, s := range shelves {
		walk(s.t)
	}
}

// A rule in the types that the reader has no words for would be told as
// "value.refused", which helps nobody.
func TestEveryRuleHasWords(t *testing.T) {
	count := 0
	everyField(func(in reflect.Type, f field) {
		k := f.kind
		for k.Kind() == reflect.Pointer {
			k = k.Elem()
		}
		for rule := range strings.SplitSeq(f.check+","+f.each, ",") {
			tag, _, _ := strings.Cut(rule, "=")
			if tag == "" {
				continue
			}
			count++
			ok := map[string]bool{
				"eq":                 f.key == "format",
				"oneof":              true,
				"id":                 true,
				"len":                f.key == "currency",
				"uppercase":          f.key == "currency",
				"unique":             k.Kind() == reflect.Slice,
				"max":                k.Kind() == reflect.Slice || k.Kind() == reflect.String || k.Kind() == reflect.Int,
				"min":                k.Kind() == reflect.Slice || k.Kind() == reflect.String || k.Kind() == reflect.Int,
				"days":               k.Kind() == reflect.Slice && k.Elem().Kind() == reflect.String,
				"bcp47_language_tag": k.Kind() == reflect.String || k.Kind() == reflect.Slice && k.Elem().Kind() == reflect.String,
				"datetime":           k.Kind() == reflect.String || k.Kind() == reflect.Slice && k.Elem().Kind() == reflect.String,
			}[tag]
			assert.True(t, ok, "%s.%s: no words for the rule %s", in, f.name, rule)
		}
	})
	assert.Greater(t, count, 30)
}

// The tables of exceptions name keys that exist, and steps have a kind.
func TestExceptionsAreKeys(t *testing.T) {
	keys := map[string]bool{}
	everyField(func(_ reflect.Type, f field) {
		keys[f.key] = true
		if f.kind == stepType {
			assert.Contains(t, stepKinds, f.key)
		}
	})
	for _, table := range []map[string]bool{mayBeNegative, mayExceed, hasSize, ownKeys} {
		for key := range table {
			assert.True(t, keys[key], key)
		}
	}
	for key := range usualUnits {
		assert.True(t, keys[key], key)
	}
	for key := range stepKinds {
		assert.True(t, keys[key], key)
	}
}

// A file keeps to depth 3 whatever a farm writes, so that mostDepth is far off
// and the hint that says so is right.
func TestDeepestKey(t *testing.T) {
	deepest := 0
	var walk func(t reflect.Type, depth int)
	walk = func(t reflect.Type, depth int) {
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		if t.Kind() == reflect.Map || isRange(t) {
			depth++
		}
		deepest = max(deepest, depth)
		if isTable(t) {
			for _, f := range fieldsOf(t) {
				walk(f.kind, depth+1)
			}
		}
	}
	walk(reflect.TypeFor[protocol.Farm](), 0)
	walk(reflect.TypeFor[protocol.Protocol](), 0)
	for _, s := range shelves {
		walk(s.t, 0)
	}
	assert.Equal(t, 3, deepest)
}

// A key of a kind that has no word of its own would end the program with the first
// slip of the pen there.
func TestEveryKindHasAWord(t *testing.T) {
	known := map[string]bool{}
	for _, id := range words.IDs() {
		known[id] = true
	}
	kinds := map[unit.Kind]bool{}
	everyField(func(in reflect.Type, f field) {
		k := f.kind
		for k.Kind() == reflect.Pointer || k.Kind() == reflect.Slice || k.Kind() == reflect.Map {
			k = k.Elem()
		}
		if isRange(k) {
			k = k.Field(0).Type
		}
		if !k.Implements(kindedType) {
			return
		}
		kind := reflect.Zero(k).Interface().(unit.Kinded).Kind()
		kinds[kind] = true
		assert.True(t, known[kindWord(kind).ID], "%s.%s is a %s, and there is no %s", in, f.name, kind, kindWord(kind).ID)
	})
	assert.Greater(t, len(kinds), 15)
}
