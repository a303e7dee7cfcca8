package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/trace"
)

// A mock recall that touches few batches is one sheet of either paper, with every customer,
// every batch and what to do on it: whoever is on the telephone turns no page. One that
// touches many goes on, and leaves out nobody.
func TestRecallOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	page := loosePage(t)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	w := f.web()
	all := []trace.Node{{Kind: trace.Spawn, Code: "S-39"}, {Kind: trace.Batch, Code: "enoki-850-2026-08-31"}, {Kind: trace.Run, Code: "R-117"}, {Kind: trace.Goods, Code: "H-17"}}
	for _, paper := range papers {
		e := f.edition()
		e.Farm.Paper = paper
		for _, n := range checks.Every(3, all) {
			r := w.Recall(n)
			name := trace.Written(n) + ", " + paper
			html, err := leaf.Recall(e, w, r)
			require.NoError(t, err, name)
			said := ""
			if n.Kind == trace.Goods {
				said = flat(strings.Join(printed(t, ctx, page, html), " "))
			} else {
				said = onePage(t, ctx, page, html, name)
			}
			for _, b := range r.Batches {
				assert.Contains(t, said, b.Code, name)
			}
			for _, p := range r.Maybe {
				assert.Contains(t, said, p.Code, name)
			}
			for _, d := range r.Sent {
				assert.Contains(t, said, d.To, name)
				assert.Contains(t, said, d.Lot, name)
			}
			for _, m := range w.Do(r) {
				first, _, _ := strings.Cut(flat(plain(f.voice.Say(m))), ".")
				assert.Contains(t, said, first, name)
			}
			assert.Contains(t, said, "It took", name)
		}
	}
}
