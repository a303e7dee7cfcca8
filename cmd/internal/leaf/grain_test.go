package leaf_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"bottlecrop/cmd/internal/batch"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/process"
)

func spawnPage(t *testing.T, vessels int, change func(*process.Input)) []byte {
	t.Helper()
	e, told, method := changed(t, "enoki-850", vessels, change)
	data, err := leaf.Grain(e, leaf.Recipe{Process: told.Batch.Process, Batches: []*batch.Batch{told.Batch}, Method: method})
	require.NoError(t, err)
	return data
}

// The table has what batch's test works by hand for 400 bottles, in the order in
// which it is made, and stands before the steps.
func TestSpawnPage(t *testing.T) {
	data := spawnPage(t, 400, func(*process.Input) {})
	doc, err := html.Parse(bytes.NewReader(data))
	require.NoError(t, err)
	var rows []string
	for _, tr := range under(doc, "tr") {
		var cells []string
		for c := tr.FirstChild; c != nil; c = c.NextSibling {
			if c.Type == html.ElementNode {
				cells = append(cells, flatText(c))
			}
		}
		rows = append(rows, strings.Join(cells, "|"))
	}
	at := -1
	for _, want := range []string{
		"Plates||46|34|2, 1 spare||", "Generation 1|36|34|17|4, 2 spare|1|1.35 kg|2.42 kg|6.8 g|1", "Generation 2|19|17|0|17, 2 spare|1|4.86 kg|8.70 kg|24.5 g|1",
	} {
		next := -1
		for i, row := range rows {
			if strings.HasPrefix(row, want) {
				next = i
			}
		}
		assert.Greater(t, next, at, "%s in %v", want, rows)
		at = next
	}
	page := string(data)
	assert.Less(t, strings.Index(page, "<table"), strings.Index(page, `id="step-1"`))
	assert.Contains(t, flatText(doc), "Nobody has worked out what heat does in a jar of grain")
	// The card and the troubles of a batch are about another run: one link each, on
	// top, and none at a step.
	_, steps, _ := strings.Cut(page, `<div class="stations">`)
	for _, other := range []string{"sterilizer-card.html", "troubles.html"} {
		assert.Contains(t, page, other)
		assert.NotContains(t, steps, other)
	}
}

// Where spawn is bought there is no page, and nothing links to one.
func TestNoSpawnPage(t *testing.T) {
	assert.Nil(t, spawnPage(t, 48, func(in *process.Input) { in.Farm.Grain = nil }))
	e, told, method := changed(t, "enoki-850", 48, func(in *process.Input) { in.Farm.Grain = nil })
	e.Farm.Grain = nil
	data, err := leaf.Sheet(e, told, method)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "spawn.html")
	e, told, method = demo(t, "enoki-850", 48)
	data, err = leaf.Sheet(e, told, method)
	require.NoError(t, err)
	assert.Contains(t, string(data), `href="spawn.html"`)
}
