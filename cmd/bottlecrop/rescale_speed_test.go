package main

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// clocked is what is run in a page: the time in ms from the focus until the module is
// ready, then for numbers that are written one after another the time from the key until
// the sheet stands, and until the browser has drawn it.
const clocked = `(async () => {
	const turned = name => new Promise(done => {
		const watch = new MutationObserver(() => { watch.disconnect(); done(); });
		watch.observe(document.body, { attributeFilter: ["data-" + name] });
	});
	const field = document.querySelector("h1 input.figure-of-size");
	const loaded = performance.now();
	const ready = turned("ready");
	field.focus();
	await ready;
	const out = { ready: performance.now() - loaded, stands: [], drawn: [] };
	await new Promise(done => setTimeout(done, 500)); // the first sheet is nobody's
	for (const n of [137, 52, 138, 99, 401, 139, 76, 140, 53]) {
		field.value = n;
		const anew = turned("anew"), began = performance.now();
		field.dispatchEvent(new Event("input", { bubbles: true }));
		await anew;
		out.stands.push(performance.now() - began);
		await new Promise(done => requestAnimationFrame(() => setTimeout(done)));
		out.drawn.push(performance.now() - began);
		await new Promise(done => setTimeout(done, 200));
	}
	return out;
})()`

// BenchmarkRescaleInABrowser opens a sheet of the demo farm from the disk in Chromium and
// measures how long it takes from the touch of the number until the module is ready,
// "ready-ms", and then from a key until the new sheet stands in the page, "key-ms", and is
// drawn, "drawn-ms"; medians, over as many loads as it runs:
//
//	go test ./cmd/bottlecrop -run '^$' -bench RescaleInABrowser -benchtime 5x
func BenchmarkRescaleInABrowser(b *testing.B) {
	ctx := browser(b)
	folder, _ := moduleBook(b)
	for _, page := range []string{"enoki-850", "es/lions-mane-950"} {
		b.Run(page, func(b *testing.B) {
			var ready, stands, drawn []time.Duration
			for b.Loop() {
				require.NoError(b, chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate("file://"+folder+"/"+page+"/sheet-48.html")))
				got, err := chromedp.Run(ctx, chromedp.Evaluate[struct {
					Ready         float64
					Stands, Drawn []float64
				}](clocked, chromedp.EvalAwaitPromise))
				require.NoError(b, err)
				ready = append(ready, ofMilliseconds(got.Ready)...)
				stands = append(stands, ofMilliseconds(got.Stands...)...)
				drawn = append(drawn, ofMilliseconds(got.Drawn...)...)
			}
			b.ReportMetric(median(ready), "ready-ms")
			b.ReportMetric(median(stands), "key-ms")
			b.ReportMetric(median(drawn), "drawn-ms")
			b.ReportMetric(0, "ns/op")
		})
	}
}

func ofMilliseconds(list ...float64) (out []time.Duration) {
	for _, ms := range list {
		out = append(out, time.Duration(ms*float64(time.Millisecond)))
	}
	return out
}
