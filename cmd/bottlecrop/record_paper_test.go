package main

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/procedure"
)

var (
	heading = regexp.MustCompile(`(?s)<(?:h2|h3|caption)[^>]*>(.*?)</(?:h2|h3|caption)>`)
	cell    = regexp.MustCompile(`(?s)<(td|dd|li|p)\b[^>]*>([^<]*)</(?:td|dd|li|p)>`)
	anyTag  = regexp.MustCompile(`<[^>]*>`)
)

// squeezed is a text as it is compared: without tags, its blanks alike.
func squeezed(text string) string {
	return flat(html.UnescapeString(anyTag.ReplaceAllString(text, "")))
}

// inMargin is true for a line of what stands in the margins of the paper.
func inMargin(line, fingerprint string) bool {
	return strings.Contains(line, fingerprint) || strings.Contains(line, "Batch code:") || strings.HasPrefix(line, "Page ")
}

// What is written on by hand: on both papers, for a small, a usual and a large batch,
// each page says which document and edition it is; no page ends with a heading or a
// caption, and no row goes on overleaf; the signatures stand on one page with what is
// signed; and a record has a place for the batch code on every page.
func TestRecordsOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	require.Len(t, f.entries, 7)
	documents := []struct {
		name     string
		set      func(leaf.Edition, procedure.Procedure, leaf.Method) ([]byte, error)
		together []string // on the last page
		each     string   // on every page
	}{
		{"record", leaf.Record, []string{"What was not as it should be", "Review", "The counts come out: C is F.", "Signature", "Printed copies are uncontrolled"}, "Batch code:"},
		{"training", leaf.Training, []string{"May do this work alone.", "Trainer, signature"}, ""},
		{"key", leaf.TrainingKey, nil, ""},
	}
	page := loosePage(t)
	for _, paper := range papers {
		e := f.edition()
		e.Farm.Paper = paper
		for _, entry := range some(f.entries) {
			for _, b := range some(entry.Batches) {
				told := procedure.Build(b)
				for _, d := range documents {
					what := fmt.Sprintf("%s, %s for %d, %s", entry.Method.Protocol, d.name, b.Vessels, paper)
					text, err := d.set(e, told, entry.Method)
					require.NoError(t, err, what)
					never := map[string]bool{}
					for _, h := range heading.FindAllStringSubmatch(string(text), -1) {
						never[squeezed(h[1])] = true
					}
					require.Greater(t, len(never), 2, what)
					pages := printed(t, ctx, page, text)
					assert.LessOrEqual(t, len(pages), 16, what)
					last, all := "", ""
					for i, p := range pages {
						assert.Contains(t, p, entry.Method.Short, "%s: page %d", what, i+1)
						assert.Contains(t, p, d.each, "%s: page %d", what, i+1)
						last = squeezed(p)
						all += last + "\n"
						end := lastLine(p, func(line string) bool { return inMargin(line, entry.Method.Short) })
						require.NotEmpty(t, end, "%s: page %d is empty", what, i+1)
						assert.False(t, never[squeezed(end)], "%s: page %d ends with %s", what, i+1, end)
					}
					checked := 0
					for _, c := range cell.FindAllStringSubmatch(string(text), -1) {
						if said := squeezed(c[2]); len(strings.Fields(said)) > 5 && !strings.Contains(said, "CO") { // of which the 2 is set apart
							checked++
							assert.Contains(t, all, said, "%s: a row or a sentence goes on overleaf", what)
						}
					}
					assert.Greater(t, checked, 4, what)
					for _, part := range d.together {
						assert.Contains(t, last, part, "%s: the last page", what)
					}
				}
			}
		}
	}
}

// Each kind of load is one page, with its layers.
func TestLoadMapsOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	page := loosePage(t)
	for _, paper := range papers {
		e := f.edition()
		e.Farm.Paper = paper
		for _, entry := range some(f.entries) {
			for _, b := range checks.Every(3, entry.Batches) {
				what := fmt.Sprintf("%s for %d, %s", entry.Method.Protocol, b.Vessels, paper)
				text, err := leaf.LoadMap(e, b, entry.Method)
				require.NoError(t, err, what)
				loads := strings.Count(string(text), `<section class="load"`)
				require.Positive(t, loads, what)
				pages := printed(t, ctx, page, text)
				assert.Len(t, pages, loads, what)
				for _, p := range pages {
					assert.Contains(t, squeezed(p), "Layer 1", what)
				}
			}
		}
	}
}
