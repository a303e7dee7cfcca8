package checks_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// A law is read by who checks it: its comment says what each of its symbols is, and it
// names where it is from. A symbol that is an English word too, such as a, is found in any
// comment; the others are not.
func TestLawsAreExplained(t *testing.T) {
	root, err := checks.Root()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(root, "cmd", "internal", "*", "*.go"))
	require.NoError(t, err)
	laws := 0
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		fset := token.NewFileSet()
		parsed, err := parser.ParseFile(fset, file, nil, parser.ParseComments)
		require.NoError(t, err)
		for _, d := range parsed.Decls {
			group, ok := d.(*ast.GenDecl)
			if !ok {
				continue
			}
			for _, s := range group.Specs {
				v, ok := s.(*ast.ValueSpec)
				if !ok {
					continue
				}
				for i, value := range v.Values {
					formula, source, is := lawOf(value)
					if !is {
						continue
					}
					laws++
					comment := group.Doc.Text() + v.Doc.Text() + v.Comment.Text()
					at := fset.Position(v.Pos()).String() + ": " + v.Names[i].Name
					assert.NotEqual(t, `""`, source, "%s: its source is missing", at)
					for _, symbol := range symbolsOf(formula) {
						assert.Regexp(t, `(^|\W)`+regexp.QuoteMeta(symbol)+`($|\W)`, comment, "%s: the comment does not say what %s is", at, symbol)
					}
				}
			}
		}
	}
	assert.Greater(t, laws, 300)
}

// lawOf takes apart a call working.NewLaw("formula", source, …). The source is as it
// stands in Go.
func lawOf(e ast.Expr) (formula, source string, is bool) {
	call, ok := e.(*ast.CallExpr)
	if !ok || len(call.Args) != 3 {
		return "", "", false
	}
	if f, ok := call.Fun.(*ast.SelectorExpr); !ok || f.Sel.Name != "NewLaw" {
		return "", "", false
	}
	if l, ok := call.Args[1].(*ast.BasicLit); ok {
		source = l.Value
	}
	l, ok := call.Args[0].(*ast.BasicLit)
	if !ok {
		return "", source, true
	}
	formula, err := strconv.Unquote(l.Value)
	return formula, source, err == nil
}

var name = regexp.MustCompile(`[A-Za-z_]\w*\(?`)

// symbolsOf are the names in a formula that are neither functions nor π.
func symbolsOf(formula string) []string {
	var out []string
	for _, n := range name.FindAllString(formula, -1) {
		if !strings.HasSuffix(n, "(") && n != "pi" {
			out = append(out, n)
		}
	}
	return out
}
