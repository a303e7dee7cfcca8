package checks_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// owed names rows that a package must meet as soon as it has tests. A row that
// is met needs no line here.
var owed = map[string]string{}

// unmet names rows that no calculation can meet, with the reason.
var unmet = map[string]string{}

// Every row of every table must be met by a test, owed by a package that has
// no tests yet, or listed with a reason; and nothing may be claimed that is
// not in a table. So neither a new row nor a lost test goes unseen.
func TestEveryRowIsAccountedFor(t *testing.T) {
	root, err := checks.Root()
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(root, "testdata", "*-checks.csv"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 2)

	rows := map[string]bool{}
	prefixes := map[string]bool{}
	for _, f := range files {
		for _, r := range checks.Open(t, strings.TrimSuffix(filepath.Base(f), "-checks.csv")).Rows {
			assert.False(t, rows[r.ID], "%s stands in two tables", r.ID)
			rows[r.ID] = true
			prefixes[strings.TrimRight(r.ID, "0123456789")] = true
		}
	}
	claims, tested := claimsUnder(t, filepath.Join(root, "cmd"), prefixes)

	for id, where := range claims {
		assert.True(t, rows[id], "%s claims %s, which is in no table", where, id)
	}
	owner := expand(t, owed)
	reason := expand(t, unmet)
	for id := range rows {
		switch {
		case claims[id] != "":
			assert.NotContains(t, reason, id, "%s is met by %s: take it off the list of rows that cannot be met", id, claims[id])
		case reason[id] != "":
		case owner[id] == "":
			t.Errorf("%s is met by no test: claim it in one by its id, or list it here with the reason", id)
		default:
			assert.False(t, slices.Contains(tested, owner[id]), "%s is owed by package %s, whose tests do not claim it", id, owner[id])
		}
	}
	for _, list := range []map[string]string{owner, reason} {
		for id := range list {
			assert.True(t, rows[id], "%s is listed but in no table", id)
		}
	}
}

func expand(t *testing.T, runs map[string]string) map[string]string {
	out := map[string]string{}
	for run, why := range runs {
		require.NotEmpty(t, checks.Expand(run), run)
		require.NotEmpty(t, why, run)
		for _, id := range checks.Expand(run) {
			out[id] = why
		}
	}
	return out
}

// claimsUnder finds the row ids that test files write as string literals, with
// the file that does, and the names of packages that have tests. This package's
// own tests, which speak of rows without meeting them, are left out.
func claimsUnder(t *testing.T, dir string, prefixes map[string]bool) (claims map[string]string, tested []string) {
	claims = map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && d.Name() == "checks":
			return filepath.SkipDir
		case !strings.HasSuffix(path, "_test.go"):
			return nil
		}
		tested = append(tested, filepath.Base(filepath.Dir(path)))
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil {
				return true
			}
			for _, id := range checks.Expand(text) {
				if prefixes[strings.TrimRight(id, "0123456789")] {
					claims[id] = filepath.Base(path)
				}
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	return claims, tested
}
