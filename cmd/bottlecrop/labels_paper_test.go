package main

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/protocol"
	"bottlecrop/cmd/internal/unit"
)

// box is where a label lies on its sheet, mm, how many of them are printed, and what
// of its text sticks out of it.
type box struct {
	Left, Top, Width, Height float64
	Sheet                    float64 // how far in its sheet lies, where the paper has no margin
	Bare                     bool
	Out                      []string
}

// boxesOf measures the labels of each sheet against the sheet's upper left corner, on
// paper: 96 CSS pixels are 25.4 mm (CSS Values and Units Level 4, 6.2).
const boxesOf = `(async () => {
	await document.fonts.ready;
	const mm = 25.4 / 96;
	return [...document.querySelectorAll('.label-sheet')].map(sheet => {
		const s = sheet.getBoundingClientRect();
		return [...sheet.querySelectorAll('.label')].map(label => {
			const r = label.getBoundingClientRect();
			const out = [];
			const texts = document.createTreeWalker(label, NodeFilter.SHOW_TEXT);
			while (texts.nextNode()) {
				const range = document.createRange();
				range.selectNodeContents(texts.currentNode);
				for (const t of range.getClientRects())
					if (t.left < r.left || t.right > r.right || t.top < r.top || t.bottom > r.bottom) out.push(texts.currentNode.data);
			}
			for (const e of label.querySelectorAll('i, .qr')) {
				const t = e.getBoundingClientRect();
				if (t.left < r.left || t.right > r.right || t.bottom > r.bottom || t.width < 2) out.push(e.outerHTML);
			}
			return {left: (r.left - s.left) * mm, top: (r.top - s.top) * mm, width: r.width * mm, height: r.height * mm, sheet: s.left * mm,
				bare: label.matches('.bare'), out};
		});
	});
})()`

// Each label lies where the measures say, to a twentieth of a millimeter; no text of
// the longest names of the demo farm leaves its label, on the smallest labels that a
// farm may have too; and each sheet is one page.
func TestLabelsOnPaper(t *testing.T) {
	need(t, "pdftotext")
	ctx := browser(t)
	f, err := openFarm(&settings{farm: "../.."})
	require.NoError(t, err)
	sheets := map[string]*protocol.Labels{
		"plain paper": nil,
		"larger ones": {
			Cards:   &protocol.LabelSheet{Columns: 2, Rows: 3, Width: 0.1016, Height: 0.0847, Across: 0.106, Down: 0.0847, Left: 0.004, Top: 0.0127, First: 4},
			Bottles: &protocol.LabelSheet{Columns: 4, Rows: 10, Width: 0.0485, Height: 0.0254, Left: 0.008, Top: 0.0128, First: 7},
		},
		"all the smallest": {
			Cards:   &protocol.LabelSheet{Columns: 2, Rows: 4, Width: protocol.CardWidth, Height: protocol.CardHeight, Across: 0.09, Down: 0.06, Left: 0.01, Top: 0.012},
			Bottles: &protocol.LabelSheet{Columns: 5, Rows: 12, Width: protocol.BottleWidth, Height: protocol.BottleHeight, Left: 0.006, Top: 0.01},
		},
	}
	page := loosePage(t)
	for _, paper := range papers {
		for _, of := range checks.Every(3, sorted(sheets)) { // the smallest among them
			labels := sheets[of]
			e := f.edition()
			e.Farm.Paper, e.Farm.Labels = paper, labels
			for _, entry := range some(f.entries) {
				b := entry.Batches[1]
				entry.Method.Short = "8888-8888" // the widest in print of all that a file can have
				check := func(kind string, html []byte, err error, s protocol.LabelSheet, n int) {
					if kind == "cards" { // they lie no other way between the pages of a binder
						bound, err := leaf.Binder([]leaf.Cover{{Edition: e, Title: "Binder"}}, "binder", entry.Method.Short, []leaf.Bound{{Path: "cards/labels.html", HTML: html}}, nil)
						require.NoError(t, err)
						require.NoError(t, os.WriteFile(page, bound, 0o644))
						for _, sheet := range measuredLabels(t, ctx, page) {
							assert.InDelta(t, 0, sheet[0].Sheet, 0.05, "%s, %s, %s, in a binder", entry.Method.Protocol, paper, of)
							assert.InDelta(t, 1000*float64(s.Left), sheet[0].Left, 0.05, "in a binder")
						}
					}
					name := strings.Join([]string{entry.Method.Protocol, paper, of, kind}, ", ")
					require.NoError(t, err, name)
					pages := printed(t, ctx, page, html)
					got := measuredLabels(t, ctx, page)
					assert.Len(t, pages, len(got), "%s: a sheet is one page", name)
					used := 0
					for _, sheet := range got {
						require.Len(t, sheet, s.Columns*s.Rows, name)
						for i, x := range sheet {
							across, down := s.Pitch()
							assert.InDelta(t, 1000*float64(s.Left+unit.Length(i%s.Columns)*across), x.Left, 0.05, "%s: label %d", name, i)
							assert.InDelta(t, 1000*float64(s.Top+unit.Length(i/s.Columns)*down), x.Top, 0.05, "%s: label %d", name, i)
							assert.InDelta(t, 1000*float64(s.Width), x.Width, 0.05, "%s: label %d", name, i)
							assert.InDelta(t, 1000*float64(s.Height), x.Height, 0.05, "%s: label %d", name, i)
							assert.InDelta(t, 0, x.Sheet, 0.05, name)
							assert.Empty(t, x.Out, "%s: label %d", name, i)
							if !x.Bare {
								used++
							}
						}
					}
					assert.Equal(t, n, used, name)
				}
				page, err := leaf.Cards(e, b, entry.Method)
				check("cards", page, err, e.Farm.Cards(), (b.Vessels+9)/10+1) // crates of 10, and one card for the controls
				if s, wanted := e.Farm.BottleLabels(); wanted {
					page, err := leaf.BottleLabels(e, b, entry.Method)
					check("bottles", page, err, s, b.Vessels)
				}
			}
		}
	}
}

// measuredLabels opens a page as it is printed.
func measuredLabels(t *testing.T, ctx context.Context, page string) [][]box {
	t.Helper()
	media := func(name string) {
		_, err := chromedp.Run(ctx, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
			return cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name})
		})
		require.NoError(t, err)
	}
	media("print")
	defer media("")
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(1000, 1200), chromedp.Navigate("file://"+page)))
	got, err := chromedp.Run(ctx, chromedp.Evaluate[[][]box](boxesOf, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	return got
}
