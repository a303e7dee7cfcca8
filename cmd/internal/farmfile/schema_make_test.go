package farmfile

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// The maker of protocols/schema.json: JSON Schema 2020-12 of every file of a farm folder,
// for editors. It reads the same tags and tables that the reader does, so it stands
// here; it is part of the tests because nothing but the test that keeps the file fresh
// runs it: the program carries the file.
//
// What a key means is said once, in the tables of README.md (schema_texts_test.go).
//
// The keywords are chosen for editors as well as for validators: a table's own schema has
// no allOf, and conditions are dependentRequired, dependentSchemas and if, since language
// servers look for keys in properties, $ref, anyOf and oneOf only.

// object is a JSON object.
type object = map[string]any

// fileKind is one kind of file with the type that it is read into.
type fileKind struct {
	name, file string
	t          reflect.Type
}

// fileKinds are all kinds of files that a farm folder has.
func fileKinds() []fileKind {
	out := []fileKind{
		{"farm", protocol.FarmDocument, reflect.TypeFor[protocol.Farm]()},
		{"protocol", protocol.Document("NAME"), reflect.TypeFor[protocol.Protocol]()},
		{"orders", protocol.OrdersDocument, reflect.TypeFor[protocol.Orders]()},
		{"stock", protocol.StockDocument, reflect.TypeFor[protocol.Stock]()},
		{"results", protocol.ResultsDocument, reflect.TypeFor[protocol.Results]()},
		{"language", protocol.TextsDocument("TAG"), reflect.TypeFor[protocol.Texts]()},
	}
	for _, s := range shelves {
		out = append(out, fileKind{s.kind, protocol.LibraryFolder + "/" + s.file, s.t})
	}
	return out
}

// schemaMaker makes the schema, and gathers what has no text.
type schemaMaker struct {
	text    func(kind, path string) string
	missing []string
}

// make is the whole schema.
func (m *schemaMaker) make() object {
	defs, rest := object{}, []any{}
	var known, offered []any
	var farm object
	for _, k := range fileKinds() {
		defs[k.name] = m.table(k.name, "", k.t, false)
		defs[k.name].(object)["title"] = k.file
		whole := object{"$ref": "#/$defs/" + k.name}
		then := whole
		if k.t == reflect.TypeFor[protocol.Protocol]() {
			// What is based on another protocol writes what differs.
			defs["protocol-based"] = m.table(k.name, "", k.t, true)
			defs["protocol-based"].(object)["title"] = k.file + ", based on another"
			then = object{"if": object{"required": []any{"based_on"}}, "then": object{"$ref": "#/$defs/protocol-based"}, "else": whole}
		}
		is := telltales(k)
		if k.name == "farm" {
			farm = is
		}
		if k.name == "sterilizer" { // a farm's file has a list of that name as well
			is = object{"required": []any{"sterilizer"}, "properties": object{"sterilizer": object{"type": "array"}}, "not": farm}
		}
		known = append(known, is)
		rest = append(rest, object{"if": is, "then": then})
		offered = append(offered, whole)
	}
	// A file that has nothing of any kind may have its format and no more.
	bare := object{"properties": object{"format": object{"const": 1}}, "additionalProperties": false}
	return object{
		"$schema":  "https://json-schema.org/draft/2020-12/schema",
		"title":    "Files of a bottlecrop farm folder",
		"$comment": "Made from the program's types and the tables of README.md by go test ./cmd/internal/farmfile -run TestSchemaIsFresh -update. It helps an editor; bottlecrop check is the gate. allOf finds out which file it is. anyOf is always true: it is there for editors that look for keys in it.",
		"type":     "object",
		"allOf":    append(rest, object{"if": object{"not": object{"anyOf": known}}, "then": bare}),
		"anyOf":    append(offered, true),
		"$defs":    defs,
	}
}

// telltales is true of an object with a key that, by itself or with its type, no other
// kind of file has.
func telltales(k fileKind) object {
	var signs []any
	for _, f := range fieldsOf(k.t) {
		sameKey, sameType := false, false
		for _, other := range fileKinds() {
			for _, g := range fieldsOf(other.t) {
				if other.name != k.name && g.key == f.key {
					sameKey = true
					sameType = sameType || jsonType(g.kind) == jsonType(f.kind)
				}
			}
		}
		is := object{"required": []any{f.key}}
		switch {
		case sameType:
			continue
		case sameKey:
			is["properties"] = object{f.key: object{"type": jsonType(f.kind)}}
		}
		signs = append(signs, is)
	}
	return object{"anyOf": signs}
}

func jsonType(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case isTable(t), t.Kind() == reflect.Map:
		return "object"
	case t.Kind() == reflect.Slice, isRange(t):
		return "array"
	case t.Kind() == reflect.Int:
		return "integer"
	case t.Kind() == reflect.Bool:
		return "boolean"
	}
	return "string" // every quantity is one
}

// table is the schema of a table. In part no key has to be there, since a protocol that is
// based on another has it from there.
func (m *schemaMaker) table(kind, path string, t reflect.Type, part bool) object {
	properties, dependent, excluded := object{}, object{}, object{}
	var required, either []any
	var only object // of required_unless, as if and then
	fields := fieldsOf(t)
	key := func(name string) string {
		for _, f := range fields {
			if f.name == name {
				return f.key
			}
		}
		panic("no field " + name)
	}
	for _, f := range fields {
		at := strings.TrimPrefix(path+"."+f.key, ".")
		s := m.value(kind, at, f, f.kind, part)
		s["title"] = strings.ToUpper(f.key[:1]) + strings.ReplaceAll(f.key[1:], "_", " ")
		text := m.text(kind, at)
		if text == "" {
			m.missing = append(m.missing, kind+": "+at)
		}
		s["description"] = strings.TrimSpace(sentence(text) + " " + m.unitOf(f))
		properties[f.key] = s
		for _, c := range f.presence {
			switch c.tag {
			case "excluded_with":
				excluded[f.key] = object{"properties": object{key(c.name): false}}
			case "required":
				required = append(required, f.key)
			case "required_with":
				before, _ := dependent[key(c.name)].([]any)
				dependent[key(c.name)] = append(before, f.key)
			case "required_without":
				if either != nil {
					panic("two pairs of which one is required, in " + path)
				}
				either = []any{object{"required": []any{f.key}}, object{"required": []any{key(c.name)}}}
			case "required_unless":
				test := object{"required": []any{key(c.name)}, "properties": object{key(c.name): object{"not": object{"const": c.value}}}}
				if only != nil && !reflect.DeepEqual(only["if"], test) {
					panic("two conditions in " + path)
				}
				if only == nil {
					only = object{"if": test, "then": object{"required": []any{}}}
				}
				then := only["then"].(object)
				then["required"] = append(then["required"].([]any), f.key)
			}
		}
	}
	out := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(excluded) > 0 {
		out["dependentSchemas"] = excluded
	}
	if part {
		// Each file has these of its own.
		if path == "" {
			required = slices.DeleteFunc(required, func(k any) bool { return !ownKeys[k.(string)] })
			out["required"] = required
		}
		return out
	}
	if len(dependent) > 0 {
		out["dependentRequired"] = dependent
	}
	if either != nil {
		out["anyOf"] = either
	}
	for k, v := range only {
		out[k] = v
	}
	switch {
	case t == reflect.TypeFor[protocol.Species]():
		// A strain has from its species what it does not write.
		out["required"] = []any{"id"}
		out["if"], out["else"] = object{"required": []any{"strain_of"}}, object{"required": required}
	case len(required) > 0:
		out["required"] = required
	}
	return out
}

// value is the schema of a value of one type, the rules of its key with it.
func (m *schemaMaker) value(kind, path string, f field, t reflect.Type, part bool) object {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t == stepType:
		return object{"type": "string", "pattern": quantityPattern(f.key, stepKinds[f.key])}
	case moneyTypes[t] != unit.None:
		return object{"type": "string", "pattern": quantityPattern(f.key, moneyTypes[t])}
	case isRange(t):
		end := quantityPattern(f.key, kindOf(reflect.Zero(t.Field(0).Type)))
		return object{"type": "array", "minItems": 2, "maxItems": 2, "items": object{"type": "string", "pattern": end}}
	case t.Implements(kindedType):
		return object{"type": "string", "pattern": quantityPattern(f.key, kindOf(reflect.Zero(t)))}
	case isTable(t):
		return m.table(kind, path, t, part)
	case t.Kind() == reflect.Map:
		each := field{key: f.key, kind: t.Elem()}
		return object{"type": "object", "additionalProperties": m.value(kind, path, each, t.Elem(), part)}
	case t.Kind() == reflect.Slice:
		// A list is replaced as a whole: its items have all that they need.
		each := field{key: f.key, kind: t.Elem(), check: f.each}
		out := object{"type": "array", "items": m.value(kind, path, each, t.Elem(), false)}
		rules(f.check, func(tag, param string) {
			switch tag {
			case "min":
				out["minItems"] = bound(param)
			case "max":
				out["maxItems"] = bound(param)
			case "unique":
				if param == "" { // of one key of tables, no schema can say it
					out["uniqueItems"] = true
				}
			}
		})
		return out
	case t.Kind() == reflect.Bool:
		return object{"type": "boolean"}
	case t.Kind() == reflect.Int:
		out := object{"type": "integer"}
		if f.key == "batch_sizes" {
			out["minimum"], out["maximum"] = 1, protocol.MostVessels
		}
		rules(f.check, func(tag, param string) {
			switch tag {
			case "eq":
				out["const"] = bound(param)
			case "min":
				out["minimum"] = bound(param)
			case "max":
				out["maximum"] = bound(param)
			}
		})
		return out
	case t.Kind() == reflect.String:
		return textSchema(f)
	}
	panic("no schema for " + t.String())
}

func rules(check string, visit func(tag, param string)) {
	for r := range strings.SplitSeq(check, ",") {
		tag, param, _ := strings.Cut(r, "=")
		visit(tag, param)
	}
}

func bound(param string) int {
	n, err := strconv.Atoi(param)
	if err != nil {
		panic(err)
	}
	return n
}

// unprintables are the characters that unprintable is true for, and line ends. They stand
// as themselves, since dialects of regular expressions escape them differently.
const unprintables, lineEnds = "\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069", "\r\n"

// textSchema is the schema of a text.
func textSchema(f field) object {
	out := object{"type": "string"}
	none := unprintables
	if f.oneLine() {
		none += lineEnds
	}
	pattern := "^[^" + none + "]*$"
	if len(f.presence) > 0 {
		pattern = "^[^" + none + "]*[^" + none + `\s` + "][^" + none + "]*$"
	}
	const day = `[0-9]{4}-[0-9]{2}-[0-9]{2}`
	rules(f.check, func(tag, param string) {
		switch tag {
		case "min":
			out["minLength"] = bound(param)
		case "max":
			out["maxLength"] = bound(param)
		case "len":
			out["minLength"], out["maxLength"] = bound(param), bound(param)
		case "oneof":
			out["enum"] = strings.Fields(param)
		case "id":
			pattern = idPattern.String()
		case "uppercase":
			pattern = "^[^a-z]*$"
		case "bcp47_language_tag":
			pattern = "^[A-Za-z]{1,8}([-_][A-Za-z0-9]{1,8})*$"
		case "datetime":
			pattern, out["format"] = "^"+day+"$", "date"
		case "days":
			pattern = "^" + day + `(\.\.` + day + ")?$"
		case "", "unique":
		default:
			panic("no schema for the rule " + tag + " of " + f.key)
		}
	})
	if out["enum"] == nil {
		out["pattern"] = pattern
	}
	return out
}

// sentence begins with a capital and ends with a stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	r := []rune(text)
	text = strings.ToUpper(string(r[0])) + string(r[1:])
	if strings.ContainsAny(text[len(text)-1:], ".!?") {
		return text
	}
	return text + "."
}
