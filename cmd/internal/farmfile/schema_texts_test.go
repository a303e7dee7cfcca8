package farmfile

import (
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What each key means stands in the tables of README.md, below the heading of its kind of
// file, and nowhere else. A row names keys in code in its first cell, behind the table
// that they are in, where that is not the one of the row before; a key that the table
// does not have is one of the table around it. Where the second cell has as many parts
// between semicolons as the row has keys, each key has its own; else they share it.
var chapters = []struct {
	heading string
	kinds   []string
}{
	{"### A protocol", []string{"protocol"}},
	{"### The farm", []string{"farm"}},
	{"### What is ordered", []string{"orders"}},
	{"### What is in store", []string{"stock"}},
	{"### What became of the batches", []string{"results"}},
	{"### Other languages", []string{"language"}},
	{"### The library", []string{"species", "ingredient", "vessel", "sterilizer", "trouble"}},
}

var (
	inCode  = regexp.MustCompile("`([^`]+)`")
	ofTable = regexp.MustCompile(`\*\*` + "`" + `\[+([a-z0-9_.-]+)\]+` + "`" + `\*\*`)
)

// keyTexts reads the tables of the README: what is said of a kind's key, by its path
// without the numbers of items.
func keyTexts(t *testing.T) func(kind, path string) string {
	t.Helper()
	readme, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	types := map[string]reflect.Type{}
	for _, k := range fileKinds() {
		types[k.name] = k.t
	}
	texts := map[string]string{}
	for _, c := range chapters {
		_, chapter, found := strings.Cut(string(readme), "\n"+c.heading+"\n")
		require.True(t, found, "README.md has no chapter %q", c.heading)
		if end := regexp.MustCompile(`\n##+ `).FindStringIndex(chapter); end != nil {
			chapter = chapter[:end[0]]
		}
		tables := []string{""}
		for line := range strings.Lines(chapter) {
			cells := strings.Split(strings.TrimSpace(line), " | ")
			if !strings.HasPrefix(line, "| ") || len(cells) != 2 {
				continue
			}
			first, text := strings.TrimPrefix(cells[0], "| "), strings.TrimSuffix(strings.TrimSuffix(cells[1], "|"), " ")
			if named := ofTable.FindAllStringSubmatch(first, -1); named != nil {
				tables = nil
				for _, n := range named {
					tables = append(tables, n[1])
					for _, kind := range c.kinds {
						texts[kind+" "+n[1]] = text
					}
				}
				first = ofTable.ReplaceAllString(first, "")
			}
			keys := inCode.FindAllStringSubmatch(first, -1)
			parts := strings.Split(text, "; ")
			for i, k := range keys {
				name, said := strings.Trim(k[1], "[]"), text
				if len(parts) == len(keys) {
					said = parts[i]
				}
				placed := false
				for _, kind := range c.kinds {
					for _, table := range tables {
						if at, is := nearestKey(types[kind], table, name); is {
							texts[kind+" "+at], placed = said, true
						}
					}
				}
				assert.True(t, placed, "README.md, %s: no file of that kind has %s in %v", c.heading, name, tables)
			}
		}
	}
	return func(kind, path string) string {
		if path == "format" {
			return texts["orders format"]
		}
		return texts[kind+" "+path]
	}
}

// nearestKey is the path of a key of a table, or of the nearest table around it that has
// one of that name.
func nearestKey(t reflect.Type, table, name string) (string, bool) {
	for {
		if at := strings.TrimPrefix(table+"."+name, "."); hasKey(t, at) {
			return at, true
		}
		if table == "" {
			return "", false
		}
		table = table[:max(strings.LastIndexByte(table, '.'), 0)]
	}
}

// hasKey reports whether a type has a key, by its path without numbers of items.
func hasKey(t reflect.Type, path string) bool {
	key, rest, more := strings.Cut(path, ".")
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if !isTable(t) {
		return false
	}
	for _, f := range fieldsOf(t) {
		if f.key == key {
			return !more || hasKey(f.kind, rest)
		}
	}
	return false
}
