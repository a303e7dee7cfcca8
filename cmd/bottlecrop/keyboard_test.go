package main

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// unreachable finds what a reader without a mouse would miss: a place that scrolls and
// takes no focus or has no name, an order of our own, and a focus that is not seen.
const unreachable = `
	const out = [];
	for (const e of document.querySelectorAll('body *')) {
		if (e instanceof SVGElement || !shown(e)) continue;
		const s = getComputedStyle(e);
		const moves = /auto|scroll/.test(s.overflowX) && e.scrollWidth > e.clientWidth || /auto|scroll/.test(s.overflowY) && e.scrollHeight > e.clientHeight;
		if (!moves) continue;
		const named = e.getAttribute('aria-label') || document.getElementById(e.getAttribute('aria-labelledby'))?.textContent.trim();
		if (e.tabIndex !== 0) out.push('scrolls and takes no focus: ' + ways(e));
		if (!named || !e.getAttribute('role')) out.push('scrolls and has no name: ' + ways(e));
	}
	for (const e of document.querySelectorAll('[tabindex]')) if (e.tabIndex > 0) out.push('is out of order: ' + ways(e));
	const met = new Set();
	for (const e of document.querySelectorAll('a[href], input, button, summary, [tabindex="0"]')) {
		const kind = ways(e) + ways(e.parentElement);
		if (met.has(kind) || !e.checkVisibility()) continue;
		met.add(kind);
		e.focus({focusVisible: true});
		if (document.activeElement !== e) { out.push('takes no focus: ' + ways(e)); continue; }
		const s = getComputedStyle(e);
		if (s.outlineStyle === 'none' || parseFloat(s.outlineWidth) < 2 || contrast(color(s.outlineColor), e.parentElement) < 3)
			out.push('shows no focus: ' + ways(e) + ' ' + s.outline);
	}
	return [...new Set(out)].slice(0, 8);
`

// Whoever has no mouse reaches all (WCAG 2.2, 2.1.1), sees where the focus is (2.4.7,
// 2.4.13), and goes in the order of the page (2.4.3): on a desk, and on the narrowest
// window, where most of what can scroll does.
func TestKeyboardReachesAll(t *testing.T) {
	ctx := browser(t)
	type view struct {
		page  string
		width int64
	}
	var views []view
	for _, page := range kinds {
		views = append(views, view{page, 1280}, view{page, 320})
	}
	for _, v := range checks.Every(37, views) {
		name := opened(t, ctx, demoBook(t), v.page, v.width)
		assert.Empty(t, looked[[]string](t, ctx, name, unreachable), name)
	}
}

// here is where the focus is after a step: its place among all that take it, whether all
// of it that fits is seen, and whether something lies over it.
const here = `
	const e = document.activeElement;
	if (!e || e === document.body) return {place: -1, way: 'nothing', seen: true};
	const all = [...document.querySelectorAll('a[href], input, button, summary, [tabindex="0"]')].filter(e => e.checkVisibility());
	const r = e.getClientRects()[0] ?? e.getBoundingClientRect();
	const [x, y] = [Math.min(Math.max(r.left + r.width / 2, 1), innerWidth - 2), Math.min(Math.max(r.top + r.height / 2, 1), innerHeight - 2)];
	const top = document.elementFromPoint(x, y);
	const seen = r.width > 0 && r.bottom > 0 && r.top < innerHeight && !!top && (e.contains(top) || top.contains(e));
	return {place: all.indexOf(e), all: all.length, way: ways(e), seen, skip: e.classList.contains('skip')};
`

type place struct {
	Place, All int
	Way        string
	Seen, Skip bool
}

// The tabulator goes from the skip link through everything on the page in its order and
// out again: nothing holds the focus (WCAG 2.2, 2.1.2), and nothing hides it (2.4.11).
func TestTabulatorGoesThrough(t *testing.T) {
	ctx := browser(t)
	for _, page := range some([]string{
		"enoki-850/card-sterilizing-48.html", "search.html", "start-of-shift.html", "index.html", "enoki-850/record-48.html", "results.html",
		"enoki-850/sterilizer-card.html", "rooms/cold.html", "weeks/2027-W09.html",
	}) {
		for _, width := range checks.Every(2, []int64{390, 1280}) {
			name := opened(t, ctx, demoBook(t), page, width)
			for step := 0; ; step++ {
				require.NoError(t, chromedp.Do(ctx, chromedp.KeyEvent(kb.Tab)), name)
				at := looked[place](t, ctx, name, here)
				if step > 0 && at.Place < 0 {
					break // out of the page
				}
				assert.Equal(t, step, at.Place, "%s: %s comes out of its order, or holds the focus", name, at.Way)
				assert.True(t, at.Seen, "%s: the focus is on %s, and it is not seen", name, at.Way)
				assert.Equal(t, step == 0, at.Skip, "%s: the skip link is first", name)
				if step >= at.All || t.Failed() {
					break
				}
				if step == at.All-1 {
					require.NoError(t, chromedp.Do(ctx, chromedp.KeyEvent(kb.Tab)), name)
					assert.NotEqual(t, step, looked[place](t, ctx, name, here).Place, "%s: %s holds the focus", name, at.Way)
					break
				}
			}
			// The skip link leads to what the page is about.
			name = opened(t, ctx, demoBook(t), page, width)
			require.NoError(t, chromedp.Do(ctx, chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent(kb.Tab)), name)
			assert.True(t, looked[bool](t, ctx, name, `const e = document.activeElement; return e === document.body || !!e.closest('main, footer');`), "%s: the skip link leads nowhere", name)
		}
	}
}
