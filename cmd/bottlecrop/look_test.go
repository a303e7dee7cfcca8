package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// looks is what tests of pages ask a browser, as functions of its own.
const looks = `
const ways = e => { let s = e.tagName.toLowerCase(); const c = e.getAttribute('class'); if (c) s += '.' + c.split(' ').join('.'); return s; };
const hiddenAway = e => e.closest('.unseen, .sign-store, .skip, noscript, [hidden]') || getComputedStyle(e).clipPath !== 'none' && getComputedStyle(e).position === 'absolute';
const heardOnly = e => { for (; e; e = e.parentElement) if (hiddenAway(e)) return true; return false; };
const shown = e => e.checkVisibility({visibilityProperty: true, opacityProperty: true}) && !heardOnly(e);

// The texts that are seen, each with the boxes of its lines.
function texts() {
	const out = [];
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	const range = document.createRange();
	for (let n = walk.nextNode(); n; n = walk.nextNode()) {
		const e = n.parentElement;
		if (!n.data.trim() || e.closest('style, script, title, desc, defs') || !shown(e)) continue;
		range.selectNodeContents(n);
		out.push({text: n.data.trim(), e, boxes: [...range.getClientRects()].filter(r => r.width > 0.5)});
	}
	return out;
}

// What scrolls of its own is no part of the page's width.
function scrolls(e) {
	for (e = e.parentElement; e; e = e.parentElement) if (/auto|scroll/.test(getComputedStyle(e).overflowX)) return true;
	return false;
}

// Colors as a browser mixes them: red, green, blue from 0 to 255, and how opaque.
const ink = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
const known = new Map();
function color(c) {
	if (!known.has(c)) {
		ink.clearRect(0, 0, 1, 1);
		ink.fillStyle = c;
		ink.fillRect(0, 0, 1, 1);
		const d = ink.getImageData(0, 0, 1, 1).data;
		known.set(c, [d[0], d[1], d[2], d[3] / 255]);
	}
	return known.get(c);
}
const over = (a, b) => [0, 1, 2].map(i => a[i] * a[3] + b[i] * (1 - a[3])).concat(1);
function ground(e) {
	const layers = [];
	for (; e; e = e.parentElement) {
		const c = color(getComputedStyle(e).backgroundColor);
		layers.push(c);
		if (c[3] === 1) break;
	}
	return layers.reverse().reduce((below, c) => over(c, below), color('Canvas'));
}
// Relative luminance and contrast as WCAG 2.2 defines them.
const luminance = c => [0, 1, 2].map(i => c[i] / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
	.reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
function contrast(c, e) {
	let opaque = 1;
	for (let x = e; x; x = x.parentElement) opaque *= getComputedStyle(x).opacity;
	const below = ground(e);
	const [a, b] = [luminance(over([c[0], c[1], c[2], c[3] * opaque], below)), luminance(below)];
	return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
}
`

// looked evaluates a function in a page, with those above at hand.
func looked[T any](t *testing.T, ctx context.Context, name, function string) T {
	t.Helper()
	got, err := chromedp.Run(ctx, chromedp.Evaluate[T]("(async () => {await document.fonts.ready;"+looks+function+"})()", chromedp.EvalAwaitPromise))
	require.NoError(t, err, name)
	return got
}

// seenAs has a tab show pages in a medium, with what a reader prefers.
func seenAs(t *testing.T, ctx context.Context, medium string, prefers ...string) {
	t.Helper()
	var features []*emulation.MediaFeature
	for _, p := range prefers {
		name, value, _ := strings.Cut(p, ": ")
		features = append(features, &emulation.MediaFeature{Name: name, Value: value})
	}
	_, err := chromedp.Run(ctx, func(ctx context.Context, tab *chromedp.Target) (cdp.Empty, error) {
		return cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: medium, Features: features})
	})
	require.NoError(t, err)
}

// opened opens a page of a book in a window so wide.
func opened(t *testing.T, ctx context.Context, book, page string, width int64) (name string) {
	t.Helper()
	name = fmt.Sprintf("%s/%s, %d px", filepath.Base(book), page, width)
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate("file://"+filepath.Join(book, page))), name)
	return name
}

// shelved is a page of one of the books that tests open. The book is made when it is
// asked for.
type shelved struct {
	book func(*testing.T) string
	page string
}

// everyKind is a page of each kind, in both languages, in large type and in the
// pseudo-language.
func everyKind() []shelved {
	var out []shelved
	for _, page := range kinds {
		out = append(out, shelved{demoBook, page}, shelved{demoBook, "es/" + page}, shelved{largeBook, page}, shelved{pseudoBook, page})
	}
	return out
}

// misplaced finds what a reader would not see whole: a page that is wider than its
// window, a text out of the page, a text that is cut off by its box, and two texts on
// each other.
const misplaced = `
	const out = [];
	const wide = document.documentElement.clientWidth;
	if (document.documentElement.scrollWidth > wide) out.push('the page is ' + document.documentElement.scrollWidth + ' wide');
	for (const e of document.querySelectorAll('body *')) {
		const s = getComputedStyle(e);
		if (e instanceof SVGElement || s.display === 'inline' || !/hidden|clip/.test(s.overflowX + s.overflowY) || !shown(e)) continue;
		if (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1) out.push('cut off: ' + ways(e) + ' ' + e.textContent.trim().slice(0, 40));
	}
	const boxes = [];
	// A mark in its circle is one letter in each language, and in brackets three signs.
	for (const t of texts().filter(t => !t.e.matches('.load-map .figure-word'))) for (const r of t.boxes) {
		if ((r.left < -1 || r.right > wide + 1) && !scrolls(t.e)) out.push('out of the page: ' + ways(t.e) + ' ' + t.text.slice(0, 40));
		// Letters reach over the lines that they stand on: the middle of a line counts.
		boxes.push({t, left: r.left + 1, right: r.right - 1, top: r.top + r.height * 0.3, bottom: r.bottom - r.height * 0.3});
	}
	boxes.sort((a, b) => a.top - b.top);
	for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length && boxes[j].top < boxes[i].bottom; j++) {
		const [a, b] = [boxes[i], boxes[j]];
		if (a.t !== b.t && a.left < b.right && b.left < a.right)
			out.push('on each other: ' + ways(a.t.e) + ' ' + a.t.text.slice(0, 30) + ' and ' + ways(b.t.e) + ' ' + b.t.text.slice(0, 30));
	}
	return [...new Set(out)].slice(0, 8);
`

// No page is wider than its window, and no text is cut off or lies on another: on a
// desk, at 200 % of it (a window of 640 px), on a phone, and at 320 px, which is what
// WCAG 2.2 asks for (1.4.4, 1.4.10).
func TestNothingIsMisplaced(t *testing.T) {
	ctx := browser(t)
	type view struct {
		shelved
		width int64
	}
	var views []view
	for _, p := range everyKind() {
		for _, width := range []int64{1280, 640, 390, 320} {
			views = append(views, view{p, width})
		}
	}
	for _, v := range few(views) {
		name := opened(t, ctx, v.book(t), v.page, v.width)
		assert.Empty(t, looked[[]string](t, ctx, name, misplaced), name)
	}
}

// faint finds texts with less than 4.5 to 1 of contrast to their ground (WCAG 2.2,
// 1.4.3), and lines and signs with less than 3 to 1 (1.4.11). Hairlines and shades that
// only part what space parts already carry no meaning.
const faint = `
	const out = [];
	for (const t of texts()) {
		const s = getComputedStyle(t.e);
		const c = t.e instanceof SVGElement ? s.fill : s.color;
		if (c === 'none') continue;
		const r = contrast(color(c), t.e);
		if (r < 4.5) out.push(r.toFixed(2) + ': text ' + ways(t.e) + ' ' + t.text.slice(0, 30));
	}
	for (const e of document.querySelectorAll('main svg :is(path, line, rect, circle, ellipse, polygon, polyline)')) {
		if (!shown(e) || e.closest('defs, pattern, clipPath, marker, ` + decoration + `')) continue;
		const s = getComputedStyle(e);
		const best = Math.max(...[s.fill, s.stroke].filter(c => c !== 'none' && !c.startsWith('url')).map(c => contrast(color(c), e)), 0);
		if (best > 0 && best < 3) out.push(best.toFixed(2) + ': drawn ' + ways(e.ownerSVGElement) + ' ' + ways(e));
	}
	for (const e of document.querySelectorAll('main input')) {
		if (!shown(e)) continue;
		const s = getComputedStyle(e);
		const r = contrast(color(s.borderBottomColor), e.parentElement);
		if (parseFloat(s.borderBottomWidth) < 1 || r < 3) out.push(r.toFixed(2) + ': field ' + ways(e));
	}
	return [...new Set(out)].slice(0, 8);
`

// decoration are the parts of pictures that carry no meaning of their own: the lines of a
// grid, and what is in the color of the ground to part two marks. A code has a ground of
// its own, and is read by a camera.
const decoration = `.hair, .halo, .gap, .ground, .qr`

// Every text, sign and line that says something stands out from its ground, as the
// browser works out its color: in light, in the dark of an incubation room, and where
// a reader has colors forced on all pages.
func TestNothingIsFaint(t *testing.T) {
	ctx := browser(t)
	type view struct {
		shelved
		prefers []string
	}
	var views []view
	for _, page := range kinds {
		for _, prefers := range [][]string{{"prefers-color-scheme: light"}, {"prefers-color-scheme: dark"}, {"forced-colors: active"}, {"forced-colors: active", "prefers-color-scheme: dark"}} {
			views = append(views, view{shelved{demoBook, page}, prefers}, view{shelved{largeBook, "es/" + page}, prefers})
		}
	}
	for _, v := range few(views) {
		seenAs(t, ctx, "screen", v.prefers...)
		name := opened(t, ctx, v.book(t), v.page, 1280) + ", " + strings.Join(v.prefers, ", ")
		assert.Empty(t, looked[[]string](t, ctx, name, faint), name)
	}
}

// moving finds what moves, or would.
const moving = `
	const out = document.getAnimations().map(a => 'moves: ' + ways(a.effect.target));
	for (const e of document.querySelectorAll('*')) {
		const s = getComputedStyle(e);
		if (s.animationName !== 'none') out.push('is animated: ' + ways(e));
		if (s.transitionDuration.split(', ').some(d => parseFloat(d) > 0)) out.push('fades: ' + ways(e));
		if (s.scrollBehavior === 'smooth') out.push('glides: ' + ways(e));
	}
	return out.slice(0, 8);
`

// Nothing moves, whether a reader asked for that or not (WCAG 2.2, 2.2.2 and 2.3.3).
func TestNothingMoves(t *testing.T) {
	ctx := browser(t)
	for _, prefers := range []string{"no-preference", "reduce"} {
		seenAs(t, ctx, "screen", "prefers-reduced-motion: "+prefers)
		for _, page := range few(kinds) {
			name := opened(t, ctx, demoBook(t), page, 1280)
			assert.Empty(t, looked[[]string](t, ctx, name, moving), name)
		}
	}
}
