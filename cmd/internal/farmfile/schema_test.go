package farmfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

const repository = "../../.."

// The schema that the repository has, and the program carries, is that of the types as
// they are and of the README as it is. Write it anew with
//
//	go test ./cmd/internal/farmfile -run TestSchemaIsFresh -update
func TestSchemaIsFresh(t *testing.T) {
	m := &schemaMaker{text: keyTexts(t)}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	require.NoError(t, e.Encode(m.make()))
	require.Empty(t, m.missing, "the tables of README.md say nothing of these keys")
	checks.Golden(t, repository+"/protocols/schema.json", visible(out.String()), *update)
}

// visible writes as escapes what nobody would see in a file, or what would turn the
// direction of its text; JSON reads both alike.
func visible(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r != '\n' && (unprintable(r) || unicode.IsSpace(r) && r > ' ') {
			fmt.Fprintf(&b, `\u%04x`, r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// schemaOf compiles the schema with an implementation of JSON Schema 2020-12 that knows
// nothing of this program. That holds it to its meta-schema too.
var schemaOf = sync.OnceValues(func() (*jsonschema.Schema, error) {
	text, err := os.ReadFile(repository + "/protocols/schema.json")
	if err != nil {
		return nil, err
	}
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("schema.json", parsed); err != nil {
		return nil, err
	}
	return c.Compile("schema.json")
})

// bySchema holds a decoded file to the schema, as an editor does. A date of TOML is to
// JSON the text of it.
func bySchema(t *testing.T, tree map[string]any) error {
	t.Helper()
	schema, err := schemaOf()
	require.NoError(t, err)
	text, err := json.Marshal(tree)
	require.NoError(t, err)
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	return schema.Validate(value)
}

// filesOf lists the TOML files of a folder that may be a farm's, and of its folders.
func filesOf(t *testing.T, folder string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(folder, func(file string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && path.Ext(file) == ".toml" {
			out = append(out, file)
		}
		return err
	})
	require.NoError(t, err)
	return out
}

// Every file of the demo farm, of the program's library and of the starter is right by the
// schema, and its first line leads an editor to it.
func TestSchemaTakesOurFiles(t *testing.T) {
	count := 0
	for _, folder := range []string{repository + "/protocols", repository + "/cmd/bottlecrop/starter/protocols"} {
		for _, file := range filesOf(t, folder) {
			count++
			src, err := os.ReadFile(file)
			require.NoError(t, err)
			tree, err := decode(src)
			require.NoError(t, err)
			assert.NoError(t, bySchema(t, tree), file)

			// The line is a relative address, so that it works without a network.
			up, err := filepath.Rel(filepath.Dir(file), folder)
			require.NoError(t, err)
			want := "#:schema " + path.Join(filepath.ToSlash(up), "schema.json")
			first, _, _ := strings.Cut(string(src), "\n")
			assert.Equal(t, want, first, file)
		}
	}
	assert.Greater(t, count, 15)
}

// Findings that a schema can catch, by rule. What is not here needs another file, a table
// of units, a calendar, the order of two values, or what the trade knows.
var schemaCatches = map[string]bool{
	"batch_size.whole": true, "batch_size.range": true, "key.missing": true, "key.unknown": true,
	"key.missing_with": true, "key.missing_without": true, "key.missing_unless": true, "key.excluded": true,
	"unit.missing": true, "unit.unknown": true, "unit.other_kind": true, "unit.not_a_number": true,
	"value.negative": true, "value.zero": true, "value.type": true, "value.share": true, "value.loss": true,
	"range.two": true, "choice.unknown": true, "id.shape": true, "currency.shape": true, "date.shape": true,
	"text.long": true, "text.short": true, "text.empty": true, "text.lines": true, "text.control": true,
	"list.long": true, "list.short": true, "language.tag": true, "number.large": true, "number.small": true, "format.version": true,
}

// Each bad file of testdata/farms that a schema can catch is caught, and no other: the
// schema is never stricter than the reader.
func TestSchemaOfBadFiles(t *testing.T) {
	caught := 0
	farms, err := filepath.Glob(repository + "/testdata/farms/*/protocols")
	require.NoError(t, err)
	require.Greater(t, len(farms), 50)
	for _, folder := range farms {
		dir := filepath.Dir(folder)
		bad := map[string]string{} // file to rule
		_, findings := Read(os.DirFS(dir), os.DirFS(repository+"/protocols"))
		for _, f := range findings {
			if schemaCatches[f.Rule] {
				bad[f.Place.File] = f.Rule
			}
		}
		for _, file := range filesOf(t, dir) {
			src, err := os.ReadFile(file)
			require.NoError(t, err)
			tree, err := decode(src)
			if err != nil {
				continue // no TOML at all
			}
			name, err := filepath.Rel(dir, file)
			require.NoError(t, err)
			if name == "protocols/library/"+path.Base(file) && !slices.ContainsFunc(shelves, func(s shelf) bool { return s.file == path.Base(file) }) {
				continue // stray: the reader does not read it
			}
			if rule := bad[filepath.ToSlash(name)]; rule != "" {
				caught++
				assert.Error(t, bySchema(t, tree), "%s has %s, and the schema takes it", file, rule)
				continue
			}
			assert.NoError(t, bySchema(t, tree), file)
		}
	}
	assert.GreaterOrEqual(t, caught, 8)
}

// Each value of the demo farm's files is put wrong in every way that fits its place, and
// each key left out or another put beside it. Reader and schema agree on all of it, so far as one file by itself
// can be judged.
func TestSchemaAgreesWithReader(t *testing.T) {
	kinds := map[string]reflect.Type{}
	for _, k := range fileKinds() {
		kinds[k.name] = k.t
	}
	for file, kind := range map[string]string{
		"farm": "farm", "enoki-850": "protocol", "orders": "orders", "stock": "stock", "results": "results",
		"library/vessels": "vessel", "library/sterilizers": "sterilizer", "library/ingredients": "ingredient", "library/species": "species", "library/troubles": "trouble",
	} {
		t.Run(file, func(t *testing.T) {
			src, err := os.ReadFile(repository + "/protocols/" + file + ".toml")
			require.NoError(t, err)
			whole, err := decode(src)
			require.NoError(t, err)
			firstOfEach(whole)
			seen, asked, both, refused := map[string]bool{}, 0, 0, 0
			judge := func(what string) {
				if asked++; asked%7 != 1 && !checks.Whole() {
					return
				}
				both++
				var out findings
				d := &document{name: file, tree: deepCopy(whole).(map[string]any), index: newIndex(nil)}
				b := newBinder(layers{d}, kinds[kind], "", &out)
				if kind == "species" {
					s := strains{species: map[string]lender{}, ids: map[string]bool{}}
					s.lend(d, b)
				}
				b.run(d.tree, reflect.New(kinds[kind]).Elem())
				wrong := ""
				for _, f := range out.list {
					if schemaCatches[f.Rule] {
						wrong = f.Rule
					}
				}
				err := bySchema(t, whole)
				if wrong != "" {
					refused++
				}
				if (wrong != "") != (err != nil) {
					t.Errorf("%s: the reader says %q, the schema %v", what, wrong, err)
				}
			}
			judge("as it is")
			mutate("", whole, seen, judge)
			t.Logf("%d states, %d of them refused", both, refused)
			assert.Greater(t, refused, 10)
		})
	}
}

// mutate puts each value below a table wrong, one after the other; of items of a list that
// have the same keys the first stands for all.
func mutate(at string, table map[string]any, seen map[string]bool, judge func(what string)) {
	for _, key := range sortedKeys(table) {
		path := under(at, key)
		was := table[key]
		if seen[path] {
			continue
		}
		seen[path] = true
		try := func(name string, v any) {
			table[key] = v
			judge(path + " " + name)
			table[key] = was
		}
		delete(table, key)
		judge(path + " left out")
		table[key] = was
		table[key+"x"] = was
		judge(path + "x besides")
		delete(table, key+"x")
		switch v := was.(type) {
		case string:
			for _, wrong := range []any{int64(3), true, "", "0", "15", "3 stone", "-5 %", "0 kg", "0 mm", "101 %", "5 kg", "20 °C", "1,5 kg", "90 min", "about 3 h", "1.10 USD", "2 USD/kg", "2026-13-40", "2026-02-03", "a\u202eb", "x\ny", strings.Repeat("long ", 200), map[string]any{}, []any{}} {
				try(fmt.Sprintf("%.40q", fmt.Sprint(wrong)), wrong)
			}
		case int64:
			for _, wrong := range []any{int64(-1), int64(0), int64(1 << 40), 2.5, "2", true} {
				try(fmt.Sprint(wrong), wrong)
			}
		case bool:
			try("as text", "true")
		case map[string]any:
			try("as text", "x")
			mutate(path, v, seen, judge)
		default:
			try("as text", "x")
			try("empty", []any{})
			items, _ := listOf(v)
			for _, x := range items {
				if inner, ok := x.(map[string]any); ok {
					mutate(path, inner, seen, judge)
				}
			}
		}
	}
}

// firstOfEach keeps the first table of each list of tables: the others have the same keys,
// but for a few, and cost time.
func firstOfEach(table map[string]any) {
	for key, v := range table {
		switch v := v.(type) {
		case []map[string]any:
			firstOfEach(v[0])
			table[key] = v[:1]
		case map[string]any:
			firstOfEach(v)
		}
	}
}

// deepCopy copies a decoded tree.
func deepCopy(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for k, x := range v {
			out[k] = deepCopy(x)
		}
		return out
	case []map[string]any:
		out := make([]map[string]any, len(v))
		for i, x := range v {
			out[i] = deepCopy(x).(map[string]any)
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = deepCopy(x)
		}
		return out
	}
	return v
}
