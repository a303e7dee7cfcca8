package leaf

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"bottlecrop/cmd/internal/unit"
	"bottlecrop/cmd/internal/words"
)

func TestProse(t *testing.T) {
	e := Edition{Voice: words.English(unit.Metric)}
	facts := map[string]any{"cold": unit.Amount{Kind: unit.TemperatureOf, Value: 277.15}, "sign": "a *star* & <b>"}
	set := func(text string, alone bool) string {
		return strings.TrimSpace(string(e.prose(words.AuthoredProse(text, facts), 7, alone)))
	}
	for text, want := range map[string]string{
		"At {cold}, **now**.":                                          "<p>At 4\u00a0°C, <strong>now</strong>.</p>",
		"It is {sign}.":                                                "<p>It is a *star* &amp; &lt;b&gt;.</p>",
		"<script>alert(1)</script>\n\n<b>x</b> y":                      "<!-- raw HTML omitted -->\n<p><!-- raw HTML omitted -->x<!-- raw HTML omitted --> y</p>",
		"# One\n\n### Deep\n\n# Two":                                   "<h4>One</h4>\n<h5>Deep</h5>\n<h4>Two</h4>",
		"See ![a picture](x.png).":                                     "<p>See a picture.</p>",
		"[vessels](pressure-vessels.md#hold) [w](https://example.org)": `<p><a href="../guides/pressure-vessels.html#hold">vessels</a> <a href="https://example.org">w</a></p>`,
		"[x](javascript:alert(1)) [y](../a.md)":                        "<p>x y</p>",
	} {
		assert.Equal(t, want, set(text, false), text)
	}
	assert.Equal(t, "<p>vessels</p>", set("[vessels](pressure-vessels.md)", true))
	assert.Contains(t, set("| a | b |\n|---|---|\n| 1 | 2 |", false), `id="step-7.table.1"`)
	assert.Empty(t, e.prose(words.Message(""), 7, false))

	lines := e.proseLines(words.AuthoredProse("# Head\n\nOne\nline at {cold}.\n\n- first\n- **second**\n\n| a | b |\n|---|---|\n| 1 | 2 |\n", facts))
	assert.Equal(t, []string{"Head", "One line at 4\u00a0°C.", "- first", "- second", "a | b", "1 | 2"}, lines)
}

func TestProseFaults(t *testing.T) {
	isGuide := func(name string) bool { return name == "hygiene" }
	for text, want := range map[string][]ProseFault{
		"[a](hygiene.md), [b](https://example.org), [c](mailto:a@example.org)": nil,
		"[a](hygien.md)":            {{"prose.link", "hygien.md"}},
		"[a](../hygiene.md)":        {{"prose.link", "../hygiene.md"}},
		"[a](/hygiene.md)":          {{"prose.link", "/hygiene.md"}},
		"[a](sheet-12.html)":        {{"prose.link", "sheet-12.html"}},
		"[a](javascript:x)":         {{"prose.link", "javascript:x"}},
		"[a](//example.org/x.md)":   {{"prose.link", "//example.org/x.md"}},
		"> **DANGER.** It can kill": {{"prose.caution", "DANGER"}},
		"A **warning** in words":    nil,
	} {
		assert.Equal(t, want, Prose{text}.Faults(isGuide), text)
	}
}
