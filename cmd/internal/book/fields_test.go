package book_test

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/templates"
)

var update = flag.Bool("update", false, "write templates/fields.md anew")

// templates/fields.md tells the author of a template what it gets. It is made
// from the types themselves and their comments, so it can't be out of date:
// each page is set with a template that prints the type of its data, and the
// fields of that type are read from the source.
func TestFieldsOfTemplates(t *testing.T) {
	const file = "../../../templates/fields.md"
	checks.Golden(t, file, fieldsOfTemplates(t), *update)
}

func fieldsOfTemplates(t *testing.T) string {
	t.Helper()
	known := structs(t, "leaf", "procedure")
	names, err := fs.Glob(templates.Files, "*.html.tmpl")
	require.NoError(t, err)
	in := demo(t, unit.Metric)
	in.Own = map[string][]byte{}
	for _, name := range names {
		if block, _, _ := strings.Cut(name, "."); strings.Contains(source(t, name), `{{template "top" .}}`) {
			in.Own[name] = fmt.Appendf(nil, "{{define %q}}%s {{printf \"%%T\" .}}{{end}}", block, name)
		}
	}
	in.Others = []book.Input{spanish(t)} // for the pages in two languages
	if !checks.Whole() {                 // two protocols that have a page of each kind, of one size
		for _, one := range []*book.Input{&in, &in.Others[0]} {
			one.Entries = one.Entries[:2]
			for i, e := range one.Entries {
				one.Entries[i].Batches = e.Batches[:1]
			}
		}
	}
	in.Others[0].Own = in.Own
	in.Others[0].Review = &leaf.Review{}
	gets := map[string]string{}
	for path, data := range rendered(t, in) {
		if strings.HasSuffix(path, ".html") {
			name, typ, found := strings.Cut(string(data), " leaf.")
			require.True(t, found, "%s: %s", path, data)
			gets[name] = "leaf." + typ
		}
	}
	// A binder is made of pages that are set already.
	plain := demo(t, unit.Metric)
	files, err := book.Render(book.Input{Edition: plain.Edition, Guides: plain.Guides, Library: plain.Library})
	require.NoError(t, err)
	bound, err := book.Bind([]leaf.Cover{{Edition: in.Edition}}, "", "", files, book.Documents(files, "", 0)[:1], nil)
	require.NoError(t, err)
	name, typ, _ := strings.Cut(string(bound), " leaf.")
	gets[name] = "leaf." + typ
	// A mock recall is made for whoever asks, and is no page of the book.
	drill, err := leaf.Recall(in.Edition, in.Trace, in.Trace.Recall(in.Trace.Nodes()[0]))
	require.NoError(t, err)
	name, typ, _ = strings.Cut(string(drill), " leaf.")
	gets[name] = "leaf." + typ
	require.Len(t, gets, len(in.Own), "a template that sets no page of the demo farm")

	var b strings.Builder
	b.WriteString(fieldsHead)
	var todo []string
	for _, name := range names {
		blocks := strings.Join(blocksOf(source(t, name)), ", ")
		if typ, page := gets[name]; page {
			fmt.Fprintf(&b, "| `%s` | %s | `%s` |\n", name, blocks, short(typ))
			todo = append(todo, typ)
		} else {
			fmt.Fprintf(&b, "| `%s` | %s | what the page hands on |\n", name, blocks)
		}
	}
	b.WriteString("\n## Fields\n")
	told := map[string]bool{}
	for len(todo) > 0 {
		typ := todo[0]
		todo = todo[1:]
		if told[typ] {
			continue
		}
		told[typ] = true
		fields, ok := known[typ]
		require.True(t, ok, "no type %s", typ)
		fmt.Fprintf(&b, "\n**`%s`**\n\n", short(typ))
		for _, f := range fields {
			fmt.Fprintf(&b, "- %s\n", f.text)
			if f.of != "" && known[f.of] != nil && !told[f.of] {
				todo = append(todo, f.of)
			}
		}
	}
	return b.String()
}

const fieldsHead = `# What templates get

Made by a test from the program's own types. Change them, not this file.

A template of yours takes the place of the program's by its file name, from the farm's folder ` + "`templates`" + `, when the book is made with ` + "`book --own-templates`" + `. It has to define the same blocks. The language is that of Go's package html/template: everything that is printed is escaped for the place where it stands.

` + "`say \"book.record\"`" + ` says a message of the program, ` + "`said .Limit`" + ` one that came with the data, ` + "`marked .Limit`" + ` the same with its amounts set larger; ` + "`plain`" + ` sets a text with its subscripts, ` + "`amount`" + ` prints an amount in the book's units, ` + "`sized`" + ` says "for 48 bottles", ` + "`headed`" + ` the same behind a title, ` + "`label \"book.trouble.more\"`" + ` and ` + "`labeled .Name`" + ` say a label with its colon, ` + "`pair .Name .Value`" + ` a label and its value, ` + "`remarked .What .Remark`" + ` what an amount is of, ` + "`signal`" + ` a signal word.

| template | blocks | data |
|---|---|---|
`

func source(t *testing.T, name string) string {
	t.Helper()
	text, err := fs.ReadFile(templates.Files, name)
	require.NoError(t, err)
	return string(text)
}

var defined = regexp.MustCompile(`\{\{-?\s*define\s+"([^"]+)"`)

func blocksOf(text string) (out []string) {
	for _, m := range defined.FindAllStringSubmatch(text, -1) {
		out = append(out, "`"+m[1]+"`")
	}
	return out
}

// short is a type's name without its package, where that is the templates' own.
func short(typ string) string { return strings.TrimPrefix(typ, "leaf.") }

// field is one line about a field, and the type of what is in it.
type field struct{ text, of string }

// structs reads the fields of all struct types of some packages, with their
// comments, by "package.Type".
func structs(t *testing.T, packages ...string) map[string][]field {
	t.Helper()
	out := map[string][]field{}
	for _, name := range packages {
		files, err := filepath.Glob("../" + name + "/*.go")
		require.NoError(t, err)
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ParseComments|parser.SkipObjectResolution)
			require.NoError(t, err)
			ast.Inspect(parsed, func(n ast.Node) bool {
				if spec, ok := n.(*ast.TypeSpec); ok {
					if s, ok := spec.Type.(*ast.StructType); ok {
						out[name+"."+spec.Name.Name] = fieldsOf(name, s)
					}
				}
				return true
			})
		}
	}
	require.NotEmpty(t, out)
	return out
}

func fieldsOf(pkg string, s *ast.StructType) []field {
	out := []field{}
	for _, f := range s.Fields.List {
		what, of := typeInWords(pkg, f.Type)
		why := strings.Join(strings.Fields(f.Comment.Text()+" "+f.Doc.Text()), " ")
		if why != "" {
			what += ": " + why
		}
		if f.Names == nil {
			out = append(out, field{"all of " + what, of})
			continue
		}
		var names []string
		for _, n := range f.Names {
			if n.IsExported() {
				names = append(names, "`."+n.Name+"`")
			}
		}
		if names != nil {
			out = append(out, field{strings.Join(names, ", ") + " " + what, of})
		}
	}
	return out
}

// typeInWords tells a type as an author of templates reads it, and names the
// struct in it.
func typeInWords(pkg string, e ast.Expr) (what, of string) {
	switch x := e.(type) {
	case *ast.StarExpr:
		return typeInWords(pkg, x.X)
	case *ast.ArrayType:
		what, of = typeInWords(pkg, x.Elt)
		return "list of " + what, of
	case *ast.MapType:
		what, of = typeInWords(pkg, x.Value)
		return "by name, " + what, of
	case *ast.SelectorExpr:
		of = x.X.(*ast.Ident).Name + "." + x.Sel.Name
		if word, known := plainTypes[of]; known {
			return word, ""
		}
		return "`" + of + "`", of
	case *ast.Ident:
		if word, known := plainTypes[x.Name]; known {
			return word, ""
		}
		of = pkg + "." + x.Name
		return "`" + short(of) + "`", of
	}
	return "data", ""
}

var plainTypes = map[string]string{
	"string": "text", "int": "number", "bool": "yes or no",
	"template.HTML": "HTML", "template.CSS": "CSS", "protocol.Message": "message", "unit.Amount": "amount",
	"work.Station": "text", "work.Role": "text", "work.StepID": "text", "Signal": "text", "procedure.Signal": "text",
}
