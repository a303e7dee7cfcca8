package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/book"
)

// An author who reads Spanish is told of the same limits as one who reads English.
func TestFindingsInEveryLanguage(t *testing.T) {
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	es, err := f.in("es")
	require.NoError(t, err)
	rules := func(e book.Entry) []string {
		var out []string
		for _, x := range e.Findings {
			// What is said of the folder's files is said once, where the farm is read.
			if !strings.HasPrefix(x.Rule, "language.") && !strings.HasPrefix(x.Rule, "code.") {
				out = append(out, x.Rule)
			}
		}
		slices.Sort(out)
		return out
	}
	require.Len(t, es.entries, len(f.entries))
	told := 0
	for i, e := range f.entries {
		assert.Equal(t, rules(e), rules(es.entries[i]), e.Method.Protocol)
		told += len(rules(e))
	}
	assert.Greater(t, told, 5)
}
