package main

import (
	"context"
	"encoding/json"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bottlecrop/cmd/internal/checks"
)

// ask types a query into the field of the search page as a reader does, and
// reads what is on the page then.
const ask = `(async query => {
	const field = document.getElementById('look-for');
	field.value = query;
	field.dispatchEvent(new Event('input', {bubbles: true}));
	const top = () => document.getElementById('found-list').getBoundingClientRect().top;
	const before = top();
	await new Promise(r => setTimeout(r, 200));
	const results = [...document.querySelectorAll('.found-one')].map(li => ({
		kind: li.querySelector('.found-kind').textContent,
		title: li.querySelector('.found-title').firstChild.textContent.trim(),
		text: li.querySelector('.found-text')?.textContent ?? '',
		links: [...li.querySelectorAll('a')].map(a => a.getAttribute('href')),
	}));
	const low = [...document.querySelectorAll('.found-one a, .look-for input, .look-for button')]
		.filter(e => e.getBoundingClientRect().height < 44 || e.getBoundingClientRect().width < 44).map(e => e.outerHTML);
	return {
		results, low, moved: top() - before,
		status: document.querySelector('[role=status]').textContent,
		query: new URLSearchParams(location.search).get('q') ?? '',
	};
})(%s)`

type result struct {
	Kind, Title, Text string
	Links             []string
}

type answer struct {
	Results []result
	Low     []string
	Moved   float64
	Status  string
	Query   string
}

func titles(list []result) (out []string) {
	for _, r := range list {
		out = append(out, r.Title)
	}
	return out
}

// The search works on a page opened from the disk: the beginning of a word is
// enough, all words must fit, capitals, accents and a plural's s do not matter,
// titles come first, and the order is always the same.
func TestSearchInABrowser(t *testing.T) {
	ctx := browser(t)
	out := demoBook(t)
	page := "file://" + filepath.Join(out, "search.html")
	for _, width := range checks.Every(2, []int64{390, 1280}) {
		require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(page)))
		get := func(query string) answer {
			got := askFor(t, ctx, query)
			assert.Empty(t, got.Low, "%s: targets under 44 px at %d px", query, width)
			assert.Zero(t, got.Moved, "%s: the list moved when it was filled", query)
			assert.Equal(t, query, got.Query, "the address keeps the query")
			return got
		}

		got := get("bran")
		require.GreaterOrEqual(t, len(got.Results), 5)
		assert.Equal(t, []string{"bran", "Rice bran, defatted", "Rice bran, full-fat", "Wheat bran"}, titles(got.Results[:4]), "titles first, the whole title before all")
		assert.Equal(t, "Ingredient", got.Results[1].Kind)
		assert.Equal(t, strconv.Itoa(len(got.Results))+"\u00a0entries found.", got.Status)
		assert.Equal(t, got.Results, get("BRÄN").Results, "capitals and accents")
		assert.Equal(t, got.Results, get("  bran ").Results)
		assert.Equal(t, got.Results[:4], get("brans").Results[:4], "a plural")
		assert.Equal(t, got, get("bran"), "the same again")

		got = get("bran whe")
		require.NotEmpty(t, got.Results)
		assert.Equal(t, "Wheat bran", got.Results[0].Title, "all words must fit, in any order")
		assert.NotContains(t, titles(got.Results), "Rice bran, full-fat")

		got = get("fill jar")
		require.NotEmpty(t, got.Results)
		assert.Equal(t, "Fill the jars", got.Results[0].Title)
		assert.Equal(t, "Step", got.Results[0].Kind)
		assert.Len(t, got.Results[0].Links, 2, "the two protocols in jars")
		for _, link := range got.Results[0].Links {
			assert.Regexp(t, `^(enoki|maitake)-quart/sheet-12\.html#step-\d+$`, link)
		}
		got = get("fill enoki jar")
		require.NotEmpty(t, got.Results)
		assert.Equal(t, "Fill the jars", got.Results[0].Title)
		assert.Len(t, got.Results[0].Links, 1, "one of them is enoki")

		assert.Equal(t, "Enoki in the 850 mL bottle", get("enoki 850").Results[0].Title)
		assert.Contains(t, titles(get("highest co2 fruiting").Results), "Highest CO", "CO₂ is found as CO2; behind it stands a subscript")
		assert.Equal(t, "enoki", strings.ToLower(get("enoki").Results[0].Title), "the whole title comes before its beginning")
		assert.Equal(t, "Flammulina filiformis", get("flammulina").Results[0].Text)

		got = get("xylophone")
		assert.Empty(t, got.Results)
		assert.Contains(t, got.Status, "Nothing found.")
		got = get("the")
		assert.Len(t, got.Results, 40, "no more than a reader looks through")
		assert.Contains(t, got.Status, "the first 40 are shown")
		got = get("")
		assert.Empty(t, got.Results)
		assert.Contains(t, got.Status, "entries to search")
		assert.Empty(t, get("<img src=x onerror=alert(1)>").Results)
	}
}

func askFor(t *testing.T, ctx context.Context, query string) answer {
	t.Helper()
	quoted, err := json.Marshal(query)
	require.NoError(t, err)
	got, err := chromedp.Run(ctx, chromedp.Evaluate[answer](strings.Replace(ask, "%s", string(quoted), 1), chromedp.EvalAwaitPromise))
	require.NoError(t, err, query)
	return got
}

// The field on the home page is a plain form: it leads to the search page, which
// answers at once.
func TestSearchFromTheHomePage(t *testing.T) {
	ctx := browser(t)
	out := demoBook(t)
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(390, 900), chromedp.Navigate("file://"+filepath.Join(out, "index.html")),
		chromedp.SendKeys("#look-for", "gypsum\r"), chromedp.WaitVisible(".found-one")))
	type there struct{ Address, First, Field string }
	got, err := chromedp.Run(ctx, chromedp.Evaluate[there](`({
		address: location.pathname.split('/').pop() + location.search,
		first: document.querySelector('.found-title').textContent,
		field: document.getElementById('look-for').value,
	})`))
	require.NoError(t, err)
	assert.Equal(t, there{"search.html?q=gypsum", "Gypsum", "gypsum"}, got)

	// A link of the results leads to the entry itself.
	require.NoError(t, chromedp.Do(ctx, chromedp.Click(".found-one a"), chromedp.WaitVisible("article.item")))
	where, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.hash + ' ' + document.querySelector(':target').className`))
	require.NoError(t, err)
	assert.Equal(t, "#entry-gypsum item", where)
}
