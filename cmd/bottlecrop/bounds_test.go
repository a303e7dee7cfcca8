package main

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chapter is one of the developers' guide, up to the next of its level.
func chapter(t *testing.T, title string) string {
	t.Helper()
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, rest, ok := strings.Cut("\n"+string(text), "\n"+title+"\n")
	require.True(t, ok, title)
	level, _, _ := strings.Cut(title, " ")
	if end := regexp.MustCompile(`(?m)^#{1,` + strconv.Itoa(len(level)) + `} `).FindStringIndex(rest); end != nil {
		rest = rest[:end[0]]
	}
	return rest
}

// constantsOf are the numbers that a package's constants are, by name, as far as their
// files say it with literals and each other; times are in nanoseconds.
func constantsOf(t *testing.T, dir string) map[string]constant.Value {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	out := map[string]constant.Value{}
	var value func(e ast.Expr) constant.Value
	value = func(e ast.Expr) constant.Value {
		switch e := e.(type) {
		case *ast.BasicLit:
			return constant.MakeFromLiteral(e.Value, e.Kind, 0)
		case *ast.ParenExpr:
			return value(e.X)
		case *ast.Ident:
			return out[e.Name]
		case *ast.SelectorExpr:
			return map[string]constant.Value{"Second": constant.MakeInt64(1e9), "Minute": constant.MakeInt64(60e9)}[e.Sel.Name]
		case *ast.BinaryExpr:
			x, y := value(e.X), value(e.Y)
			if x == nil || y == nil {
				return nil
			}
			if e.Op == token.SHL {
				n, _ := constant.Uint64Val(y)
				return constant.Shift(x, token.SHL, uint(n))
			}
			return constant.BinaryOp(x, e.Op, y)
		}
		return nil
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, d := range parsed.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			for _, s := range g.Specs {
				v := s.(*ast.ValueSpec)
				for i, name := range v.Names {
					if i < len(v.Values) {
						if x := value(v.Values[i]); x != nil {
							out[name.Name] = x
						}
					}
				}
			}
		}
	}
	return out
}

// notOfInput are constants of the packages that read which bound nothing that is read: how
// much of it is shown, and what a thermometer can have.
var notOfInput = []string{"farmfile.mostFound", "farmfile.mostLine", "farmfile.mostShown", "probe.Most", "probe.MostOfARule", "probe.longestShown", "rescale.mostMass"}

// The developers' guide has each bound as the code has it, and none is missing there of
// the packages that read what strangers write.
func TestBoundsAreWhatTheGuideSays(t *testing.T) {
	units := map[string]int64{"": 1, "KiB": 1 << 10, "MiB": 1 << 20, "min": 60e9}
	row := regexp.MustCompile("(?m)^\\| .+ \\| ([0-9,]+) ?([A-Za-z]*) \\| `([a-z]+)\\.([A-Za-z]+)` \\|$")
	rows := row.FindAllStringSubmatch(chapter(t, "### What is refused for its size"), -1)
	require.Greater(t, len(rows), 35)
	told, known := map[string]bool{}, map[string]map[string]constant.Value{}
	in := func(pkg string) map[string]constant.Value {
		if known[pkg] == nil {
			dir := "../internal/" + pkg
			if pkg == "bottlecrop" {
				dir = "."
			}
			known[pkg] = constantsOf(t, dir)
		}
		return known[pkg]
	}
	for _, r := range rows {
		n, err := strconv.ParseInt(strings.ReplaceAll(r[1], ",", ""), 10, 64)
		require.NoError(t, err)
		unit, ok := units[r[2]]
		require.True(t, ok, "%s is no unit of this table", r[2])
		name := r[3] + "." + r[4]
		assert.False(t, told[name], "%s stands there twice", name)
		told[name] = true
		got := in(r[3])[r[4]]
		if assert.NotNil(t, got, "%s is no constant", name) {
			x, exact := constant.Int64Val(constant.ToInt(got))
			assert.True(t, exact)
			assert.Equal(t, n*unit, x, name)
		}
	}
	bound := regexp.MustCompile(`^([mM]ost|longest|patience|[A-Z][a-z]+Most$)`)
	for _, pkg := range []string{"farmfile", "prose", "probe", "history", "rescale"} {
		for name := range in(pkg) {
			if full := pkg + "." + name; bound.MatchString(name) && !slices.Contains(notOfInput, full) {
				assert.True(t, told[full], "%s is a bound that the guide does not have", full)
			}
		}
	}
}

// Each defense is held by tests that there are.
func TestDefensesAreTested(t *testing.T) {
	text, _, _ := strings.Cut(chapter(t, "## A stranger's folder"), "\n### ")
	tests := ""
	require.NoError(t, filepath.WalkDir("..", func(file string, d os.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(file, "_test.go") {
			return err
		}
		source, err := os.ReadFile(file)
		tests += string(source)
		return err
	}))
	rows := 0
	for line := range strings.Lines(text) {
		cells := strings.Split(strings.Trim(line, "| \n"), " | ")
		if len(cells) != 3 || !strings.Contains(cells[2], "`") {
			continue
		}
		rows++
		for _, x := range regexp.MustCompile("`([A-Za-z_]+)`").FindAllStringSubmatch(cells[2], -1) {
			if strings.HasPrefix(x[1], "Test") || strings.HasPrefix(x[1], "Fuzz") {
				assert.Contains(t, tests, "func "+x[1]+"(", "%s", line)
				continue
			}
			assert.FileExists(t, "testdata/script/"+x[1]+".txtar")
		}
	}
	assert.Greater(t, rows, 15)
}
