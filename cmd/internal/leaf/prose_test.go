package leaf_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/leaf"
	"bottlecrop/cmd/internal/prose"
	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

// Facts are said when a page is set, and are words in it, whatever signs they have.
func TestProse(t *testing.T) {
	v := words.English(unit.Metric)
	e := leaf.Edition{Voice: v, Prose: prose.In(v)}
	facts := map[string]any{
		"cold": unit.Amount{Kind: unit.TemperatureOf, Value: 277.15}, "n": 2,
		"sign": "a *star* & <b>", "hostile": `"><script>alert(1)</script>`,
	}
	set := func(text string, alone bool) string {
		return strings.TrimSpace(string(leaf.ProseOf(e, words.AuthoredProse(text, facts), 7, alone)))
	}
	for text, want := range map[string]string{
		"At {cold}, **now**.":                  "<p>At 4\u00a0°C, <strong>now</strong>.</p>",
		"It is {sign}.":                        "<p>It is a *star* &amp; &lt;b&gt;.</p>",
		"{n}. is no list":                      "<p>2. is no list</p>",
		"{hostile}":                            "<p>&quot;&gt;&lt;script&gt;alert(1)&lt;/script&gt;</p>",
		`[x](https://example.org/{hostile})`:   `<p><a href="https://example.org/%22%3E%3Cscript%3Ealert%281%29%3C%2Fscript%3E">x</a></p>`,
		`[x](https://example.org "{hostile}")`: `<p><a href="https://example.org" title="&quot;&gt;&lt;script&gt;alert(1)&lt;/script&gt;">x</a></p>`,
		"`{sign}`":                             "<p><code>a *star* &amp; &lt;b&gt;</code></p>",
		"# {cold}\n\n| a | b |\n|---|---|\n| {n} | {sign} |": `<h4>4 °C</h4>
<div class="wide" tabindex="0" role="region" aria-labelledby="step-7.table.1"><table><caption class="unseen" id="step-7.table.1">4 °C</caption>
<thead>
<tr>
<th scope="col">a</th><th scope="col">b</th></tr>
</thead>
<tbody>
<tr>
<th scope="row">2</th><td>a *star* &amp; &lt;b&gt;</td></tr>
</tbody>
</table></div>`,
	} {
		assert.Equal(t, want, set(text, false), text)
	}
	assert.Equal(t, "<p>vessels</p>", set("[vessels](pressure-vessels.md)", true))
	assert.Equal(t, "<p>at 2</p>", set("at {n}", true), "the same on a page of its own")
	assert.Empty(t, leaf.ProseOf(e, words.Message(""), 7, false))
	assert.Equal(t, []string{"It is a *star* & <b> at 4\u00a0°C."}, leaf.LinesOf(e, words.AuthoredProse("It is {sign} at {cold}.", facts)))
	assert.Panics(t, func() { leaf.ProseOf(leaf.Edition{Voice: v}, words.AuthoredProse("x y z", nil), 1, false) },
		"a sheet with a hole must not be printed")
}
