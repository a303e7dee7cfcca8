package book_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/unit"
)

// A farm that writes no results down has no page of them, and nothing leads to one.
func TestBookWithoutResults(t *testing.T) {
	in := demo(t, unit.Metric)
	with := render(t, unit.Metric)
	assert.Contains(t, with, leaf.ResultsPath)
	assert.Contains(t, string(with[leaf.HomePath]), `href="`+leaf.ResultsPath+`"`)
	assert.Contains(t, string(with[leaf.SearchIndexPath]), leaf.ResultsPath)
	in.Results = nil
	without := paths(t, in)
	assert.NotContains(t, without, leaf.ResultsPath)
	assert.NotContains(t, without, leaf.ResultsWorkingPath)
	assert.NotContains(t, string(renderedOnly(t, in, at(leaf.HomePath))[leaf.HomePath]), leaf.ResultsPath)
}
