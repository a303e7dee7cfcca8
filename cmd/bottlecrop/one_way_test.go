package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writesItself are the calls of os, and of an *os.Root, by which a file comes to be, changes
// or goes.
var writesItself = []string{"WriteFile", "CreateTemp", "MkdirTemp", "Rename", "OpenFile", "Link", "Linkat", "Symlink", "Remove", "RemoveAll"}

// mayWrite are the files that call them all the same, and why.
var mayWrite = map[string]string{
	"bottlecrop/print.go":           "a page in a folder of temporary files",
	"bottlecrop/store.go":           "takes old results out of its own cache",
	"internal/press/press.go":       "takes away what its browser left",
	"bottlecrop-release/main.go":    "makes archives anew, and no farm has them",
	"internal/checks/golden.go":     "writes what a test expects, where it is asked to",
	"internal/checks/repository.go": "supports tests",
	"internal/book/publish.go":      "writes a book into a folder that it made",
	"internal/book/manifest.go":     "takes away a book by its list",
	"internal/book/link_other.go":   "has a page of the old book in the new one",
	"internal/book/link_unix.go":    "has a page of the old book in the new one",
	"internal/book/swap_linux.go":   "puts a book in its place",
	"internal/book/swap_other.go":   "puts a book in its place",
}

// There is one way to put a text in the place of a file. A call past it would be one that
// can lose somebody's work.
func TestFilesArePutInPlaceByOnePackage(t *testing.T) {
	found := map[string]bool{}
	require.NoError(t, filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		rel, err := filepath.Rel("..", path)
		require.NoError(t, err)
		rel = filepath.ToSlash(rel)
		if strings.HasPrefix(rel, "internal/filing/") {
			return nil
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		ast.Inspect(parsed, func(n ast.Node) bool {
			call, is := n.(*ast.CallExpr)
			if !is {
				return true
			}
			if f, is := call.Fun.(*ast.SelectorExpr); is && slices.Contains(writesItself, f.Sel.Name) {
				found[rel] = true
				assert.NotEmpty(t, mayWrite[rel], "%s calls %s: package filing puts files in their place", set.Position(call.Pos()), f.Sel.Name)
			}
			return true
		})
		return nil
	}))
	for file := range mayWrite {
		assert.True(t, found[file], "%s writes nothing by itself: take it out of the list", file)
	}
}
